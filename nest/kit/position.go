package kit

import (
	"fmt"
	"math"
	"sort"

	"plyroom/nest"
)

// A CutOrder lists the indexes of l.Placed in the order in which the pieces
// come off the table, each once.
type CutOrder func(l *nest.Layout) []int

// AlongRoll is the order of one walk along the table: by the nearest x of
// each piece, then by y, upper layer first.
func AlongRoll(l *nest.Layout) []int {
	boxes := boxesOf(l)
	idx := make([]int, len(l.Placed))
	for i := range idx {
		idx[i] = i
	}
	sort.SliceStable(idx, func(a, b int) bool {
		p, q := boxes[idx[a]], boxes[idx[b]]
		if p[0] != q[0] {
			return p[0] < q[0]
		}
		if p[1] != q[1] {
			return p[1] < q[1]
		}
		return l.Placed[idx[a]].Layer > l.Placed[idx[b]].Layer
	})
	return idx
}

// Positions numbers the pieces of a layout from 1 in the order off the table,
// one number per index of l.Placed. Pieces of different layers with one
// outline are cut in one pass and share a number.
func Positions(l *nest.Layout, order CutOrder) ([]int, error) {
	if order == nil {
		order = AlongRoll
	}
	idx := order(l)
	if len(idx) != len(l.Placed) {
		return nil, fmt.Errorf("layout %s: the cut order lists %d of %d plies", l.ID, len(idx), len(l.Placed))
	}
	boxes := boxesOf(l)
	out := make([]int, len(l.Placed))
	shared := map[[4]float64]map[int]int{} // box, then layer, to number
	next := 1
	for _, i := range idx {
		if i < 0 || i >= len(out) || out[i] != 0 {
			return nil, fmt.Errorf("layout %s: the cut order lists ply %d twice or not at all", l.ID, i)
		}
		at := shared[boxes[i]]
		if at == nil {
			at = map[int]int{}
			shared[boxes[i]] = at
		}
		layer := l.Placed[i].Layer
		for other, n := range at {
			if other != layer {
				out[i] = n
			}
		}
		if out[i] == 0 {
			out[i] = next
			next++
		}
		at[layer] = out[i]
	}
	return out, nil
}

// boxesOf are the bounding boxes of the placed outlines, rounded to a
// micrometre so that equal cuts compare equal.
func boxesOf(l *nest.Layout) [][4]float64 {
	out := make([][4]float64, len(l.Placed))
	for i := range l.Placed {
		b := box(l.Placed[i].Outline)
		for k, v := range b {
			out[i][k] = math.Round(v*1000) / 1000
		}
	}
	return out
}

// box is the least and greatest x and y of a ring; zero for an empty one.
func box(r nest.Ring) [4]float64 {
	if len(r) == 0 {
		return [4]float64{}
	}
	b := [4]float64{r[0][0], r[0][1], r[0][0], r[0][1]}
	for _, p := range r[1:] {
		b[0], b[1] = min(b[0], p[0]), min(b[1], p[1])
		b[2], b[3] = max(b[2], p[0]), max(b[3], p[1])
	}
	return b
}
