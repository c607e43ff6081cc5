package verify

import (
	"cmp"
	"slices"
)

// eachPair calls f for every two polygons whose boxes come within reach of each
// other, first index lower, until f returns false. Polygons that are nil are
// left out.
//
// It sweeps along the longer side of what the polygons cover: on a strip few
// plies stand side by side.
func eachPair(polys []*polygon, reach int64, f func(i, j int) bool) {
	var order []int
	var all box
	for i, p := range polys {
		if p == nil {
			continue
		}
		if len(order) == 0 {
			all = p.box
		}
		all = box{min(all.x0, p.box.x0), min(all.y0, p.box.y0), max(all.x1, p.box.x1), max(all.y1, p.box.y1)}
		order = append(order, i)
	}
	span := func(i int) (int64, int64) { return polys[i].box.x0, polys[i].box.x1 }
	if all.y1-all.y0 > all.x1-all.x0 {
		span = func(i int) (int64, int64) { return polys[i].box.y0, polys[i].box.y1 }
	}
	slices.SortFunc(order, func(i, j int) int {
		a, _ := span(i)
		b, _ := span(j)
		return cmp.Or(cmp.Compare(a, b), cmp.Compare(i, j))
	})
	var open []int
	for _, j := range order {
		start, _ := span(j)
		kept := open[:0]
		for _, i := range open {
			if _, end := span(i); end+reach < start {
				continue
			}
			kept = append(kept, i)
			if polys[i].box.near(polys[j].box, reach) && !f(min(i, j), max(i, j)) {
				return
			}
		}
		open = append(kept, j)
	}
}

// eachEdgePair calls f for every two edges whose boxes come within reach of
// each other, until f returns false. It sweeps along x.
func eachEdgePair(edges []edge, reach int64, f func(i, j int) bool) {
	type entry struct {
		box   box
		index int
	}
	order := make([]entry, len(edges))
	for i, e := range edges {
		order[i] = entry{e.box(), i}
	}
	slices.SortFunc(order, func(a, b entry) int {
		return cmp.Or(cmp.Compare(a.box.x0, b.box.x0), cmp.Compare(a.index, b.index))
	})
	for i := range order {
		a := &order[i]
		for k := i + 1; k < len(order) && order[k].box.x0-reach <= a.box.x1; k++ {
			if a.box.near(order[k].box, reach) && !f(a.index, order[k].index) {
				return
			}
		}
	}
}
