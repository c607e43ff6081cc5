package verify

import (
	"fmt"

	"plyroom/nest"
)

// A polygonFault is one thing wrong with a polygon, and where.
type polygonFault struct {
	at      *nest.Point
	message string
}

// sane checks rule 1 for the shapes: what is cut is a ply and not a tangle.
func (c *checker) sane() {
	for i := range c.record.Shapes {
		s := &c.record.Shapes[i]
		for _, f := range saneFaults(s.Cut) {
			c.add(Violation{Rule: RuleRecord, At: f.at, Message: fmt.Sprintf("shape %s as cut %s", s.ID, f.message)})
		}
	}
}

// saneFaults checks one polygon: coordinates in range; rings of three or more
// distinct vertices that enclose an area and neither cross nor touch
// themselves or one another; exterior counter-clockwise, cut-outs clockwise
// and inside; and material somewhere thicker than the rounding allowance.
// The messages continue "the polygon …".
func saneFaults(p nest.Polygon) []polygonFault {
	if !polygonInRange(p) {
		return []polygonFault{{nil, fmt.Sprintf("has a coordinate that is not a number within %g mm", float64(MaxCoordinate))}}
	}
	var out []polygonFault
	whole := true
	for i, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
		name, want := "exterior", 1
		if i > 0 {
			name, want = fmt.Sprintf("cut-out %d", i), -1
		}
		ring := snapRing(r)
		if len(ring) < 3 {
			out = append(out, polygonFault{nil, fmt.Sprintf("has an %s of %d distinct vertices", name, len(ring))})
			whole = false
			continue
		}
		at := ring[0].mm()
		switch sense := turns(ring); {
		case sense == 0:
			out = append(out, polygonFault{&at, fmt.Sprintf("has an %s without area", name)})
			whole = false
		case sense != want:
			out = append(out, polygonFault{&at, fmt.Sprintf("has its %s running the wrong way round", name)})
		}
	}
	if !whole {
		return out
	}
	q := snapPolygon(p)
	if at, bad := tangle(q); bad {
		mm := at.mm()
		return append(out, polygonFault{&mm, "crosses or touches itself"})
	}
	for i, h := range q.rings[1:] {
		if f, bad := misplacedHole(q, i, h); bad {
			out = append(out, f)
		}
	}
	if len(q.deepPoints()) == 0 {
		at := q.rings[0][0].mm()
		out = append(out, polygonFault{&at, fmt.Sprintf("is nowhere thicker than %g mm", 2*deepEnough/unitsPerMM)})
	}
	return out
}

// misplacedHole checks that cut-out i lies in the exterior and in no other
// cut-out. Rings are known not to meet, so one vertex decides.
func misplacedHole(q *polygon, i int, h []point) (polygonFault, bool) {
	at := h[0].mm()
	if !ringHolds(q.rings[0], h[0]) {
		return polygonFault{&at, fmt.Sprintf("has cut-out %d outside the exterior", i+1)}, true
	}
	for j, o := range q.rings[1:] {
		if j != i && ringHolds(o, h[0]) {
			return polygonFault{&at, fmt.Sprintf("has cut-out %d inside cut-out %d", i+1, j+1)}, true
		}
	}
	return polygonFault{}, false
}

// turns is 1 for a counter-clockwise ring, -1 for a clockwise one, 0 for one
// without area; exact. Twice the area of a ring of n vertices about its first
// is below n·2¹⁰³, which 128 bits hold for any ring that memory holds.
func turns(ring []point) int {
	var sum wide
	for i := 1; i+1 < len(ring); i++ {
		sum = sum.plus(cross(ring[i].sub(ring[0]), ring[i+1].sub(ring[0])))
	}
	return sum.sign()
}

// ringHolds reports whether a ring surrounds a lattice point that is not on
// it; exact.
func ringHolds(ring []point, p point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.y > p.y) != (b.y > p.y) && (side(a, b, p) > 0) == (b.y > a.y) {
			in = !in
		}
	}
	return in
}

// tangle finds a place where two edges of a polygon meet other than at the
// vertex that neighbours share; exact.
func tangle(q *polygon) (point, bool) {
	// next[i] is the edge that follows edge i in its ring.
	next := make([]int, len(q.edges))
	first := 0
	for _, r := range q.rings {
		for k := range r {
			next[first+k] = first + (k+1)%len(r)
		}
		first += len(r)
	}
	var at point
	found := false
	eachEdgePair(q.edges, 0, func(i, j int) bool {
		if next[j] == i {
			i, j = j, i
		}
		e, f := q.edges[i], q.edges[j]
		if next[i] == j {
			at, found = f.a, foldsBack(e, f)
			return !found
		}
		d, where := edgeDistance(e, f)
		at, found = where, d == 0
		return !found
	})
	return at, found
}

// foldsBack reports whether f, which begins where e ends, runs back along e.
func foldsBack(e, f edge) bool {
	u, v := e.b.sub(e.a), f.b.sub(f.a)
	return cross(u, v).sign() == 0 && dot(u, v).sign() < 0
}

func polygonInRange(p nest.Polygon) bool {
	if !ringInRange(p.Outline) {
		return false
	}
	for _, h := range p.Holes {
		if !ringInRange(h) {
			return false
		}
	}
	return true
}
