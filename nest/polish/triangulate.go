package polish

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// triangulate cuts a polygon, whose exterior is counter-clockwise and whose
// holes are clockwise, into counter-clockwise triangles between its own
// vertices, by cutting off ears. All decisions are exact, until none is left
// that way: where an outline touches itself, rounding may have made it cross
// itself by less than tol, which is then put up with.
func triangulate(exterior []orb.Point, holes [][]orb.Point, tol float64) ([][]orb.Point, error) {
	ring, err := bridgeHoles(exterior, holes, tol)
	if err != nil {
		return nil, err
	}
	n := len(ring)
	next, prev := make([]int, n), make([]int, n)
	for i := range n {
		next[i], prev[i] = (i+1)%n, (i+n-1)%n
	}
	length := make([]float64, n) // of the diagonal that cuts the ear off, or -1
	allowed := 0.0
	judge := func(i int) {
		length[i] = -1
		if isEar(ring, next, prev, i, allowed) {
			length[i] = squaredDistance(ring[prev[i]], ring[next[i]])
		}
	}
	for i := range n {
		judge(i)
	}
	triangles := make([][]orb.Point, 0, n-2)
	at := 0 // some vertex still in the ring
	for left := n; left >= 3; left-- {
		// Of all ears take the one with the shortest diagonal.
		ear := -1
		for k, i := 0, at; k < left; k, i = k+1, next[i] {
			if orientation(ring[prev[i]], ring[i], ring[next[i]]) == 0 {
				ear = i // without area
				break
			}
			if length[i] >= 0 && (ear < 0 || length[i] < length[ear] || length[i] == length[ear] && i < ear) {
				ear = i
			}
		}
		for ear < 0 {
			// A vertex that blocked an ear may itself have been cut off.
			for k, i := 0, at; k < left && ear < 0; k, i = k+1, next[i] {
				if judge(i); length[i] >= 0 {
					ear = i
				}
			}
			if allowed > 0 {
				break
			}
			if ear < 0 {
				allowed = tol
			}
		}
		if ear < 0 {
			ear = flattest(ring, next, prev, at, left, tol)
		}
		if ear < 0 {
			return nil, fmt.Errorf("%w: its outline crosses itself near (%v, %v)", ErrShape, ring[at][0], ring[at][1])
		}
		p, q := prev[ear], next[ear]
		if orientation(ring[p], ring[ear], ring[q]) > 0 {
			triangles = append(triangles, []orb.Point{ring[p], ring[ear], ring[q]})
		}
		next[p], prev[q] = q, p
		at = p
		judge(p)
		judge(q)
	}
	return triangles, nil
}

// flattest returns a vertex that lies within tol of the line between its
// neighbours, or -1: cutting it off changes next to nothing, whichever way it
// turns.
func flattest(ring []orb.Point, next, prev []int, at, left int, tol float64) int {
	best, flat := -1, tol
	for k, i := 0, at; k < left; k, i = k+1, next[i] {
		if d := fromLine(ring[i], ring[prev[i]], ring[next[i]]); d <= flat {
			best, flat = i, d
		}
	}
	return best
}

// isEar reports whether the triangle at vertex i can be cut off: it turns left,
// holds no other vertex, and no edge crosses its third side. A ring made with
// bridges has vertices at the same place, hence the last condition. What is
// less than tol deep does not count.
func isEar(ring []orb.Point, next, prev []int, i int, tol float64) bool {
	a, b, c := ring[prev[i]], ring[i], ring[next[i]]
	if orientation(a, b, c) <= 0 {
		return false
	}
	lowX, highX := min(a[0], b[0], c[0]), max(a[0], b[0], c[0])
	lowY, highY := min(a[1], b[1], c[1]), max(a[1], b[1], c[1])
	for k := next[next[i]]; k != prev[i]; k = next[k] {
		p := ring[k]
		if p == a || p == b || p == c {
			continue
		}
		if p[0] >= lowX && p[0] <= highX && p[1] >= lowY && p[1] <= highY && inTriangle(p, a, b, c) &&
			(tol == 0 || min(fromLine(p, a, b), fromLine(p, b, c), fromLine(p, c, a)) > tol) {
			return false
		}
	}
	for k := next[i]; k != prev[i]; k = next[k] {
		if crosses(a, c, ring[k], ring[next[k]], tol) {
			return false
		}
	}
	return true
}

// crosses reports whether two segments cross at a point inside both, and by more
// than tol, which is how far the nearest of their ends is from the other's line.
func crosses(a, b, c, d orb.Point, tol float64) bool {
	if max(c[0], d[0]) < min(a[0], b[0]) || min(c[0], d[0]) > max(a[0], b[0]) ||
		max(c[1], d[1]) < min(a[1], b[1]) || min(c[1], d[1]) > max(a[1], b[1]) {
		return false
	}
	if orientation(a, b, c)*orientation(a, b, d) >= 0 || orientation(c, d, a)*orientation(c, d, b) >= 0 {
		return false
	}
	return tol == 0 ||
		min(fromLine(c, a, b), fromLine(d, a, b), fromLine(a, c, d), fromLine(b, c, d)) > tol
}

