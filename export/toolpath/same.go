package toolpath

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"plyroom/nest"
)

// sameLines reports whether every line of a is one of b.
func sameLines(a, b []orb.LineString) bool {
	for _, s := range a {
		if !slices.ContainsFunc(b, func(have orb.LineString) bool { return sameLine(have, s, sameCut) }) {
			return false
		}
	}
	return true
}

// near finds items by the left edge of their box.
type near struct {
	x    []float64
	item []int
}

func newNear() *near { return &near{} }

func (n *near) add(x float64, item int) {
	k := sort.SearchFloat64s(n.x, x)
	n.x = append(n.x, 0)
	n.item = append(n.item, 0)
	copy(n.x[k+1:], n.x[k:])
	copy(n.item[k+1:], n.item[k:])
	n.x[k], n.item[k] = x, item
}

// find looks for an item of other layers with the boundaries of it, or -1.
func (n *near) find(items []item, it *item, l *nest.Layout) int {
	x := it.bound.Min[0]
	for k := sort.SearchFloat64s(n.x, x-sameCut); k < len(n.x) && n.x[k] <= x+sameCut; k++ {
		have := &items[n.item[k]]
		if shareLayer(have, it, l) || len(have.holes) != len(it.holes) || !sameRing(have.outline, it.outline, sameCut) {
			continue
		}
		all := true
		for _, h := range it.holes {
			found := false
			for _, g := range have.holes {
				found = found || sameRing(g, h, sameCut)
			}
			all = all && found
		}
		if all {
			return n.item[k]
		}
	}
	return -1
}

func shareLayer(a, b *item, l *nest.Layout) bool {
	for _, i := range a.placed {
		for _, j := range b.placed {
			if l.Placed[i].Layer == l.Placed[j].Layer {
				return true
			}
		}
	}
	return false
}

// sameRing reports whether two rings have the same vertices in the same
// direction, whatever they begin with.
func sameRing(a, b orb.Ring, tol float64) bool {
	if len(a) != len(b) {
		return false
	}
	for off := range b {
		same := true
		for i := 0; same && i < len(a); i++ {
			same = dist(a[i], b[(i+off)%len(b)]) <= tol
		}
		if same {
			return true
		}
	}
	return false
}

func sameLine(a, b orb.LineString, tol float64) bool {
	if len(a) != len(b) {
		return false
	}
	same, back := true, true
	for i := range a {
		same = same && dist(a[i], b[i]) <= tol
		back = back && dist(a[i], b[len(b)-1-i]) <= tol
	}
	return same || back
}

// dist is the distance of two points. The conversions keep compilers from
// fusing the sum, so that every machine gets the same order.
func dist(a, b orb.Point) float64 {
	x, y := a[0]-b[0], a[1]-b[1]
	return math.Sqrt(float64(x*x) + float64(y*y))
}
