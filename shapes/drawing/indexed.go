package drawing

import (
	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes/geom"
)

// indexed is a ring whose edges can be found by place.
type indexed struct {
	ring orb.Ring
	tree *rtree.RTreeG[lineCurve] // nil for small rings, and until index
}

// indexFrom is the number of vertices from which an index pays.
const indexFrom = 48

func newIndexed(r orb.Ring) *indexed { return &indexed{ring: r} }

// index is made when it is first asked for: most rings never are.
func (x *indexed) index() *rtree.RTreeG[lineCurve] {
	if x.tree == nil && len(x.ring) >= indexFrom {
		x.tree = new(rtree.RTreeG[lineCurve])
		for i, a := range x.ring {
			b := x.ring[(i+1)%len(x.ring)]
			lo, hi := segmentBox(a, b, 0)
			x.tree.Insert(lo, hi, lineCurve{a, b})
		}
	}
	return x.tree
}

func segmentBox(a, b orb.Point, grow float64) (lo, hi [2]float64) {
	return [2]float64{min(a[0], b[0]) - grow, min(a[1], b[1]) - grow},
		[2]float64{max(a[0], b[0]) + grow, max(a[1], b[1]) + grow}
}

// each calls f with the edges whose boxes meet the box, until f returns false.
func (x *indexed) each(lo, hi [2]float64, f func(lineCurve) bool) {
	if t := x.index(); t != nil {
		t.Search(lo, hi, func(_, _ [2]float64, e lineCurve) bool { return f(e) })
		return
	}
	for i, a := range x.ring {
		b := x.ring[(i+1)%len(x.ring)]
		elo, ehi := segmentBox(a, b, 0)
		if elo[0] <= hi[0] && elo[1] <= hi[1] && ehi[0] >= lo[0] && ehi[1] >= lo[1] && !f(lineCurve{a, b}) {
			return
		}
	}
}

// position is geom.Contains, exact as that is.
func (x *indexed) position(p orb.Point) geom.Position {
	if x.index() == nil {
		return geom.Contains(x.ring, p)
	}
	in, on := false, false
	x.each([2]float64{p[0], p[1]}, [2]float64{2 * geom.CoordinateLimit, p[1]}, func(e lineCurve) bool {
		a, b := e.a, e.b
		if a[1] > b[1] {
			a, b = b, a
		}
		if a[1] == b[1] {
			on = on || p[0] >= min(a[0], b[0]) && p[0] <= max(a[0], b[0])
			return !on
		}
		side := geom.Orient(a, b, p)
		on = side == 0
		// Half-open in y, so that a vertex counts for one of its edges.
		if side > 0 && p[1] != b[1] {
			in = !in
		}
		return !on
	})
	switch {
	case on:
		return geom.OnBoundary
	case in:
		return geom.Inside
	}
	return geom.Outside
}

// near reports whether p lies within tol of an edge.
func (x *indexed) near(p orb.Point, tol float64) bool {
	found := false
	x.each([2]float64{p[0] - tol, p[1] - tol}, [2]float64{p[0] + tol, p[1] + tol}, func(e lineCurve) bool {
		found = geom.SegmentDistance(e.a, e.b, p) <= tol
		return !found
	})
	return found
}

// crossings appends where on a-b, as shares of it, edges cross.
func (x *indexed) crossings(a, b orb.Point, ts []float64) []float64 {
	lo, hi := segmentBox(a, b, 0)
	x.each(lo, hi, func(e lineCurve) bool {
		u, v := sub(b, a), sub(e.b, e.a)
		if w := cross(u, v); w != 0 {
			t, k := cross(sub(e.a, a), v)/w, cross(sub(e.a, a), u)/w
			if t > 0 && t < 1 && k >= 0 && k <= 1 {
				ts = append(ts, t)
			}
		}
		return true
	})
	return ts
}

// bodies calls f with the ply's outline and the cut-outs whose boxes meet the
// box, until it returns false.
func (p *ply) bodies(lo, hi [2]float64, f func(*indexed) bool) {
	if f(p.outer.body) {
		p.holeT.Search(lo, hi, func(_, _ [2]float64, x *indexed) bool { return f(x) })
	}
}

// nearEdge reports whether a point lies within tol of the ply's outline or a
// cut-out.
func (p *ply) nearEdge(q orb.Point, tol float64) bool {
	found := false
	p.bodies([2]float64{q[0] - tol, q[1] - tol}, [2]float64{q[0] + tol, q[1] + tol}, func(x *indexed) bool {
		found = x.near(q, tol)
		return !found
	})
	return found
}

// inHole reports whether a point lies in a cut-out, further than tol from its
// edge.
func (p *ply) inHole(q orb.Point, tol float64) bool {
	in := false
	p.holeT.Search(q, q, func(_, _ [2]float64, x *indexed) bool {
		in = x.position(q) == geom.Inside && !x.near(q, tol)
		return !in
	})
	return in
}

// offMaterial reports whether a point lies outside the ply's material.
func (p *ply) offMaterial(q orb.Point) bool {
	return p.outer.body.position(q) == geom.Outside || p.inHole(q, 0)
}
