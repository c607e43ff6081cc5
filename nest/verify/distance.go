package verify

import (
	"math"

	"plyroom/nest"
)

// edgeDistance is the distance of two edges in lattice units and the point of
// f, or where they cross some point of e, nearest the other. Whether they
// cross is exact; the distance is right to about one part in 10¹⁵.
func edgeDistance(e, f edge) (float64, point) {
	if crosses(e, f) {
		return 0, crossing(e, f)
	}
	best, at := pointDistance(e.a, f), e.a
	if d := pointDistance(e.b, f); d < best {
		best, at = d, e.b
	}
	if d := pointDistance(f.a, e); d < best {
		best, at = d, f.a
	}
	if d := pointDistance(f.b, e); d < best {
		best, at = d, f.b
	}
	return best, at
}

// crosses reports whether each edge has its ends strictly on both sides of the
// other. Touching is left to pointDistance, which finds 0 exactly.
func crosses(e, f edge) bool {
	return side(e.a, e.b, f.a)*side(e.a, e.b, f.b) < 0 && side(f.a, f.b, e.a)*side(f.a, f.b, e.b) < 0
}

// crossing is where two edges that cross meet, rounded to the lattice.
func crossing(e, f edge) point {
	u, v := e.b.sub(e.a), f.b.sub(f.a)
	s := cross(f.a.sub(e.a), v).float() / cross(u, v).float()
	return point{
		e.a.x + int64(math.Round(s*float64(u.x))),
		e.a.y + int64(math.Round(s*float64(u.y))),
	}
}

// pointDistance is the distance of p from e in lattice units.
func pointDistance(p point, e edge) float64 {
	v, w := e.b.sub(e.a), p.sub(e.a)
	if dot(v, w).sign() <= 0 {
		return w.length()
	}
	if x := p.sub(e.b); dot(v, x).sign() >= 0 {
		return x.length()
	}
	return math.Abs(cross(v, w).float()) / v.length()
}

// boundaryDistance is the least distance between the boundaries of p and q in
// lattice units, and where, if it is at most limit; else some larger figure.
func (o *overlapper) boundaryDistance(p, q *polygon, limit float64) (float64, point) {
	best, at := math.Inf(1), point{}
	reach := int64(math.Ceil(min(limit, 2*MaxCoordinate*unitsPerMM)))
	o.near = edgesNear(o.near[:0], q.edges, p.box, reach)
	for _, e := range p.edges {
		eb := e.box()
		if !eb.near(q.box, reach) {
			continue
		}
		for _, f := range o.near {
			if !eb.near(f.box(), reach) {
				continue
			}
			if d, where := edgeDistance(e, f); d < best {
				best, at = d, where
				reach = min(reach, int64(math.Ceil(d)))
			}
		}
	}
	return best, at
}

// Distance is the least distance between two plies, mm, and a boundary point
// where it is found; 0 where they overlap, touch, or overlap by rounding.
// Polygons whose coordinates are not finite or pass MaxCoordinate are
// infinitely far from everything.
func Distance(a, b nest.Polygon) (float64, nest.Point) {
	p, q := snapPolygon(a), snapPolygon(b)
	if p == nil || q == nil {
		return math.Inf(1), nest.Point{}
	}
	var o overlapper
	if ev, ok := o.overlap(p, q); ok {
		return 0, ev.at.mm()
	}
	d, at := o.boundaryDistance(p, q, math.Inf(1))
	return d / unitsPerMM, at.mm()
}