// fromLine returns the distance of p from the line through a and b.
func fromLine(p, a, b orb.Point) float64 {
	n, ok := unit(perpendicular(minus(b, a)))
	if !ok {
		return norm(minus(p, a))
	}
	return math.Abs(dot(n, minus(p, a)))
}

// bridgeHoles joins the holes to the exterior by bridges of no width, each
// walked there and back, so that one ring encloses the polygon's area.
func bridgeHoles(exterior []orb.Point, holes [][]orb.Point, tol float64) ([]orb.Point, error) {
	ring := slices.Clone(exterior)
	order := slices.Clone(holes)
	for _, h := range order {
		if len(h) == 0 {
			return nil, fmt.Errorf("%w: a hole has no vertices", ErrShape)
		}
	}
	// From the rightmost vertex of the rightmost hole some vertex of the ring
	// can always be seen.
	slices.SortStableFunc(order, func(a, b []orb.Point) int {
		return comparePoints(b[rightmost(b)], a[rightmost(a)])
	})
	for i, hole := range order {
		m := rightmost(hole)
		v := bridgeEnd(ring, order[i:], hole[m], 0)
		if v < 0 {
			v = bridgeEnd(ring, order[i:], hole[m], tol)
		}
		if v < 0 {
			return nil, fmt.Errorf("%w: the hole at (%v, %v) does not lie in it", ErrShape, hole[m][0], hole[m][1])
		}
		joined := make([]orb.Point, 0, len(ring)+len(hole)+2)
		joined = append(joined, ring[:v+1]...)
		joined = append(joined, hole[m:]...)
		joined = append(joined, hole[:m+1]...)
		joined = append(joined, ring[v:]...)
		ring = joined
	}
	return ring, nil
}

func comparePoints(a, b orb.Point) int {
	for k := range 2 {
		if a[k] < b[k] {
			return -1
		} else if a[k] > b[k] {
			return 1
		}
	}
	return 0
}

func rightmost(pts []orb.Point) int {
	best := 0
	for i, p := range pts {
		if comparePoints(p, pts[best]) > 0 {
			best = i
		}
	}
	return best
}

// bridgeEnd returns the nearest vertex of the ring that can be seen from m, a
// vertex of a hole, or -1.
func bridgeEnd(ring []orb.Point, holes [][]orb.Point, m orb.Point, tol float64) int {
	candidates := make([]int, 0, len(ring))
	for i := range ring {
		candidates = append(candidates, i)
	}
	slices.SortStableFunc(candidates, func(a, b int) int {
		da, db := squaredDistance(ring[a], m), squaredDistance(ring[b], m)
		if da < db {
			return -1
		} else if da > db {
			return 1
		}
		return 0
	})
	n := len(ring)
	for _, v := range candidates {
		if !inCone(ring[(v+n-1)%n], ring[v], ring[(v+1)%n], m, tol) || blocked(ring, ring[v], m, tol) {
			continue
		}
		if !slices.ContainsFunc(holes, func(h []orb.Point) bool { return blocked(h, ring[v], m, tol) }) {
			return v
		}
	}
	return -1
}

// inCone reports whether p, seen from vertex v of a ring with its interior on
// the left, lies between the edges that meet there. A hole that touches the
// ring has p at v itself, which counts as seen.
func inCone(prev, v, next, p orb.Point, tol float64) bool {
	if p == v {
		return true
	}
	fromPrev, toNext := orientation(prev, v, p) > 0, orientation(v, next, p) > 0
	if tol > 0 {
		fromPrev = fromPrev || fromLine(p, prev, v) <= tol
		toNext = toNext || fromLine(p, v, next) <= tol
	}
	if orientation(prev, v, next) > 0 {
		return fromPrev && toNext
	}
	return fromPrev || toNext
}

// blocked reports whether an edge of the ring crosses the segment from a to b,
// or a vertex other than its ends lies on it.
func blocked(ring []orb.Point, a, b orb.Point, tol float64) bool {
	if a == b {
		return false
	}
	n := len(ring)
	for i, p := range ring {
		if crosses(a, b, p, ring[(i+1)%n], tol) {
			return true
		}
		if p != a && p != b && orientation(a, b, p) == 0 &&
			p[0] >= min(a[0], b[0]) && p[0] <= max(a[0], b[0]) &&
			p[1] >= min(a[1], b[1]) && p[1] <= max(a[1], b[1]) {
			return true
		}
	}
	return false
}

func squaredDistance(a, b orb.Point) float64 {
	dx, dy := a[0]-b[0], a[1]-b[1]
	return float64(dx*dx) + float64(dy*dy)
}
