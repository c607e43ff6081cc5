package verify

import (
	"cmp"
	"math"
	"slices"
)

// An interval is a stretch of an edge as fractions of its length.
type interval struct{ lo, hi float64 }

// A coverer finds the stretches of an edge that keep away from other edges.
// Its slices are scratch space, kept between calls.
type coverer struct {
	covered []interval
	free    []interval
}

// gapNoise is the shortest stretch believed, lattice units: the coverings of
// two edges that share a vertex overlap, so a shorter one between them is an
// error of arithmetic.
const gapNoise = 1e-2

// clear returns the stretches of e, moved by (sx, sy), that are farther than
// radius from every edge of others. The result is valid until the next call.
func (c *coverer) clear(e edge, sx, sy float64, others []edge, radius float64) []interval {
	c.covered, c.free = c.covered[:0], c.free[:0]
	reach := int64(math.Ceil(radius + math.Hypot(sx, sy) + 1))
	eb := e.box()
	for _, o := range others {
		if !eb.near(o.box(), reach) {
			continue
		}
		if iv, ok := within(e, sx, sy, o, radius); ok {
			c.covered = append(c.covered, iv)
		}
	}
	slices.SortFunc(c.covered, func(a, b interval) int { return cmp.Compare(a.lo, b.lo) })
	noise := gapNoise / e.b.sub(e.a).length()
	at := 0.0
	for _, iv := range c.covered {
		if iv.lo-at > noise {
			c.free = append(c.free, interval{at, min(iv.lo, 1)})
		}
		if at = max(at, iv.hi); at >= 1 {
			return c.free
		}
	}
	if 1-at > noise || len(c.covered) == 0 {
		c.free = append(c.free, interval{at, 1})
	}
	return c.free
}

// within returns the stretch of e, moved by (sx, sy), that is no farther than
// radius from o. Those points of the plane are a rectangle along o and a disc
// about each end; together they are convex, so the stretch is one interval,
// the hull of the three.
func within(e edge, sx, sy float64, o edge, radius float64) (interval, bool) {
	u, v, w := e.b.sub(e.a), o.b.sub(o.a), e.a.sub(o.a)
	ux, uy := float64(u.x), float64(u.y)
	vx, vy := float64(v.x), float64(v.y)
	m := math.Hypot(vx, vy)

	hull := interval{math.Inf(1), math.Inf(-1)}
	// The rectangle: |c0 + s·c1| ≤ radius·m across o, 0 ≤ d0 + s·d1 ≤ m²
	// along it.
	c0 := cross(v, w).float() + float64(vx*sy) - float64(vy*sx)
	d0 := dot(v, w).float() + float64(vx*sx) + float64(vy*sy)
	across, ok1 := stretch(c0, cross(v, u).float(), -radius*m, radius*m)
	along, ok2 := stretch(d0, dot(v, u).float(), 0, m*m)
	if ok1 && ok2 {
		lo, hi := max(across.lo, along.lo), min(across.hi, along.hi)
		if lo <= hi {
			hull = interval{lo, hi}
		}
	}
	// The discs.
	l := math.Hypot(ux, uy)
	for _, p := range [2]point{o.a, o.b} {
		t := p.sub(e.a)
		off := (cross(u, t).float() - (float64(ux*sy) - float64(uy*sx))) / l
		if math.Abs(off) > radius {
			continue
		}
		mid := (dot(u, t).float() - (float64(ux*sx) + float64(uy*sy))) / (l * l)
		half := math.Sqrt(float64(radius*radius)-float64(off*off)) / l
		hull = interval{min(hull.lo, mid-half), max(hull.hi, mid+half)}
	}
	hull = interval{max(hull.lo, 0), min(hull.hi, 1)}
	return hull, hull.lo <= hull.hi
}

// stretch solves lo ≤ a + s·b ≤ hi for s.
func stretch(a, b, lo, hi float64) (interval, bool) {
	if b == 0 {
		return interval{math.Inf(-1), math.Inf(1)}, lo <= a && a <= hi
	}
	p, q := (lo-a)/b, (hi-a)/b
	return interval{min(p, q), max(p, q)}, true
}
