package geom

import (
	"cmp"
	"slices"

	"github.com/paulmach/orb"
)

// ConvexHull is the convex hull of points, open, counter-clockwise, without
// vertices on its edges, by the monotone chain of Andrew (Another Efficient
// Algorithm for Convex Hulls in Two Dimensions, 1979). Turns are decided
// exactly. Fewer than three distinct points, or points on a line, give what is
// left of them.
func ConvexHull(pts []orb.Point) orb.Ring {
	sorted := slices.Clone(pts)
	slices.SortFunc(sorted, func(a, b orb.Point) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
	})
	sorted = slices.Compact(sorted)
	if len(sorted) < 3 {
		return sorted
	}
	half := func(in []orb.Point) orb.Ring {
		var h orb.Ring
		for _, p := range in {
			for len(h) >= 2 && Orient(h[len(h)-2], h[len(h)-1], p) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		return h[:len(h)-1]
	}
	lower := half(sorted)
	slices.Reverse(sorted)
	return append(lower, half(sorted)...)
}
