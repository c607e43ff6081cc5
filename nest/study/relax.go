package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// What a rule is relaxed to.
const (
	// RelaxedTolerance is what a ply's tolerance is relaxed to, degrees.
	RelaxedTolerance = 5
	// RelaxedWidth is how much wider a fabric is made, mm.
	RelaxedWidth = 50
	// largePly is the share of the usable width above which dividing a ply may
	// save fabric: two such plies do not lie side by side.
	largePly = 0.5
)

// A Rule is one rule of the job and the setting that relaxes it.
type Rule struct {
	Setting Setting `json:"setting"`
	// Words say what is relaxed.
	Words string `json:"words"`
	// Fabrics are those whose plies it concerns; the others lie as before.
	Fabrics []string `json:"fabrics"`
}

// Relaxable lists the kinds of rules that Rules can relax.
var Relaxable = []string{"tolerance", "ply_tolerance", "width", "splits", "turning", "gap", "selvedge", "end_allowance", "keep_together"}

// Rules lists the rules of a job that can be relaxed, of the kinds named. A
// rule that is as lax already is left out.
func Rules(j *shapes.Job, kinds []string) []Rule {
	var out []Rule
	add := func(fabrics []string, words, axis, target, value string) {
		out = append(out, Rule{Setting{axis, target, value}, words, fabrics})
	}
	var all []string
	for _, g := range groups(j) {
		all = append(all, g...)
	}
	for _, kind := range kinds {
		switch kind {
		case "gap":
			if j.Cutting.Gap > 0 {
				add(all, "no gap between plies", kind, "", "0")
			}
			continue
		case "keep_together":
			if len(j.Cutting.KeepTogether) > 0 {
				add(all, "kits need not be kept together", kind, "", "no")
			}
			continue
		case "end_allowance":
			if j.Cutting.EndAllowance > 0 {
				add(all, "no end allowance", kind, "", "0")
			}
			continue
		}
		for _, f := range j.Fabrics {
			if !slices.Contains(all, f.Name) {
				continue
			}
			one := []string{f.Name}
			switch kind {
			case "width":
				add(one, fmt.Sprintf("%s %d mm wider", f.Name, RelaxedWidth), kind, f.Name, fmt.Sprintf("+%d", RelaxedWidth))
			case "selvedge":
				if f.Selvedge > 0 {
					add(one, f.Name+" used to its edges", kind, f.Name, "0")
				}
			case "turning":
				if f.Faces == shapes.DifferentFaces && f.Construction != shapes.Satin {
					add(one, "plies of "+f.Name+" may be turned over", kind, f.Name, "allowed")
				}
			case "tolerance", "ply_tolerance":
				plies := toleranceRules(j, f)
				switch {
				case kind == "ply_tolerance":
					out = append(out, plies...)
				case len(plies) > 0:
					add(one, fmt.Sprintf("all plies of %s: tolerance %d°", f.Name, RelaxedTolerance), "tolerance", f.Name, fmt.Sprint(RelaxedTolerance))
				}
			case "splits":
				out = append(out, splitRules(j, f)...)
			}
		}
	}
	return out
}

// toleranceRules relax the plies of a fabric one by one.
func toleranceRules(j *shapes.Job, f *shapes.Fabric) []Rule {
	if f.Construction.Directionless() {
		return nil
	}
	var out []Rule
	one := []string{f.Name}
	for _, p := range j.Parts {
		for _, d := range p.Plies {
			if d.Fabric != f || math.Min(d.Tolerance, j.Cutting.AngleTolerance) >= RelaxedTolerance {
				continue
			}
			out = append(out, Rule{Setting{"tolerance", plyKey(p.Name, d.Name), fmt.Sprint(RelaxedTolerance)},
				fmt.Sprintf("%s, ply %s: tolerance %d°", p.Name, d.Name, RelaxedTolerance), one})
		}
	}
	return out
}

// splitRules allow plies to be divided: those the job says how to divide, and
// every large one.
func splitRules(j *shapes.Job, f *shapes.Fabric) []Rule {
	var out []Rule
	for _, p := range j.Parts {
		for _, d := range p.Plies {
			if d.Fabric != f || d.Split != nil && d.Split.Allowed {
				continue
			}
			b := geom.Bound(d.Outline.Exterior)
			least := math.Min(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
			switch {
			case d.Split == nil && least <= largePly*f.UsableWidth():
				continue
			case d.Split != nil && least > f.UsableWidth():
				continue // divided as it is
			}
			out = append(out, Rule{Setting{"splits", plyKey(p.Name, d.Name), "allowed"},
				fmt.Sprintf("%s, ply %s may be divided", p.Name, d.Name), []string{f.Name}})
		}
	}
	return out
}

// ParseRelax reads the kinds of rules to relax, divided by commas; "all" is
// every kind.
func ParseRelax(text string) ([]string, error) {
	if text == "all" {
		return slices.Clone(Relaxable), nil
	}
	var out []string
	for _, k := range strings.Split(text, ",") {
		k = strings.TrimSpace(k)
		if !slices.Contains(Relaxable, k) {
			return nil, fmt.Errorf("--relax: no kind of rule is called %q; known are all, %s", k, strings.Join(Relaxable, ", "))
		}
		if !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out, nil
}
