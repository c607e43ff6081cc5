package toolpath

import (
	"math"
	"sort"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes/geom"
)

// A guard knows where there is ply, so that a cut that runs on past its end
// can be stopped before it enters one.
type guard struct {
	items []item
	boxes rtree.RTreeG[int]
}

func newGuard(items []item) *guard {
	g := &guard{items: items}
	for i := range items {
		g.boxes.Insert(items[i].bound.Min, items[i].bound.Max, i)
	}
	return g
}

// touch is how near a boundary counts as on it, mm.
const touch = 1e-3

// free is how far one may go from a point in a direction before entering a
// ply, at most most mm, and the item that would be entered, or -1.
func (g *guard) free(at, dir orb.Point, most float64) (float64, int) {
	to := orb.Point{at[0] + dir[0]*most, at[1] + dir[1]*most}
	box := orb.MultiPoint{at, to}.Bound()
	best, which := most, -1
	g.boxes.Search(box.Min, box.Max, func(_, _ [2]float64, i int) bool {
		if d := enters(&g.items[i], at, dir, best); d < best || d == best && which > i {
			best, which = d, i
		}
		return true
	})
	return best, which
}

// enters is how far along a ray the material of an item begins, at most most.
// Running along the boundary is not entering.
func enters(it *item, at, dir orb.Point, most float64) float64 {
	ts := []float64{0, most}
	rings := append([]orb.Ring{it.outline}, it.holes...)
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if t, ok := meet(at, dir, a, b, most); ok {
				ts = append(ts, t)
			}
		}
	}
	sort.Float64s(ts)
	for i := 0; i+1 < len(ts); i++ {
		if ts[i+1]-ts[i] < touch {
			continue
		}
		mid := (ts[i] + ts[i+1]) / 2
		p := orb.Point{at[0] + dir[0]*mid, at[1] + dir[1]*mid}
		if geom.PointInPolygon(it.outline, it.holes, p) == geom.Inside && boundaryDistance(rings, p) > touch/2 {
			return ts[i]
		}
	}
	return most
}

// meet is where a ray meets a segment, as a distance along the ray in (0,
// most). Parallel segments do not meet: their ends are met by their
// neighbours.
func meet(at, dir, a, b orb.Point, most float64) (float64, bool) {
	ex, ey := b[0]-a[0], b[1]-a[1]
	den := dir[0]*ey - dir[1]*ex
	if math.Abs(den) < 1e-12*math.Hypot(ex, ey) {
		return 0, false
	}
	ax, ay := a[0]-at[0], a[1]-at[1]
	t := (ax*ey - ay*ex) / den
	u := (ax*dir[1] - ay*dir[0]) / den
	return t, t > 0 && t < most && u >= -1e-9 && u <= 1+1e-9
}

func boundaryDistance(rings []orb.Ring, p orb.Point) float64 {
	d := math.Inf(1)
	for _, r := range rings {
		d = math.Min(d, geom.RingDistance(r, p))
	}
	return d
}
