package lattice

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
)

// A noFit is the set of translations of one ply at which it comes nearer than
// the gap to another at the origin: a union of convex polygons, each widened by
// the gap.
type noFit struct {
	pieces []convex
	gap    float64
	box    collide.Box // gap included
}

// A convex is a counter-clockwise convex polygon.
type convex struct {
	pts []orb.Point
	box collide.Box
}

// newNoFit adds the parts of a to those of b turned about the origin: the
// second ply at t meets the first exactly if t lies inside such a sum.
func newNoFit(a, b *collide.Body, gap float64) *noFit {
	n := &noFit{gap: gap}
	for i := range a.Boxes {
		p := part(a, i, 1)
		for j := range b.Boxes {
			n.pieces = append(n.pieces, newConvex(minkowski(p, part(b, j, -1))))
		}
	}
	n.finish()
	return n
}

// part is a convex part of a body, scaled by sign.
func part(b *collide.Body, k int, sign float64) []orb.Point {
	var out []orb.Point
	for i := b.Shape.Start[k]; i < b.Shape.Start[k+1]; i++ {
		out = append(out, orb.Point{sign * b.X[i], sign * b.Y[i]})
	}
	return out
}

// minkowski is the sum of two counter-clockwise convex polygons: their edges in
// order of angle.
func minkowski(p, q []orb.Point) []orb.Point {
	i0, j0 := lowest(p), lowest(q)
	n, m := len(p), len(q)
	out := make([]orb.Point, 0, n+m)
	for i, j := 0, 0; i < n || j < m; {
		a, b := p[(i0+i)%n], q[(j0+j)%m]
		out = append(out, orb.Point{a[0] + b[0], a[1] + b[1]})
		an, bn := p[(i0+i+1)%n], q[(j0+j+1)%m]
		turn := float64((an[0]-a[0])*(bn[1]-b[1])) - float64((an[1]-a[1])*(bn[0]-b[0]))
		switch {
		case j == m || i < n && turn > 0:
			i++
		case i == n || turn < 0:
			j++
		default:
			i++
			j++
		}
	}
	return out
}

func lowest(p []orb.Point) int {
	best := 0
	for i, v := range p {
		if v[1] < p[best][1] || v[1] == p[best][1] && v[0] < p[best][0] {
			best = i
		}
	}
	return best
}

func newConvex(pts []orb.Point) convex {
	b := orb.MultiPoint(pts).Bound()
	return convex{pts, collide.Box{MinX: b.Min[0], MinY: b.Min[1], MaxX: b.Max[0], MaxY: b.Max[1]}}
}

// finish takes the box.
func (n *noFit) finish() {
	n.box = collide.Box{MinX: math.Inf(1), MinY: math.Inf(1), MaxX: math.Inf(-1), MaxY: math.Inf(-1)}
	for i := range n.pieces {
		b := &n.pieces[i].box
		n.box.MinX, n.box.MaxX = min(n.box.MinX, b.MinX-n.gap), max(n.box.MaxX, b.MaxX+n.gap)
		n.box.MinY, n.box.MaxY = min(n.box.MinY, b.MinY-n.gap), max(n.box.MaxY, b.MaxY+n.gap)
	}
}

// mapped is the region with every point mapped; flip says that the map turns
// counter-clockwise into clockwise.
func (n *noFit) mapped(f func(orb.Point) orb.Point, flip bool) *noFit {
	out := &noFit{gap: n.gap, pieces: make([]convex, len(n.pieces))}
	for i := range n.pieces {
		pts := make([]orb.Point, len(n.pieces[i].pts))
		for k, v := range n.pieces[i].pts {
			pts[k] = f(v)
		}
		if flip {
			slices.Reverse(pts)
		}
		out.pieces[i] = newConvex(pts)
	}
	out.finish()
	return out
}

// transposed exchanges x and y.
func (n *noFit) transposed() *noFit {
	return n.mapped(func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} }, true)
}

// turned turns the region by minus the angle whose cosine and sine are given.
func (n *noFit) turned(cos, sin float64) *noFit {
	return n.mapped(func(p orb.Point) orb.Point {
		return orb.Point{float64(cos*p[0]) + float64(sin*p[1]), float64(cos*p[1]) - float64(sin*p[0])}
	}, false)
}
