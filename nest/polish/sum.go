package polish

import (
	"math"

	"github.com/paulmach/orb"
)

// A sum is where two convex parts overlap: with the first at the origin and the
// second moved by r, their interiors meet exactly where r lies inside the
// convex polygon first ⊕ (-second), the parts' no-fit polygon. It is the
// intersection of the half-planes normal·r <= support.
type sum struct {
	normal  []orb.Point // outward, of length 1, by angle
	support []float64
	vertex  []orb.Point // vertex[k] ends edge k
	first   []bool      // whether edge k is the first part's
}

// newSum adds up the parts. Every support is the greatest over all vertices,
// so that normal·r >= support keeps the parts apart however roughly the normal
// of a tiny edge is known.
func newSum(p, q *part) *sum {
	n, m := len(p.pts), len(q.pts)
	s := &sum{
		normal:  make([]orb.Point, 0, n+m),
		support: make([]float64, 0, n+m),
		vertex:  make([]orb.Point, 0, n+m),
		first:   make([]bool, 0, n+m),
	}
	// Both walks start at the lowest vertex, the leftmost of several; for -q
	// that is q's highest, the rightmost of several.
	i, j := lowest(p.pts, 1), lowest(q.pts, -1)
	edgeP := func(i int) orb.Point { return minus(p.pts[(i+1)%n], p.pts[i%n]) }
	edgeQ := func(j int) orb.Point { return minus(q.pts[j%m], q.pts[(j+1)%m]) }
	for a, b := 0, 0; a < n || b < m; {
		takeP := b == m
		if a < n && b < m {
			takeP = beforeByAngle(edgeP(i+a), edgeQ(j+b))
		}
		var e orb.Point
		if takeP {
			e = edgeP(i + a)
			a++
		} else {
			e = edgeQ(j + b)
			b++
		}
		s.add(p, q, takeP, e, minus(p.pts[(i+a)%n], q.pts[(j+b)%m]))
	}
	return s
}

func (s *sum) add(p, q *part, first bool, edge, end orb.Point) {
	normal, ok := unit(orb.Point{edge[1], -edge[0]})
	if !ok {
		return
	}
	s.normal = append(s.normal, normal)
	s.support = append(s.support, supportAlong(p, q, normal))
	s.vertex = append(s.vertex, end)
	s.first = append(s.first, first)
}

// supportAlong returns the least value that normal·r must have for the parts to
// lie on either side of a line across the normal.
func supportAlong(p, q *part, normal orb.Point) float64 {
	high, low := math.Inf(-1), math.Inf(1)
	for _, v := range p.pts {
		high = max(high, dot(normal, v))
	}
	for _, v := range q.pts {
		low = min(low, dot(normal, v))
	}
	return high - low
}

// separation returns the distance of r from the sum's boundary lines, the
// greatest of all edges, and that edge. It is negative inside. Outside it is
// the distance from the polygon unless a vertex is nearest, and then less.
func (s *sum) separation(r orb.Point) (float64, int) {
	best, edge := math.Inf(-1), 0
	for k, n := range s.normal {
		if d := dot(n, r) - s.support[k]; d > best {
			best, edge = d, k
		}
	}
	return best, edge
}

func lowest(pts []orb.Point, sign float64) int {
	best := 0
	for i, p := range pts {
		b := pts[best]
		if sign*p[1] < sign*b[1] || p[1] == b[1] && sign*p[0] < sign*b[0] {
			best = i
		}
	}
	return best
}

// beforeByAngle reports whether direction a comes before b, or with it, going
// counter-clockwise from the direction of x.
func beforeByAngle(a, b orb.Point) bool {
	ha, hb := lowerHalf(a), lowerHalf(b)
	if ha != hb {
		return hb
	}
	return float64(a[0]*b[1])-float64(a[1]*b[0]) >= 0
}

func lowerHalf(a orb.Point) bool { return a[1] < 0 || a[1] == 0 && a[0] < 0 }
