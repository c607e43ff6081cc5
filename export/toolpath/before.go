package toolpath

import (
	"errors"
	"math"
	"sort"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes/geom"
)

// What "small" means where a small ply is cut before its large neighbour: once
// the neighbour is loose, nothing holds the fabric round the small one.
const (
	// smallArea is the largest area of a small ply, mm².
	smallArea = 15000
	// smallShare is how many times larger its neighbour is at least.
	smallShare = 10
	// smallReach is how close the two must be, mm.
	smallReach = 8
)

// A loop is one boundary or slit to be cut.
type loop struct {
	item   int
	kind   CutKind
	closed bool
	pts    orb.LineString
	area   float64
	bound  orb.Bound
	// must lists the loops that have to be cut before this one is cut
	// through; should, those that better are.
	must, should []int
}

// loopsOf lists every loop of the items, each item's slits and cut-outs before
// its outline, with what must come before what.
func loopsOf(items []item, once bool) ([]loop, error) {
	var loops []loop
	outline := make([]int, len(items))
	var holes rtree.RTreeG[int]
	for i := range items {
		it := &items[i]
		var inner []int
		for _, s := range it.slits {
			inner = append(inner, len(loops))
			loops = append(loops, loop{item: i, kind: Slit, pts: s, bound: orb.LineString(s).Bound()})
		}
		for _, h := range it.holes {
			inner = append(inner, len(loops))
			b := geom.Bound(h)
			holes.Insert(b.Min, b.Max, len(loops))
			loops = append(loops, loop{item: i, kind: Hole, closed: true, pts: orb.LineString(h), area: geom.Area(h), bound: b})
		}
		outline[i] = len(loops)
		loops = append(loops, loop{item: i, kind: Outline, closed: true, pts: orb.LineString(it.outline),
			area: geom.Area(it.outline), bound: it.bound, must: inner})
	}
	nested(items, loops, outline, &holes)
	smallFirst(items, loops, outline)
	if once {
		innerFirst(items, loops, outline)
	}
	if _, err := topological(loops); err != nil {
		return nil, err
	}
	return loops, nil
}

// nested makes every ply that lies inside a cut-out come before it.
func nested(items []item, loops []loop, outline []int, holes *rtree.RTreeG[int]) {
	if holes.Len() == 0 {
		return
	}
	for i := range items {
		at := insidePoint(items[i].outline)
		area := loops[outline[i]].area
		var in []int
		holes.Search(at, at, func(_, _ [2]float64, h int) bool {
			if loops[h].item != i && loops[h].area >= area*(1-1e-9) && geom.Contains(orb.Ring(loops[h].pts), at) == geom.Inside {
				in = append(in, h)
			}
			return true
		})
		sort.Ints(in)
		for _, h := range in {
			loops[h].must = append(loops[h].must, outline[i])
		}
	}
}

// smallFirst makes small plies come before large ones beside them.
func smallFirst(items []item, loops []loop, outline []int) {
	var boxes rtree.RTreeG[int]
	for i := range items {
		boxes.Insert(items[i].bound.Min, items[i].bound.Max, i)
	}
	for i := range items {
		area := loops[outline[i]].area
		if area > smallArea {
			continue
		}
		b := items[i].bound.Pad(smallReach)
		var large []int
		boxes.Search(b.Min, b.Max, func(_, _ [2]float64, k int) bool {
			if k != i && loops[outline[k]].area >= smallShare*area {
				large = append(large, k)
			}
			return true
		})
		sort.Ints(large)
		for _, k := range large {
			o := &loops[outline[k]]
			o.should = append(o.should, outline[i])
		}
	}
}

// innerFirst makes the cut-outs and slits of a ply come before the outlines of
// neighbours that share an edge with it: where shared edges are cut once, a
// neighbour's outline may be the one that sets the ply loose.
func innerFirst(items []item, loops []loop, outline []int) {
	var boxes rtree.RTreeG[int]
	for i := range items {
		boxes.Insert(items[i].bound.Min, items[i].bound.Max, i)
	}
	for i := range items {
		inner := loops[outline[i]].must
		if len(inner) == 0 {
			continue
		}
		b := items[i].bound.Pad(sameCut)
		var beside []int
		boxes.Search(b.Min, b.Max, func(_, _ [2]float64, k int) bool {
			if k != i && sharesEdge(items[i].outline, items[k].outline) {
				beside = append(beside, k)
			}
			return true
		})
		sort.Ints(beside)
		for _, k := range beside {
			loops[outline[k]].should = append(loops[outline[k]].should, inner...)
		}
	}
}

// topological lists the loops so that whatever must or should come before
// another stands before it.
func topological(loops []loop) ([]int, error) {
	left := make([]int, len(loops))
	after := make([][]int, len(loops))
	for i := range loops {
		left[i] = len(loops[i].must) + len(loops[i].should)
		for _, list := range [2][]int{loops[i].must, loops[i].should} {
			for _, k := range list {
				after[k] = append(after[k], i)
			}
		}
	}
	var order []int
	for i := range loops {
		if left[i] == 0 {
			order = append(order, i)
		}
	}
	for k := 0; k < len(order); k++ {
		for _, n := range after[order[k]] {
			if left[n]--; left[n] == 0 {
				order = append(order, n)
			}
		}
	}
	if len(order) < len(loops) {
		return nil, errors.New("plies lie inside one another's cut-outs in a circle; no order can cut them")
	}
	return order, nil
}

// insidePoint is a point inside a ring: the middle of the widest stretch of a
// level line that passes through the ring between two vertices.
func insidePoint(r orb.Ring) orb.Point {
	ys := make([]float64, len(r))
	for i, p := range r {
		ys[i] = p[1]
	}
	sort.Float64s(ys)
	// The level is set in the widest gap between vertices near the middle.
	level, gap := ys[0], -1.0
	for i := len(ys) / 4; i+1 < len(ys) && (i <= 3*len(ys)/4 || gap <= 0); i++ {
		if g := ys[i+1] - ys[i]; g > gap {
			level, gap = (ys[i+1]+ys[i])/2, g
		}
	}
	if gap <= 0 {
		level = (ys[0] + ys[len(ys)-1]) / 2
	}
	var xs []float64
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a[1] <= level) != (b[1] <= level) {
			xs = append(xs, a[0]+(level-a[1])*(b[0]-a[0])/(b[1]-a[1]))
		}
	}
	sort.Float64s(xs)
	best, wide := math.NaN(), -1.0
	for i := 0; i+1 < len(xs); i += 2 {
		if w := xs[i+1] - xs[i]; w > wide {
			best, wide = (xs[i]+xs[i+1])/2, w
		}
	}
	return orb.Point{best, level}
}
