package verify

import (
	"math"
	"slices"
)

// deepEnough is the depth that case 2 of overlap.go needs, lattice units.
const deepEnough = 2 * allowance

// maxScanLines bounds the work of the search for a deep point.
const maxScanLines = 24

// deepPoints returns points of p's material deeper than deepEnough: at least
// one in every connected part of such points that holds a disc of radius
// 1.2 deepEnough. It is empty where the ply is thinner than that everywhere.
//
// A ply whose edges, but for neighbours, keep 2·deepEnough apart has one such
// part: one point is enough. Else the ply may have a neck, so every part gets
// a point of its own: the rim of a part consists of stretches of p's edges
// moved inward by deepEnough, and of arcs about vertices that bulge into it.
// The free stretches of the moved edges give the points. A part with no
// straight rim lies between three or more arcs of radius deepEnough about
// vertices so close that a disc between them has a radius of at most 1.155
// deepEnough.
func (p *polygon) deepPoints() []spot {
	if p.deepDone {
		return p.deep
	}
	p.deepDone = true
	if s, d := p.deepest(); d > deepEnough {
		p.deep = append(p.deep, s)
	}
	if p.hasNeck(int64(math.Ceil(2 * deepEnough))) {
		p.deep = append(p.deep, p.movedInward()...)
	}
	return p.deep
}

// deepest looks along level lines halfway between vertices for a point far
// from all edges.
func (p *polygon) deepest() (spot, float64) {
	levels := p.levels()
	from := p.edges[0].a
	var xs []float64
	var best spot
	depth := 0.0
	for _, y := range levels {
		xs = xs[:0]
		for _, e := range p.edges {
			ay, by := float64(e.a.y-from.y), float64(e.b.y-from.y)
			if (ay > y) == (by > y) {
				continue
			}
			s := (y - ay) / (by - ay)
			xs = append(xs, float64(e.a.x-from.x)+float64(s*float64(e.b.x-e.a.x)))
		}
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] <= 2*depth {
				continue
			}
			s := spot{from, (xs[i] + xs[i+1]) / 2, y}
			if d := p.distanceTo(s); d > depth && p.contains(s) {
				best, depth = s, d
			}
		}
	}
	return best, depth
}

// levels returns the heights, relative to the first vertex, halfway between
// neighbouring heights of vertices: all, or the widest steps where there are
// many.
func (p *polygon) levels() []float64 {
	from := p.edges[0].a.y
	ys := make([]int64, len(p.edges))
	for i, e := range p.edges {
		ys[i] = e.a.y - from
	}
	slices.Sort(ys)
	ys = slices.Compact(ys)
	steps := make([]int, 0, len(ys))
	for i := 0; i+1 < len(ys); i++ {
		steps = append(steps, i)
	}
	slices.SortStableFunc(steps, func(i, j int) int {
		return -compareInt(ys[i+1]-ys[i], ys[j+1]-ys[j])
	})
	if len(steps) > maxScanLines {
		steps = steps[:maxScanLines]
	}
	out := make([]float64, len(steps))
	for k, i := range steps {
		out[k] = (float64(ys[i]) + float64(ys[i+1])) / 2
	}
	return out
}

func compareInt(a, b int64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// hasNeck reports whether two edges that are not neighbours in a ring come
// within width of each other.
func (p *polygon) hasNeck(width int64) bool {
	found := false
	eachEdgePair(p.edges, width, func(i, j int) bool {
		e, f := p.edges[i], p.edges[j]
		if e.b == f.a || f.b == e.a {
			return true
		}
		d, _ := edgeDistance(e, f)
		found = d <= float64(width)
		return !found
	})
	return found
}

// movedInward returns the middles of the free stretches of all edges moved to
// either side by a little more than deepEnough, where they are inside.
func (p *polygon) movedInward() []spot {
	const moved = deepEnough * 1.001
	var c coverer
	var out []spot
	for _, e := range p.edges {
		u := e.b.sub(e.a)
		l := u.length()
		for _, h := range [2]float64{moved, -moved} {
			sx, sy := float64(-float64(u.y)/l*h), float64(float64(u.x)/l*h)
			for _, iv := range c.clear(e, sx, sy, p.edges, deepEnough) {
				s := (iv.lo + iv.hi) / 2
				mid := spot{e.a, float64(s*float64(u.x)) + sx, float64(s*float64(u.y)) + sy}
				if p.contains(mid) {
					out = append(out, mid)
				}
			}
		}
	}
	return out
}
