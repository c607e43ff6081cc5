package toolpath

import (
	"math"
	"sort"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

// A guard knows where there is ply, so that a cut that runs on past its end
// can be stopped before it enters one.
type guard struct {
	items []item
	boxes rtree.RTreeG[int]
	edges []*edges // per item, made when first asked for
}

func newGuard(items []item) *guard {
	g := &guard{items: items, edges: make([]*edges, len(items))}
	for i := range items {
		g.boxes.Insert(items[i].bound.Min, items[i].bound.Max, i)
	}
	return g
}

// of are the edges of an item.
func (g *guard) of(i int) *edges {
	if g.edges[i] == nil {
		g.edges[i] = edgesOf(&g.items[i])
	}
	return g.edges[i]
}

// touch is how near a boundary counts as on it, mm.
const touch = 1e-3

// free is how far one may go from a point in a direction before entering a
// ply, at most most mm, and the item that would be entered, or -1.
func (g *guard) free(at, dir orb.Point, most float64) (float64, int) {
	to := along(at, dir, most)
	box := orb.MultiPoint{at, to}.Bound()
	best, which := most, -1
	g.boxes.Search(box.Min, box.Max, func(_, _ [2]float64, i int) bool {
		if d := g.of(i).enters(at, dir, best); d < best || d == best && which > i {
			best, which = d, i
		}
		return true
	})
	return best, which
}

// edges are the boundary segments of one item.
type edges struct {
	tree  rtree.RTreeG[[2]orb.Point]
	right float64
}

func edgesOf(it *item) *edges {
	e := &edges{right: it.bound.Max[0]}
	for _, r := range append([]orb.Ring{it.outline}, it.holes...) {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			box := orb.MultiPoint{a, b}.Bound()
			e.tree.Insert(box.Min, box.Max, [2]orb.Point{a, b})
		}
	}
	return e
}

// enters is how far along a ray the material begins, at most most. Running
// along the boundary is not entering.
func (e *edges) enters(at, dir orb.Point, most float64) float64 {
	ts := []float64{0, most}
	box := orb.MultiPoint{at, along(at, dir, most)}.Bound().Pad(touch)
	e.tree.Search(box.Min, box.Max, func(_, _ [2]float64, s [2]orb.Point) bool {
		if t, ok := meet(at, dir, s[0], s[1], most); ok {
			ts = append(ts, t)
		}
		return true
	})
	sort.Float64s(ts)
	for i := 0; i+1 < len(ts); i++ {
		if ts[i+1]-ts[i] < touch {
			continue
		}
		if p := along(at, dir, (ts[i]+ts[i+1])/2); !e.near(p) && e.inside(p) {
			return ts[i]
		}
	}
	return most
}

// near reports whether a point lies on the boundary, within half of touch.
func (e *edges) near(p orb.Point) bool {
	box := orb.Bound{Min: p, Max: p}.Pad(touch)
	found := false
	e.tree.Search(box.Min, box.Max, func(_, _ [2]float64, s [2]orb.Point) bool {
		found = geom.SegmentDistance(s[0], s[1], p) <= touch/2
		return !found
	})
	return found
}

// inside reports whether a point off the boundary lies in the material: a ray
// to the right leaves it an odd number of times.
func (e *edges) inside(p orb.Point) bool {
	in := false
	e.tree.Search(p, orb.Point{math.Max(p[0], e.right), p[1]}, func(_, _ [2]float64, s [2]orb.Point) bool {
		a, b := s[0], s[1]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
		return true
	})
	return in
}

// meet is where a ray meets a segment, as a distance along the ray in (0,
// most). Parallel segments do not meet: their ends are met by their
// neighbours.
func meet(at, dir, a, b orb.Point, most float64) (float64, bool) {
	ex, ey := b[0]-a[0], b[1]-a[1]
	den := float64(dir[0]*ey) - float64(dir[1]*ex)
	if math.Abs(den) < 1e-12*steady.Hypot(ex, ey) {
		return 0, false
	}
	ax, ay := a[0]-at[0], a[1]-at[1]
	t := (float64(ax*ey) - float64(ay*ex)) / den
	u := (float64(ax*dir[1]) - float64(ay*dir[0])) / den
	return t, t > 0 && t < most && u >= -1e-9 && u <= 1+1e-9
}
