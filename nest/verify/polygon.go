package verify

import (
	"math"

	"plyroom/nest"
)

// An edge runs from a to b, which differ.
type edge struct{ a, b point }

// A box is an upright rectangle on the lattice, edges included.
type box struct{ x0, y0, x1, y1 int64 }

func (e edge) box() box {
	return box{min(e.a.x, e.b.x), min(e.a.y, e.b.y), max(e.a.x, e.b.x), max(e.a.y, e.b.y)}
}

// near reports whether two boxes come within reach of each other along both
// axes.
func (b box) near(c box, reach int64) bool {
	return b.x0-reach <= c.x1 && c.x0-reach <= b.x1 && b.y0-reach <= c.y1 && c.y0-reach <= b.y1
}

// A polygon is a ply on the lattice. Its material is what an odd number of
// rings surrounds, so that the sense of a ring does not matter.
type polygon struct {
	edges []edge
	// rings are the vertex lists, exterior first, repeated vertices dropped.
	rings [][]point
	box   box
	// deep holds points well inside; see deepPoints.
	deep     []spot
	deepDone bool
}

// A spot is a place given as an offset in lattice units from a lattice point,
// so that it keeps its precision far from the origin.
type spot struct {
	from   point
	dx, dy float64
}

func (s spot) mm() nest.Point {
	p := s.from.mm()
	return nest.Point{p[0] + s.dx/unitsPerMM, p[1] + s.dy/unitsPerMM}
}

// snapRing puts a ring on the lattice and drops vertices that repeat their
// predecessor there.
func snapRing(r nest.Ring) []point {
	out := make([]point, 0, len(r))
	for _, v := range r {
		p := snapPoint(v)
		if len(out) == 0 || out[len(out)-1] != p {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[len(out)-1] == out[0] {
		out = out[:len(out)-1]
	}
	return out
}

// snapPolygon puts a polygon on the lattice. Rings of fewer than two distinct
// vertices bound nothing and are dropped. It returns nil where a coordinate
// is not finite, is out of range, or nothing is left.
func snapPolygon(p nest.Polygon) *polygon {
	if !ringInRange(p.Outline) {
		return nil
	}
	q := &polygon{box: box{math.MaxInt64, math.MaxInt64, math.MinInt64, math.MinInt64}}
	if q.add(p.Outline); len(q.rings) == 0 {
		return nil
	}
	for _, h := range p.Holes {
		if !ringInRange(h) {
			return nil
		}
		q.add(h)
	}
	return q
}

func (q *polygon) add(r nest.Ring) {
	ring := snapRing(r)
	if len(ring) < 2 {
		return
	}
	q.rings = append(q.rings, ring)
	for i, a := range ring {
		q.edges = append(q.edges, edge{a, ring[(i+1)%len(ring)]})
		q.box = box{min(q.box.x0, a.x), min(q.box.y0, a.y), max(q.box.x1, a.x), max(q.box.y1, a.y)}
	}
}

func ringInRange(r nest.Ring) bool {
	for _, v := range r {
		if !inRange(v[0]) || !inRange(v[1]) {
			return false
		}
	}
	return true
}

// contains reports whether the material of q surrounds s. The answer is right
// where s keeps a distance of one lattice unit from every edge.
//
// The rays run to the right. An edge is decided by its box where that is
// possible: wholly to the right counts, wholly to the left does not. Else s is
// in the edge's box, so its foot on the edge's line falls on the edge, and its
// distance from the line is that from the edge: a unit or more, against an
// error below half a unit at a thousand kilometres and 10⁻³ at a kilometre.
func (q *polygon) contains(s spot) bool {
	in := false
	for _, e := range q.edges {
		ay, by := float64(e.a.y-s.from.y)-s.dy, float64(e.b.y-s.from.y)-s.dy
		if (ay > 0) == (by > 0) {
			continue
		}
		ax, bx := float64(e.a.x-s.from.x)-s.dx, float64(e.b.x-s.from.x)-s.dx
		switch {
		case ax > 0 && bx > 0:
			in = !in
		case ax < 0 && bx < 0:
		default:
			v := e.b.sub(e.a)
			// cross(b-a, s-a): positive where s is to the left of a→b.
			left := float64(float64(v.y)*ax)-float64(float64(v.x)*ay) > 0
			if left == (v.y > 0) {
				in = !in
			}
		}
	}
	return in
}

// distanceTo is the distance of s from the nearest edge of q, lattice units.
func (q *polygon) distanceTo(s spot) float64 {
	best := math.Inf(1)
	for _, e := range q.edges {
		ax, ay := float64(e.a.x-s.from.x)-s.dx, float64(e.a.y-s.from.y)-s.dy
		vx, vy := float64(e.b.x-e.a.x), float64(e.b.y-e.a.y)
		m2 := float64(vx*vx) + float64(vy*vy)
		along := -(float64(ax*vx) + float64(ay*vy))
		var d float64
		switch {
		case along <= 0:
			d = math.Hypot(ax, ay)
		case along >= m2:
			d = math.Hypot(ax+vx, ay+vy)
		default:
			d = math.Abs(float64(ax*vy)-float64(ay*vx)) / math.Sqrt(m2)
		}
		best = min(best, d)
	}
	return best
}
