package study

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"

	"plyroom/shapes"
)

// Format is the version of the files of a study.
const Format = 1

// A Spec says what a study varies. Equal specs of equal jobs are equal
// studies.
type Spec struct {
	Format int `json:"format"`
	// Job and Revision name the job; Fingerprint tells it from any other.
	Job         string `json:"job"`
	Revision    string `json:"revision"`
	Fingerprint string `json:"fingerprint"`
	// Effort is that of every nest; Seed is the first of Seeds seeds.
	Effort int    `json:"effort"`
	Seed   uint64 `json:"seed"`
	Seeds  int    `json:"seeds"`
	// Axes are varied in every combination. Relax names the kinds of rules
	// relaxed one at a time.
	Axes  []Axis   `json:"axes,omitempty"`
	Relax []string `json:"relax,omitempty"`
}

// A Nest is one piece of work: some fabrics of one job under one seed.
type Nest struct {
	// Number counts from 1 in the order of the study.
	Number int
	// ID is a digest of everything that decides the outcome.
	ID      string
	Fabrics []string
	Seed    uint64
	// Words say what it is the first example of.
	Words string
	job   *shapes.Job // with the settings made, all fabrics
}

// A Case is one combination of settings under one seed.
type Case struct {
	// Settings are one per axis, in their order; a case of a relaxed rule has
	// that rule's alone, and the case all rules are measured against has none.
	Settings []Setting
	// Rule is an index into Plan.Rules, or -1; Base marks the case that rules
	// are measured against.
	Rule int
	Base bool
	Seed uint64
	// Sets is how many sets of the parts are nested together.
	Sets int
	// Nests are indexes into Plan.Nests.
	Nests []int
	job   *shapes.Job
	// Fault says why the settings make no sense together; there are no nests
	// then.
	Fault string
}

// A Plan is every case and every nest of a study.
type Plan struct {
	Spec  Spec
	Rules []Rule
	Cases []Case
	Nests []Nest
	byID  map[string]int
}

// maxCases bounds a study: beyond it lies a slip of the pen.
const maxCases = 1_000_000

// NewPlan works out the cases of a study of a job. Job, Revision, Fingerprint
// and Format of the spec are filled in.
func NewPlan(j *shapes.Job, spec Spec) (*Plan, error) {
	switch {
	case spec.Effort < 1:
		return nil, fmt.Errorf("a study takes an effort above 0, so that every nest can be repeated; found %d", spec.Effort)
	case spec.Seeds < 1:
		return nil, fmt.Errorf("a study takes a number of seeds above 0; found %d", spec.Seeds)
	case len(spec.Axes) == 0 && len(spec.Relax) == 0:
		return nil, errors.New("nothing is varied: give --vary or --relax")
	}
	h := &hasher{outlines: map[*shapes.Outline]string{}}
	base := clone(j)
	spec.Format, spec.Job, spec.Revision, spec.Fingerprint = Format, j.Name, j.Revision, h.job(base)
	p := &Plan{Spec: spec, byID: map[string]int{}}
	if err := p.grid(h, base); err != nil {
		return nil, err
	}
	if len(spec.Relax) > 0 {
		if err := p.relax(h, base); err != nil {
			return nil, err
		}
	}
	return p, nil
}

// grid adds every combination of the axes, the last one turning fastest.
func (p *Plan) grid(h *hasher, base *shapes.Job) error {
	axes := p.Spec.Axes
	if len(axes) == 0 {
		return nil
	}
	total := p.Spec.Seeds
	for i, a := range axes {
		if len(a.Values) == 0 {
			return fmt.Errorf("%s has no values", a.Name())
		}
		for _, b := range axes[:i] {
			if a.Axis == b.Axis && a.Target == b.Target {
				return fmt.Errorf("%s is varied twice", a.Name())
			}
		}
		// A target that does not exist is a mistake, not a case.
		if err := (Setting{a.Axis, a.Target, a.Values[0]}).check(base); err != nil {
			return err
		}
		if total *= len(a.Values); total > maxCases {
			return fmt.Errorf("more than %d cases", maxCases)
		}
	}
	at := make([]int, len(axes))
	for {
		var set []Setting
		for i, a := range axes {
			set = append(set, Setting{a.Axis, a.Target, a.Values[at[i]]})
		}
		p.add(h, base, set, -1, nil)
		i := len(axes) - 1
		for ; i >= 0; i-- {
			if at[i]++; at[i] < len(axes[i].Values) {
				break
			}
			at[i] = 0
		}
		if i < 0 {
			return nil
		}
	}
}

