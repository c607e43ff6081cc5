package polish

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
)

// checkSimple returns an error where two edges of the rings cross by more than
// tol. Rings that touch themselves or each other pass.
func checkSimple(tol float64, rings ...[]orb.Point) error {
	type edge struct{ a, b orb.Point }
	var edges []edge
	for _, r := range rings {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			if comparePoints(p, q) > 0 {
				p, q = q, p
			}
			edges = append(edges, edge{p, q})
		}
	}
	slices.SortFunc(edges, func(a, b edge) int { return compareFloats(a.a[0], b.a[0]) })
	for i, e := range edges {
		for _, f := range edges[i+1:] {
			if f.a[0] > e.b[0] {
				break
			}
			if crosses(e.a, e.b, f.a, f.b, tol) {
				return fmt.Errorf("%w: two edges cross near (%v, %v)", ErrShape, f.a[0], f.a[1])
			}
		}
	}
	return nil
}

// isConvex reports whether the ring turns left at each vertex and goes around
// once.
func isConvex(pts []orb.Point) bool {
	n := len(pts)
	minima := 0
	for i, p := range pts {
		prev, next := pts[(i+n-1)%n], pts[(i+1)%n]
		if orientation(prev, p, next) <= 0 {
			return false
		}
		if comparePoints(prev, p) > 0 && comparePoints(next, p) > 0 {
			minima++
		}
	}
	return n >= 3 && minima == 1
}
