package picture

import (
	"sort"

	"plyroom/nest"
)

// Positions numbers the plies of a layout from 1 in the order they are met on
// one walk along the table: by where each begins along the roll, then across
// it. Plies of a spread that are cut in one go share a number.
func Positions(l *nest.Layout) []int {
	type start struct{ x, y, far float64 }
	at := make([]start, len(l.Placed))
	order := make([]int, len(l.Placed))
	for i := range l.Placed {
		order[i] = i
		for k, p := range l.Placed[i].Outline {
			if k == 0 || p[0] < at[i].x {
				at[i].x = p[0]
			}
			if k == 0 || p[1] < at[i].y {
				at[i].y = p[1]
			}
			if k == 0 || p[0] > at[i].far {
				at[i].far = p[0]
			}
		}
	}
	sort.SliceStable(order, func(a, b int) bool {
		p, q := at[order[a]], at[order[b]]
		switch {
		case p.x != q.x:
			return p.x < q.x
		case p.y != q.y:
			return p.y < q.y
		}
		return p.far < q.far
	})
	out := make([]int, len(order))
	n := 0
	for k, i := range order {
		if k == 0 || at[i] != at[order[k-1]] || l.Placed[i].Layer == l.Placed[order[k-1]].Layer {
			n++
		}
		out[i] = n
	}
	return out
}