// check finds a target that does not exist.
func (s Setting) check(base *shapes.Job) error {
	if s.Target == "" {
		return nil
	}
	for _, f := range base.Fabrics {
		if f.Name == s.Target && (s.Axis == "width" || s.Axis == "selvedge" || s.Axis == "turning") {
			return nil
		}
	}
	switch s.Axis {
	case "width", "selvedge", "turning":
		return fmt.Errorf("--vary %s: the job has no fabric %q", s.Axis, s.Target)
	}
	if s.Value == AsJob {
		return nil
	}
	if err := s.apply(clone(base)); err != nil {
		return fmt.Errorf("--vary %s: %w", s.Axis, err)
	}
	return nil
}

// relax adds the case that rules are measured against, and one per rule.
func (p *Plan) relax(h *hasher, base *shapes.Job) error {
	p.Rules = Rules(base, p.Spec.Relax)
	if len(p.Rules) == 0 && len(p.Spec.Axes) == 0 {
		return errors.New("the job has no rule of these kinds that could be relaxed")
	}
	p.add(h, base, nil, -1, nil)
	for i, r := range p.Rules {
		p.add(h, base, []Setting{r.Setting}, i, r.Fabrics)
	}
	return nil
}

// add adds one combination under every seed; fabrics, where given, are the
// only ones that are laid.
func (p *Plan) add(h *hasher, base *shapes.Job, set []Setting, rule int, fabrics []string) {
	j := clone(base)
	fault := ""
	for _, s := range set {
		if err := s.apply(j); err != nil {
			fault = err.Error()
			break
		}
	}
	var parts [][]string
	if fault == "" {
		for _, g := range groups(j) {
			if fabrics == nil || slices.ContainsFunc(g, func(f string) bool { return slices.Contains(fabrics, f) }) {
				parts = append(parts, g)
			}
		}
	}
	digests := make([]string, len(parts))
	for i, g := range parts {
		digests[i] = h.job(only(j, g))
	}
	for n := range p.Spec.Seeds {
		c := Case{Settings: set, Rule: rule, Base: len(set) == 0, Seed: p.Spec.Seed + uint64(n), Sets: Sets(j), job: j, Fault: fault}
		for i, g := range parts {
			id := nestID(p.Spec, digests[i], c.Seed)
			at, ok := p.byID[id]
			if !ok {
				at = len(p.Nests)
				p.byID[id] = at
				p.Nests = append(p.Nests, Nest{Number: at + 1, ID: id, Fabrics: g, Seed: c.Seed, Words: c.Words(), job: j})
			}
			c.Nests = append(c.Nests, at)
		}
		p.Cases = append(p.Cases, c)
	}
}

// nestID digests what decides the outcome of a nest.
func nestID(s Spec, digest string, seed uint64) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "plyroom study %d\n%s\n%s\n%d\n%d\n", Format, s.Fingerprint, digest, s.Effort, seed))
	return hex.EncodeToString(sum[:16])
}

// Words say what the case sets.
func (c *Case) Words() string {
	if len(c.Settings) == 0 {
		return "as the job says"
	}
	s := ""
	for i, x := range c.Settings {
		if i > 0 {
			s += ", "
		}
		s += x.String()
	}
	return s
}

// Find gives the nest of an ID.
func (p *Plan) Find(id string) (*Nest, bool) {
	i, ok := p.byID[id]
	if !ok {
		return nil, false
	}
	return &p.Nests[i], true
}

// Job is what the nest lays.
func (n *Nest) Job() *shapes.Job { return only(n.job, n.Fabrics) }
