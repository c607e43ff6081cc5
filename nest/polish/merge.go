package polish

import (
	"slices"

	"github.com/paulmach/orb"
)

// mergeConvex joins triangles across their common edges, the longest first, as
// long as the result stays convex. At most four times as many parts as needed
// remain (Hertel and Mehlhorn, "Fast triangulation of simple polygons", 1983;
// from memory).
func mergeConvex(triangles [][]orb.Point) [][]orb.Point {
	type edge struct{ from, to orb.Point }
	owner := make(map[edge]int) // looked up only, never ranged over
	type diagonal struct {
		edge
		length float64
		order  int
	}
	var diagonals []diagonal
	for t, tri := range triangles {
		for i, a := range tri {
			b := tri[(i+1)%3]
			owner[edge{a, b}] = t
			if _, ok := owner[edge{b, a}]; ok {
				diagonals = append(diagonals, diagonal{edge{a, b}, squaredDistance(a, b), len(diagonals)})
			}
		}
	}
	slices.SortFunc(diagonals, func(a, b diagonal) int {
		switch {
		case a.length > b.length:
			return -1
		case a.length < b.length:
			return 1
		default:
			return a.order - b.order
		}
	})
	parts := slices.Clone(triangles)
	into := make([]int, len(parts)) // the part that took this one in
	for i := range into {
		into[i] = i
	}
	find := func(i int) int {
		for into[i] != i {
			i = into[i]
		}
		return i
	}
	for _, d := range diagonals {
		a, b := find(owner[d.edge]), find(owner[edge{d.to, d.from}])
		if a == b {
			continue
		}
		if joined := join(parts[a], parts[b], d.from, d.to); joined != nil {
			parts[a], parts[b] = joined, nil
			into[b] = a
		}
	}
	convex := parts[:0]
	for _, p := range parts {
		if p == nil {
			continue
		}
		n := len(p)
		kept := make([]orb.Point, 0, n)
		for i, v := range p {
			if orientation(p[(i+n-1)%n], v, p[(i+1)%n]) != 0 {
				kept = append(kept, v)
			}
		}
		convex = append(convex, kept)
	}
	return convex
}

// join returns the union of two convex parts along the edge that is from-to in
// the first and to-from in the second, or nil where it would not be convex.
func join(p, q []orb.Point, from, to orb.Point) []orb.Point {
	i, j := edgeIndex(p, from, to), edgeIndex(q, to, from)
	if i < 0 || j < 0 {
		return nil
	}
	n, m := len(p), len(q)
	// Around p from `to` to `from`, then around q from after `from`.
	if orientation(p[(i+n-1)%n], from, q[(j+2)%m]) < 0 ||
		orientation(q[(j+m-1)%m], to, p[(i+2)%n]) < 0 {
		return nil
	}
	joined := make([]orb.Point, 0, n+m-2)
	for k := range n {
		joined = append(joined, p[(i+1+k)%n])
	}
	for k := range m - 2 {
		joined = append(joined, q[(j+2+k)%m])
	}
	return joined
}

func edgeIndex(pts []orb.Point, from, to orb.Point) int {
	for i, p := range pts {
		if p == from && pts[(i+1)%len(pts)] == to {
			return i
		}
	}
	return -1
}
