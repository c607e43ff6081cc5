package verify

import (
	"math"

	"plyroom/nest"
)

// How overlap is decided.
//
// Let t be RoundingAllowance (3 lattice units). Plies P and Q overlap where
//
//  1. a boundary point of one lies in the other, farther than t from the
//     other's boundary; or
//  2. a point chosen in P, deeper than 2t in P, lies in Q; or the other way
//     round.
//
// Sound: in case 1 the boundary of P passes through the interior of Q, and on
// one side of it is material of P. In case 2 the point itself is inside both.
//
// Complete: let a disc of radius above 2t lie in both, about c, and let case 1
// not hold. The points of P deeper than 2t in P form an open set; K is its
// connected part that holds c. No boundary point of Q is in K, for it would be
// deeper than t in P. So K lies wholly in Q, since c does: any one point of K
// shows the overlap. deepPoints yields a point of every such part. Were that
// point within t of the boundary of Q, too near to tell its side for certain,
// a boundary point of Q would lie deeper than 2t - t in P, which is case 1.
// This is what finds equal plies, plies with all edges aligned and plies
// inside one another, where no two edges cross.
//
// What remains is overlap that reaches no deeper than t from either boundary
// and holds no disc of radius 2.4 t (deep.go): what rounding makes of plies
// that touch. Cut-outs need no special case: a boundary point in the cut-out
// of Q is not in Q.
//
// Case 1 is decided edge by edge. The part of an edge of P within t of an edge
// of Q is an interval. What those intervals leave free of the edge is nowhere
// within t of the boundary of Q, so each free stretch is inside or outside as
// a whole and its middle tells which, with a margin of t. A free stretch shorter
// than gapNoise is not looked at; by itself it is no deeper than t + gapNoise.

// allowance is RoundingAllowance in lattice units.
const allowance = RoundingAllowance * unitsPerMM

// evidence is a place inside two plies and how deep it lies there, in lattice
// units.
type evidence struct {
	at    spot
	depth float64
}

// An overlapper decides overlap; its scratch space is reused from pair to
// pair.
type overlapper struct {
	cover coverer
	near  []edge
}

// overlap returns the deepest evidence found that p and q overlap.
func (o *overlapper) overlap(p, q *polygon) (evidence, bool) {
	if !p.box.near(q.box, 0) {
		return evidence{}, false
	}
	best := evidence{depth: math.Inf(-1)}
	o.reachInto(p, q, &best)
	o.reachInto(q, p, &best)
	deepIn(p, q, &best)
	deepIn(q, p, &best)
	return best, best.depth > math.Inf(-1)
}

// reachInto looks for case 1: boundary of p inside q.
func (o *overlapper) reachInto(p, q *polygon, best *evidence) {
	o.near = edgesNear(o.near[:0], q.edges, p.box, int64(allowance)+1)
	for _, e := range p.edges {
		if !e.box().near(q.box, 0) {
			continue
		}
		ux, uy := float64(e.b.x-e.a.x), float64(e.b.y-e.a.y)
		for _, iv := range o.cover.clear(e, 0, 0, o.near, allowance) {
			s := (iv.lo + iv.hi) / 2
			mid := spot{e.a, s * ux, s * uy}
			if !q.contains(mid) {
				continue
			}
			if d := q.distanceTo(mid); d > best.depth {
				*best = evidence{mid, d}
			}
		}
	}
}

// deepIn looks for case 2: a deep point of p inside q.
func deepIn(p, q *polygon, best *evidence) {
	for _, s := range p.deepPoints() {
		if !q.contains(s) {
			continue
		}
		d := q.distanceTo(s)
		if d <= allowance {
			continue // case 1 holds: see above
		}
		if d = min(d, p.distanceTo(s)); d > best.depth {
			*best = evidence{s, d}
		}
	}
}

// edgesNear appends the edges that come within reach of the box.
func edgesNear(dst, edges []edge, b box, reach int64) []edge {
	for _, e := range edges {
		if b.near(e.box(), reach) {
			dst = append(dst, e)
		}
	}
	return dst
}

// Overlap reports whether two plies overlap deeper than RoundingAllowance. It
// returns a place inside both and how deep that place lies, mm. Polygons whose
// coordinates are not finite or pass MaxCoordinate overlap nothing.
func Overlap(a, b nest.Polygon) (at nest.Point, depth float64, overlap bool) {
	p, q := snapPolygon(a), snapPolygon(b)
	if p == nil || q == nil {
		return nest.Point{}, 0, false
	}
	var o overlapper
	ev, ok := o.overlap(p, q)
	if !ok {
		return nest.Point{}, 0, false
	}
	return ev.at.mm(), ev.depth / unitsPerMM, true
}
