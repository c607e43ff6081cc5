package study

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"plyroom/shapes"
)

// AsJob is the value that leaves a setting as the job has it.
const AsJob = "job"

// A Setting is one thing of the job set to a value.
type Setting struct {
	// Axis is the name of what is set, as Axes lists them.
	Axis string `json:"axis"`
	// Target is the fabric, part or ply ("part/ply") it is set for; empty sets
	// it wherever it applies.
	Target string `json:"target,omitempty"`
	// Value is a figure (mm or degrees), a word, or AsJob. A width may be a
	// change: "+50".
	Value string `json:"value"`
}

// String writes the setting as it is shown: "width of WR 600 1000".
func (s Setting) String() string {
	name := strings.ReplaceAll(s.Axis, "_", " ")
	switch {
	case s.Target != "":
		name += " of " + s.Target
	case s.Axis == "units":
		name += " nested together"
	}
	return name + " " + s.Value
}

// An Axis is one setting varied over values.
type Axis struct {
	Axis   string   `json:"axis"`
	Target string   `json:"target,omitempty"`
	Values []string `json:"values"`
}

// Name is the axis as it heads a column: "width of WR 600".
func (a Axis) Name() string {
	return strings.TrimSuffix(Setting{Axis: a.Axis, Target: a.Target}.String(), " ")
}

// An axisKind says what an axis does to a job.
type axisKind struct {
	name, about string
	// words are the values allowed; nil where it takes figures.
	words []string
	min   float64
	max   float64
	whole bool
	// change lets a value be a change such as +50.
	change bool
	// target says what the target may be; empty where there is none.
	target string
	apply  func(j *shapes.Job, target, value string, figure float64) error
}

// The bounds are those of the job file.
var axisKinds = []axisKind{
	{name: "width", about: "whole width of the roll, mm, or a change such as +50", min: 1, max: 20_000, change: true, target: "fabric", apply: setWidth},
	{name: "gap", about: "least distance between plies, mm", max: 10_000,
		apply: func(j *shapes.Job, _, _ string, v float64) error { j.Cutting.Gap = v; return nil }},
	{name: "end_allowance", about: "left free at each end of a layout, mm", max: 10_000,
		apply: func(j *shapes.Job, _, _ string, v float64) error { j.Cutting.EndAllowance = v; return nil }},
	{name: "selvedge", about: "unused edge on each side, mm", max: 20_000, target: "fabric",
		apply: func(j *shapes.Job, target, _ string, v float64) error {
			return eachFabric(j, target, func(f *shapes.Fabric) error {
				f.Selvedge = v
				return leavesWidth(f)
			})
		}},
	{name: "angle_tolerance", about: "how much of each ply's tolerance a layout may spend, degrees", max: 90,
		apply: func(j *shapes.Job, _, _ string, v float64) error { j.Cutting.AngleTolerance = v; return nil }},
	{name: "tolerance", about: "tolerance of plies, all of it spent, degrees", max: 90, target: "fabric or part/ply", apply: setTolerance},
	{name: "turning", about: "whether plies may be turned over", words: []string{"allowed", "forbidden"}, target: "fabric", apply: setTurning},
	{name: "splits", about: "whether plies may be divided where that saves fabric", words: []string{"allowed", "none"}, target: "part/ply", apply: setSplits},
	{name: "spreads", about: "what spreads are chosen for",
		words: []string{string(shapes.SpreadNone), string(shapes.SpreadTime), string(shapes.SpreadFabric), string(shapes.SpreadRecommended)},
		apply: func(j *shapes.Job, _, value string, _ float64) error {
			j.Cutting.SpreadPolicy = shapes.SpreadPolicy(value)
			return nil
		}},
	{name: "keep_together", about: "whether each kit has a stretch of the table to itself", words: []string{"yes", "no"}, target: "part", apply: setTogether},
	{name: "units", about: "how many sets of the parts are nested together; with a part, how many of it", min: 1, max: 100_000, whole: true, target: "part", apply: setUnits},
}

// Axes names every axis with what it means, for help.
func Axes() []string {
	var out []string
	for _, k := range axisKinds {
		words := k.about
		if k.words != nil {
			words += " (" + strings.Join(k.words, ", ") + ")"
		}
		if k.target != "" {
			words += "; of one " + k.target + ": " + k.name + "=NAME:VALUES"
		}
		out = append(out, k.name+": "+words)
	}
	return out
}

func findAxis(name string) *axisKind {
	for i := range axisKinds {
		if axisKinds[i].name == name {
			return &axisKinds[i]
		}
	}
	return nil
}

// maxValues bounds the values of one axis.
const maxValues = 10_000

