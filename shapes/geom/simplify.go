package geom

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// SimplifyOuter returns a ring with fewer vertices that never cuts material
// away: everything that lay on the left of the ring still does, and the new
// boundary stands off the old one by no more than tol mm. Give exteriors
// counter-clockwise and cut-outs clockwise. A simple ring stays simple; where
// that cannot be had, the ring comes back as Clean leaves it.
func SimplifyOuter(r orb.Ring, tol float64) orb.Ring {
	r = Clean(r)
	if tol <= 0 || len(r) <= 4 {
		return r
	}
	for try := 0; try < 4; try++ {
		out := simplifyOuter(r, tol)
		if len(out) == len(r) {
			return r
		}
		if len(out) >= 3 && math.Signbit(SignedArea(out)) == math.Signbit(SignedArea(r)) {
			if _, crossed := SelfIntersection(out); !crossed {
				return out
			}
		}
		tol /= 4
	}
	return r
}

// outerNudge is mm, a thousand times the rounding of coordinates up to ten
// metres.
const outerNudge = 1e-9

// outerVertex is a vertex of the ring being simplified; off is how far the
// edge that leaves it may already stand off the original.
type outerVertex struct {
	p          orb.Point
	prev, next int
	off        float64
	gone       bool
}

// simplifyOuter walks round, dropping notches (a vertex with a right turn) and
// shaving off edges between two left turns by carrying their neighbours on
// until they meet, within a tolerance that doubles from round to round.
func simplifyOuter(r orb.Ring, tol float64) orb.Ring {
	n := len(r)
	vs := make([]outerVertex, n)
	for i, p := range r {
		vs[i] = outerVertex{p: p, prev: (i + n - 1) % n, next: (i + 1) % n}
	}
	left := n
	// Small changes first, all the way round, so that what is spent of the
	// tolerance stays even.
	for share := tol / 256; share <= tol; share *= 2 {
		at := 0
		for vs[at].gone {
			at = vs[at].next
		}
		for i := left; i > 0 && left > 4; i-- {
			if dropNotch(vs, at, share) || shaveEdge(vs, at, share) {
				left--
				at = vs[at].next
			}
			at = vs[at].next
		}
	}
	out := make(orb.Ring, 0, left)
	for _, v := range vs {
		if !v.gone {
			out = append(out, v.p)
		}
	}
	return out
}

// dropNotch removes vertex b where the ring turns right.
func dropNotch(vs []outerVertex, b int, tol float64) bool {
	a, c := vs[b].prev, vs[b].next
	if Orient(vs[a].p, vs[b].p, vs[c].p) > 0 {
		return false
	}
	h := SegmentDistance(vs[a].p, vs[c].p, vs[b].p)
	off := math.Max(vs[a].off, vs[b].off) + h
	if off > tol {
		return false
	}
	vs[a].off = off
	vs[a].next, vs[c].prev = c, a
	vs[b].gone = true
	return true
}

// shaveEdge replaces the edge from b to c by the place where the edges before
// and after it meet when carried on.
func shaveEdge(vs []outerVertex, b int, tol float64) bool {
	a, c := vs[b].prev, vs[b].next
	d := vs[c].next
	if a == d || Orient(vs[a].p, vs[b].p, vs[c].p) <= 0 || Orient(vs[b].p, vs[c].p, vs[d].p) <= 0 {
		return false
	}
	p, q := vs[b].p, vs[c].p
	ux, uy := p[0]-vs[a].p[0], p[1]-vs[a].p[1]
	vx, vy := vs[d].p[0]-q[0], vs[d].p[1]-q[1]
	w := float64(ux*vy) - float64(uy*vx)
	lu, lv := steady.Hypot(ux, uy), steady.Hypot(vx, vy)
	if w <= 1e-9*lu*lv {
		return false // together they turn half round or more, or hardly at all
	}
	t := (float64((q[0]-p[0])*vy) - float64((q[1]-p[1])*vx)) / w
	x := orb.Point{p[0] + float64(t*ux), p[1] + float64(t*uy)}
	// Rounding may put the corner a hair inside either edge; a nudge outward
	// makes up for it.
	if l := steady.Hypot(q[0]-p[0], q[1]-p[1]); l > 0 {
		x[0] += outerNudge * (q[1] - p[1]) / l
		x[1] -= outerNudge * (q[0] - p[0]) / l
	}
	off := math.Max(math.Max(vs[a].off, vs[b].off), vs[c].off) + SegmentDistance(p, q, x)
	if off > tol || Orient(vs[a].p, x, p) < 0 || Orient(x, vs[d].p, q) < 0 {
		return false
	}
	vs[b].p = x
	vs[a].off, vs[b].off = off, off
	vs[b].next, vs[d].prev = d, b
	vs[c].gone = true
	return true
}
