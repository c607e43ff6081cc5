package verify

import "fmt"

// trims checks rule 1 for the net shapes: equal to the cut shape where there
// is no trim, else inside it by the trim. Panels are trimmed at the ply's own
// edge and not at their seams: their net shape is inside, no more is known.
func (c *checker) trims() {
	panel := map[string]bool{}
	for i := range c.record.Demand {
		if d := &c.record.Demand[i]; d.Panel != nil {
			panel[d.Shape] = true
		}
	}
	for i := range c.record.Shapes {
		s := &c.record.Shapes[i]
		say := func(at spot, measured float64, format string, args ...any) {
			mm := at.mm()
			c.add(Violation{Rule: RuleRecord, At: &mm, Measured: measured, Limit: s.Trim, Unit: "mm",
				Message: fmt.Sprintf("shape %s: ", s.ID) + fmt.Sprintf(format, args...)})
		}
		cut, net := snapPolygon(s.Cut), snapPolygon(s.Net)
		switch {
		case !inRange(s.Trim) || s.Trim < 0:
			c.fault("shape %s has the trim %g", s.ID, s.Trim)
			continue
		case cut == nil:
			continue // sane says so
		case net == nil:
			c.fault("shape %s has no net shape", s.ID)
			continue
		}
		// Net and cut shape are worked out apart, so that their corners do not
		// agree to the last decimal.
		const off = TrimTolerance * unitsPerMM
		var o overlapper
		if at, out := o.outside(net, cut, off); out {
			say(at, 0, "the net shape reaches outside the shape as cut")
			continue
		}
		if s.Trim == 0 {
			if at, out := o.outside(cut, net, off); out {
				say(at, 0, "the trim is 0, and yet the shape as cut reaches outside the net shape")
			}
			continue
		}
		if panel[s.ID] {
			continue
		}
		if d, at := o.boundaryDistance(net, cut, s.Trim*unitsPerMM); d/unitsPerMM < s.Trim-TrimTolerance {
			say(spot{from: at}, d/unitsPerMM, "the trim is %.6g mm, %.6g mm are to be added", d/unitsPerMM, s.Trim)
		}
	}
}

// outside finds a boundary point of p that is farther than off (lattice units)
// outside q, a deep point of p as far outside q, or a boundary point of q that
// deep inside p. With none of them p lies in q but for off: this is the
// argument of overlap.go with what is outside q in the place of Q.
func (o *overlapper) outside(p, q *polygon, off float64) (spot, bool) {
	for _, e := range p.edges {
		ux, uy := float64(e.b.x-e.a.x), float64(e.b.y-e.a.y)
		for _, iv := range o.cover.clear(e, 0, 0, q.edges, off) {
			s := (iv.lo + iv.hi) / 2
			if mid := (spot{e.a, s * ux, s * uy}); !q.contains(mid) {
				return mid, true
			}
		}
	}
	for _, s := range p.deepPoints() {
		if !q.contains(s) && q.distanceTo(s) > off {
			return s, true
		}
	}
	for _, e := range q.edges {
		ux, uy := float64(e.b.x-e.a.x), float64(e.b.y-e.a.y)
		for _, iv := range o.cover.clear(e, 0, 0, p.edges, off) {
			s := (iv.lo + iv.hi) / 2
			if mid := (spot{e.a, s * ux, s * uy}); p.contains(mid) {
				return mid, true
			}
		}
	}
	return spot{}, false
}
