package bound

import "math"

// longest is the bound of one piece alone: a piece that is laid reaches from
// some x at least 0 to the strip's end at most, so the strip is at least as
// long as the piece is along it, in the best rotation that fits across. A
// piece is never shorter along the strip than at one of the rotations of
// geom.Extents, unless it does not fit across there; between two such
// rotations both extents are bent downwards, so on the part of an interval
// that fits across, the least length is at one of its ends. Those ends are not
// computed: the smaller length of the two rotations about it is taken, which
// is no larger.
func longest(s Strip, pieces []Piece) float64 {
	best := 0.0
	for i := range pieces {
		p := &pieces[i]
		if p.Count == 0 {
			continue
		}
		least := math.Inf(1)
		for _, t := range p.turns() {
			least = math.Min(least, leastAlong(p, t, s.Width))
		}
		best = math.Max(best, least)
	}
	return best
}

// leastAlong is no more than the least length along the strip at a rotation of
// the turn that fits across; +Inf where none fits.
func leastAlong(p *Piece, t Turn, width float64) float64 {
	fit := width * (1 + 1e-9)
	es := extents(p.Exterior, t)
	least := math.Inf(1)
	for i, e := range es {
		if e.across <= fit {
			least = math.Min(least, e.along)
		}
		// Between this rotation and the next, which fits at one end only, the
		// piece may fit up to some rotation in between.
		if i > 0 && (es[i-1].across <= fit) != (e.across <= fit) {
			least = math.Min(least, math.Min(es[i-1].along, e.along))
		}
	}
	return least
}