// ParseAxis reads "name=values" or "name=target:values", values divided by
// commas; FROM..TO/STEP stands for a row of figures.
func ParseAxis(text string) (Axis, error) {
	bad := func(format string, args ...any) (Axis, error) {
		return Axis{}, fmt.Errorf("--vary %q: %s", text, fmt.Sprintf(format, args...))
	}
	name, rest, ok := strings.Cut(text, "=")
	name = strings.TrimSpace(name)
	if !ok || strings.TrimSpace(rest) == "" {
		return bad("want NAME=VALUE,VALUE…, such as gap=0,3,5")
	}
	k := findAxis(name)
	if k == nil {
		var known []string
		for _, k := range axisKinds {
			known = append(known, k.name)
		}
		return bad("nothing called %q can be varied; known are %s", name, strings.Join(known, ", "))
	}
	a := Axis{Axis: name}
	if i := strings.LastIndex(rest, ":"); i >= 0 {
		if k.target == "" {
			return bad("%s is one for the whole job", name)
		}
		a.Target, rest = strings.TrimSpace(rest[:i]), rest[i+1:]
	}
	for _, v := range strings.Split(rest, ",") {
		vs, err := k.values(strings.TrimSpace(v))
		if err != nil {
			return bad("%v", err)
		}
		for _, v := range vs {
			if !slices.Contains(a.Values, v) {
				a.Values = append(a.Values, v)
			}
		}
		if len(a.Values) > maxValues {
			return bad("more than %d values", maxValues)
		}
	}
	return a, nil
}

// values reads one value, or a row of them.
func (k *axisKind) values(v string) ([]string, error) {
	from, rest, row := strings.Cut(v, "..")
	if !row {
		c, err := k.canonical(v)
		return []string{c}, err
	}
	to, step, _ := strings.Cut(rest, "/")
	if k.words != nil {
		return nil, fmt.Errorf("%q is no word of %s", v, strings.Join(k.words, ", "))
	}
	lo, err1 := strconv.ParseFloat(from, 64)
	hi, err2 := strconv.ParseFloat(to, 64)
	by, err3 := strconv.ParseFloat(step, 64)
	if err1 != nil || err2 != nil || err3 != nil || !(by > 0) || !(hi >= lo) || !((hi-lo)/by < maxValues) {
		return nil, fmt.Errorf("%q is no row FROM..TO/STEP", v)
	}
	var out []string
	for i := 0; ; i++ {
		x := lo + float64(float64(i)*by)
		if x > hi+float64(by*1e-9) {
			return out, nil
		}
		c, err := k.canonical(figure(x))
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
}

// canonical checks a value and writes it in its one way.
func (k *axisKind) canonical(v string) (string, error) {
	if v == AsJob {
		return v, nil
	}
	if k.words != nil {
		if !slices.Contains(k.words, v) {
			return "", fmt.Errorf("%q is no word of %s, %s", v, strings.Join(k.words, ", "), AsJob)
		}
		return v, nil
	}
	sign := ""
	digits := v
	if k.change && (strings.HasPrefix(v, "+") || strings.HasPrefix(v, "-")) {
		sign, digits = v[:1], v[1:]
	}
	x, err := strconv.ParseFloat(digits, 64)
	lo := k.min
	if sign != "" {
		lo = 0
	}
	if err != nil || math.IsNaN(x) || x < lo || x > k.max || k.whole && x != math.Trunc(x) {
		return "", fmt.Errorf("%q is no figure from %s to %s", v, figure(k.min), figure(k.max))
	}
	return sign + figure(x), nil
}

func figure(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e6)/1e6+0, 'f', -1, 64)
}

// apply changes a job, which must be a clone.
func (s Setting) apply(j *shapes.Job) error {
	k := findAxis(s.Axis)
	if k == nil {
		return fmt.Errorf("nothing called %q can be varied", s.Axis)
	}
	if s.Value == AsJob {
		return nil
	}
	v := 0.0
	if k.words == nil {
		var err error
		if v, err = strconv.ParseFloat(s.Value, 64); err != nil {
			return fmt.Errorf("%s: %q is no figure", s.Axis, s.Value)
		}
	}
	return k.apply(j, s.Target, s.Value, v)
}

func eachFabric(j *shapes.Job, target string, f func(*shapes.Fabric) error) error {
	found := false
	for _, x := range j.Fabrics {
		if target == "" || x.Name == target {
			found = true
			if err := f(x); err != nil {
				return err
			}
		}
	}
	if !found {
		return fmt.Errorf("the job has no fabric %q", target)
	}
	return nil
}

func leavesWidth(f *shapes.Fabric) error {
	if f.UsableWidth() <= 0 {
		return fmt.Errorf("fabric %q: two selvedges of %s mm leave nothing of a width of %s mm", f.Name, figure(f.Selvedge), figure(f.Width))
	}
	return nil
}

