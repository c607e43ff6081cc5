package lattice

import (
	"cmp"
	"slices"

	"plyroom/nest/collide"
)

// A search looks for patterns.
type search struct {
	gap  float64
	cell cell
	stop func(work int) bool
}

// stopped asks the caller whether to give up, and tells it the work done.
func (s *search) stopped() bool { return s.stop != nil && s.stop(s.cell.calls) }

// Plane is the densest lattice found of one body, or of two, in the endless
// plane, none nearer to another than the gap; nil if there is none. The bodies
// keep their poses. stop is as for Best.
func Plane(gap float64, bodies []*collide.Body, stop func(work int) bool) *Pattern {
	s := &search{gap: gap, stop: stop}
	return s.plane(bodies)
}

// A Strip is what patterns are for: Width across, no two plies nearer than Gap.
type Strip struct {
	Width, Gap float64
	// Count is how many plies are to be laid.
	Count int
}

// A Laid is a pattern laid on the strip, and the length it takes.
type Laid struct {
	Pattern *Pattern
	Spots   []Spot
	Length  float64
}

// planes is for how many choices the densest lattice in the plane is looked for
// as well, which takes longer and seldom suits a strip.
const planes = 2

// Best lays Count plies in one pattern of one body or of two, as short as it
// finds; each of the choices is one or two bodies. It returns up to most such
// layouts, the shortest first. stop, where given, is told the work done so far,
// in look-ups of an outline, and ends the search by returning true; then what
// was found so far is returned. Nothing else decides the answer.
func Best(strip Strip, choices [][]*collide.Body, most int, stop func(work int) bool) []Laid {
	s := &search{gap: strip.Gap, stop: stop}
	var all []Laid
	add := func(p *Pattern) {
		if p == nil {
			return
		}
		if spots := p.Lay(strip.Width, strip.Count); spots != nil {
			all = append(all, Laid{p, spots, spots[len(spots)-1].End})
		}
	}
	for _, bodies := range choices {
		if s.stopped() {
			break
		}
		f := newFrame(bodies, s.gap)
		s.charge(f)
		for _, r := range s.rows(f, strip.Width) {
			add(s.rowPattern(f, bodies, strip.Width, r))
		}
		add(s.columns(f.swapped(), bodies, strip.Width))
	}
	for i := 0; i < min(planes, len(choices)) && !s.stopped(); i++ {
		add(s.plane(choices[i]))
	}
	slices.SortStableFunc(all, func(a, b Laid) int { return cmp.Compare(a.Length, b.Length) })
	var out []Laid
	for _, l := range all {
		// The same pattern found in several ways takes the same length.
		if n := len(out); n > 0 && l.Length < out[n-1].Length*(1+1e-6) {
			continue
		}
		if out = append(out, l); len(out) == most {
			break
		}
	}
	return out
}
