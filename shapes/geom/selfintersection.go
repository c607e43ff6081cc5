package geom

import (
	"slices"

	"github.com/paulmach/orb"
)

// SelfIntersection reports whether a ring, open or closed, crosses, touches or
// runs back along itself, and a place where it does. Repeated neighbouring
// vertices are no fault. The answer is exact; the time is O(n log n).
//
// The method is a sweep that stops at the first meeting: Shamos and Hoey,
// Geometric Intersection Problems.
func SelfIntersection(r orb.Ring) (at orb.Point, found bool) {
	ring := distinct(r)
	n := len(ring)
	if n < 2 {
		return orb.Point{}, false
	}
	if n == 2 {
		return ring[0], true
	}
	s := newSweep(ring)
	for _, e := range s.events {
		if e.end {
			if at, found = s.remove(e.edge); found {
				return at, true
			}
			continue
		}
		if at, found = s.insert(e.edge); found {
			return at, true
		}
	}
	return orb.Point{}, false
}

// distinct drops exactly repeated neighbours and the closing vertex.
func distinct(r orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(r))
	for _, p := range r {
		if n := len(out); n == 0 || out[n-1] != p {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out
}

func before(a, b orb.Point) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

type sweepEvent struct {
	at   orb.Point
	edge int32
	end  bool
}

// sweepEdge is edge i of the ring, from its earlier to its later end, and its
// place in the tree and the list of edges the sweep line meets.
type sweepEdge struct {
	l, r                orb.Point
	left, right, parent int32
	prev, next          int32
	priority            uint32
}

const none = -1

type sweep struct {
	edges  []sweepEdge
	events []sweepEvent
	root   int32
}

func newSweep(ring orb.Ring) *sweep {
	n := len(ring)
	s := &sweep{edges: make([]sweepEdge, n), events: make([]sweepEvent, 0, 2*n), root: none}
	rnd := uint32(2463534242)
	for i := range ring {
		a, b := ring[i], ring[(i+1)%n]
		if before(b, a) {
			a, b = b, a
		}
		rnd ^= rnd << 13
		rnd ^= rnd >> 17
		rnd ^= rnd << 5
		s.edges[i] = sweepEdge{l: a, r: b, left: none, right: none, parent: none, prev: none, next: none, priority: rnd}
		s.events = append(s.events, sweepEvent{a, int32(i), false}, sweepEvent{b, int32(i), true})
	}
	// At one place edges begin before others end, so that all that meet there
	// are in the tree together.
	slices.SortFunc(s.events, func(a, b sweepEvent) int {
		switch {
		case before(a.at, b.at):
			return -1
		case before(b.at, a.at):
			return 1
		case a.end != b.end:
			if b.end {
				return -1
			}
			return 1
		}
		return int(a.edge) - int(b.edge)
	})
	return s
}

// above reports whether edge e, which begins at the sweep line, lies above
// edge f, which is in the tree.
func (s *sweep) above(e, f int32) bool {
	a, b := &s.edges[e], &s.edges[f]
	o := Orient(b.l, b.r, a.l)
	if o == 0 {
		o = Orient(b.l, b.r, a.r)
	}
	return o > 0
}

func (s *sweep) insert(e int32) (orb.Point, bool) {
	if s.root == none {
		s.root = e
		return orb.Point{}, false
	}
	at, up := s.root, false
	for {
		up = s.above(e, at)
		next := s.edges[at].left
		if up {
			next = s.edges[at].right
		}
		if next == none {
			break
		}
		at = next
	}
	x := &s.edges[e]
	x.parent = at
	if up {
		s.edges[at].right = e
		x.prev, x.next = at, s.edges[at].next
	} else {
		s.edges[at].left = e
		x.prev, x.next = s.edges[at].prev, at
	}
	if x.prev != none {
		s.edges[x.prev].next = e
	}
	if x.next != none {
		s.edges[x.next].prev = e
	}
	for x.parent != none && s.edges[x.parent].priority < x.priority {
		s.rotateUp(e)
	}
	if p, ok := s.meet(x.prev, e); ok {
		return p, true
	}
	return s.meet(e, x.next)
}

func (s *sweep) remove(e int32) (orb.Point, bool) {
	x := &s.edges[e]
	for x.left != none || x.right != none {
		c := x.left
		if c == none || x.right != none && s.edges[x.right].priority > s.edges[c].priority {
			c = x.right
		}
		s.rotateUp(c)
	}
	switch {
	case x.parent == none:
		s.root = none
	case s.edges[x.parent].left == e:
		s.edges[x.parent].left = none
	default:
		s.edges[x.parent].right = none
	}
	if x.prev != none {
		s.edges[x.prev].next = x.next
	}
	if x.next != none {
		s.edges[x.next].prev = x.prev
	}
	return s.meet(x.prev, x.next)
}

// rotateUp lifts an edge over its parent in the tree.
func (s *sweep) rotateUp(e int32) {
	x := &s.edges[e]
	p := x.parent
	y := &s.edges[p]
	g := y.parent
	if y.left == e {
		y.left = x.right
		if x.right != none {
			s.edges[x.right].parent = p
		}
		x.right = p
	} else {
		y.right = x.left
		if x.left != none {
			s.edges[x.left].parent = p
		}
		x.left = p
	}
	y.parent, x.parent = e, g
	switch {
	case g == none:
		s.root = e
	case s.edges[g].left == p:
		s.edges[g].left = e
	default:
		s.edges[g].right = e
	}
}

// meet reports whether two edges share more than the vertex that joins them.
func (s *sweep) meet(e, f int32) (orb.Point, bool) {
	if e == none || f == none {
		return orb.Point{}, false
	}
	n := int32(len(s.edges))
	a, b := &s.edges[e], &s.edges[f]
	if (e+1)%n != f && (f+1)%n != e {
		return SegmentsMeet(a.l, a.r, b.l, b.r)
	}
	// Neighbours share a vertex; they are at fault only where one runs back
	// along the other.
	shared, p, q := a.l, a.r, b.r
	switch {
	case a.l == b.l:
	case a.r == b.r:
		shared, p, q = a.r, a.l, b.l
	default:
		// The later end of one is the earlier end of the other: straight on.
		return orb.Point{}, false
	}
	if Orient(shared, p, q) != 0 {
		return orb.Point{}, false
	}
	return shared, true
}

// SegmentsMeet reports whether the closed segments a-b and c-d share a point,
// exactly, and one such point, rounded.
func SegmentsMeet(a, b, c, d orb.Point) (orb.Point, bool) {
	o1, o2 := Orient(a, b, c), Orient(a, b, d)
	if o1*o2 > 0 {
		return orb.Point{}, false
	}
	o3, o4 := Orient(c, d, a), Orient(c, d, b)
	if o3*o4 > 0 {
		return orb.Point{}, false
	}
	switch {
	case o1 == 0 && inBox(a, b, c):
		return c, true
	case o2 == 0 && inBox(a, b, d):
		return d, true
	case o3 == 0 && inBox(c, d, a):
		return a, true
	case o4 == 0 && inBox(c, d, b):
		return b, true
	case o1 == 0 || o2 == 0 || o3 == 0 || o4 == 0:
		return orb.Point{}, false
	}
	ux, uy := b[0]-a[0], b[1]-a[1]
	vx, vy := d[0]-c[0], d[1]-c[1]
	w := float64(ux*vy) - float64(uy*vx)
	if w == 0 {
		return a, true
	}
	t := (float64((c[0]-a[0])*vy) - float64((c[1]-a[1])*vx)) / w
	return orb.Point{a[0] + float64(t*ux), a[1] + float64(t*uy)}, true
}

func inBox(a, b, p orb.Point) bool {
	return min(a[0], b[0]) <= p[0] && p[0] <= max(a[0], b[0]) &&
		min(a[1], b[1]) <= p[1] && p[1] <= max(a[1], b[1])
}