// setWidth keeps the price of a square metre: a price per metre or roll grows
// with the width. A price that the job states for the width is taken instead.
func setWidth(j *shapes.Job, target, value string, v float64) error {
	return eachFabric(j, target, func(f *shapes.Fabric) error {
		w := v
		if strings.HasPrefix(value, "+") || strings.HasPrefix(value, "-") {
			w = f.Width + v
		}
		if f.Price != nil && (f.Price.Per == shapes.PerMetre || f.Price.Per == shapes.PerRoll) && f.Width > 0 {
			f.Price.Amount *= w / f.Width
		}
		f.Width = w
		return leavesWidth(f)
	})
}

func setTurning(j *shapes.Job, target, value string, _ float64) error {
	return eachFabric(j, target, func(f *shapes.Fabric) error {
		f.Faces = shapes.DifferentFaces
		if value == "allowed" && f.Construction != shapes.Satin {
			f.Faces = shapes.SameFaces
		}
		return nil
	})
}

// plyKey is how a ply is named as a target.
func plyKey(part, ply string) string { return part + "/" + ply }

func eachPly(j *shapes.Job, target string, f func(*shapes.Ply)) error {
	found := false
	for _, p := range j.Parts {
		for _, d := range p.Plies {
			if target == "" || d.Fabric.Name == target || plyKey(p.Name, d.Name) == target {
				found = true
				f(d)
			}
		}
	}
	if !found {
		return fmt.Errorf("the job has no ply or fabric %q; plies are named PART/PLY", target)
	}
	return nil
}

// setTolerance gives plies a tolerance and lets the layout spend all of it,
// while it spends no more of any other ply's than before.
func setTolerance(j *shapes.Job, target, _ string, v float64) error {
	spend := j.Cutting.AngleTolerance
	chosen := map[*shapes.Ply]bool{}
	if err := eachPly(j, target, func(d *shapes.Ply) { chosen[d] = true }); err != nil {
		return err
	}
	_ = eachPly(j, "", func(d *shapes.Ply) {
		if chosen[d] {
			d.Tolerance = v
		} else {
			d.Tolerance = math.Min(d.Tolerance, spend)
		}
	})
	j.Cutting.AngleTolerance = math.Max(spend, v)
	return nil
}

func setSplits(j *shapes.Job, target, value string, _ float64) error {
	return eachPly(j, target, func(d *shapes.Ply) {
		if value == "none" {
			d.Split = nil
			return
		}
		if d.Split == nil {
			d.Split = &shapes.Split{Joint: shapes.JointLap, Overlap: 50, MinPanel: 100, Stagger: 100, MinSaving: 100}
			if d.Fabric.Construction == shapes.Unidirectional {
				d.Split.Joint, d.Split.Overlap = shapes.JointButt, 0
			}
		}
		d.Split.Allowed = true
	})
}

func setTogether(j *shapes.Job, target, value string, _ float64) error {
	found := false
	for _, p := range j.Parts {
		if target != "" && p.Name != target {
			continue
		}
		found = true
		kept := slices.DeleteFunc(slices.Clone(j.Cutting.KeepTogether), func(name string) bool { return name == p.Name })
		if value == "yes" {
			kept = append(kept, p.Name)
		}
		j.Cutting.KeepTogether = kept
	}
	if !found {
		return fmt.Errorf("the job has no part %q", target)
	}
	return nil
}

func setUnits(j *shapes.Job, target, _ string, v float64) error {
	sets := Sets(j)
	found := false
	for _, p := range j.Parts {
		switch {
		case target == "":
			p.Units = p.Units / sets * int(v)
			found = true
		case p.Name == target:
			p.Units = int(v)
			found = true
		}
	}
	if !found {
		return fmt.Errorf("the job has no part %q", target)
	}
	return nil
}

// at is where the setting lies on its axis once made; nil where it is no
// figure.
func (s Setting) at(j *shapes.Job) *float64 {
	switch s.Axis {
	case "width", "selvedge":
		for _, f := range j.Fabrics {
			if f.Name == s.Target && s.Axis == "width" {
				return &f.Width
			}
			if f.Name == s.Target {
				return &f.Selvedge
			}
		}
	case "gap":
		return &j.Cutting.Gap
	case "end_allowance":
		return &j.Cutting.EndAllowance
	case "angle_tolerance":
		return &j.Cutting.AngleTolerance
	case "units":
		n := float64(Sets(j))
		for _, p := range j.Parts {
			if p.Name == s.Target {
				n = float64(p.Units)
			}
		}
		return &n
	}
	v, err := strconv.ParseFloat(s.Value, 64)
	if err != nil {
		return nil
	}
	return &v
}
