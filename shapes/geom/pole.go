package geom

import (
	"container/heap"
	"math"

	"github.com/paulmach/orb"
)

// poleProbes bounds the cells Pole looks at, poleWork the edges it looks at
// for them.
const (
	poleProbes = 20000
	poleWork   = 200_000_000
)

// Pole finds the widest place inside a polygon: the centre of the largest
// circle that fits between its edges, and the circle's radius, mm. The radius
// is within precision of the largest (precision 0 means 1 mm or a thousandth
// of the polygon's smaller side, whichever is less), unless the polygon is so
// ragged that 20,000 probes (fewer beyond 10,000 vertices) do not suffice. A polygon without area gives
// radius 0.
//
// A square cell about a centre at signed distance d from the boundary can hold
// no better place than d plus half its diagonal; cells are halved in order of
// that promise.
func Pole(exterior orb.Ring, holes []orb.Ring, precision float64) (centre orb.Point, radius float64) {
	if len(exterior) == 0 {
		return orb.Point{}, 0
	}
	b := Bound(exterior)
	w, h := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	centre = exterior[0]
	if !(w > 0 && h > 0) || math.IsInf(w, 0) || math.IsInf(h, 0) {
		return centre, 0
	}
	if precision <= 0 {
		precision = min(1, min(w, h)/1000)
	}
	probes := 0
	probe := func(c orb.Point, half float64) cell {
		probes++
		d := insideDistance(exterior, holes, c)
		if d > radius {
			centre, radius = c, d
		}
		return cell{c, half, d, d + float64(half*math.Sqrt2)}
	}
	edges := len(exterior)
	for _, h := range holes {
		edges += len(h)
	}
	most := min(poleProbes, max(poleWork/edges, 500))
	var q cells
	probe(b.Center(), 0) // first, so that it wins where others are as good
	half := float64(max(min(w, h), max(w, h)/256) / 2)
	for x := b.Min[0]; x < b.Max[0]; x += 2 * half {
		for y := b.Min[1]; y < b.Max[1]; y += 2 * half {
			q = append(q, probe(orb.Point{x + half, y + half}, half))
		}
	}
	heap.Init(&q)
	for len(q) > 0 && probes < most {
		c := heap.Pop(&q).(cell)
		if c.promise-radius <= precision {
			break
		}
		half = c.half / 2
		for _, s := range [4]orb.Point{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
			k := probe(orb.Point{c.centre[0] + float64(s[0]*half), c.centre[1] + float64(s[1]*half)}, half)
			if k.promise-radius > precision {
				heap.Push(&q, k)
			}
		}
	}
	return centre, radius
}

type cell struct {
	centre              orb.Point
	half, dist, promise float64
}

type cells []cell

func (c cells) Len() int           { return len(c) }
func (c cells) Less(i, j int) bool { return c[i].promise > c[j].promise }
func (c cells) Swap(i, j int)      { c[i], c[j] = c[j], c[i] }
func (c *cells) Push(x any)        { *c = append(*c, x.(cell)) }
func (c *cells) Pop() any {
	o := *c
	x := o[len(o)-1]
	*c = o[:len(o)-1]
	return x
}

// insideDistance is the distance from p to the nearest edge, negative outside
// the material.
func insideDistance(exterior orb.Ring, holes []orb.Ring, p orb.Point) float64 {
	d := RingDistance(exterior, p)
	for _, h := range holes {
		d = min(d, RingDistance(h, p))
	}
	if PointInPolygon(exterior, holes, p) != Inside {
		return -d
	}
	return d
}

// RingDistance is the distance from p to the nearest edge of a ring, mm.
func RingDistance(r orb.Ring, p orb.Point) float64 {
	best := math.Inf(1)
	for i := range r {
		j := i + 1
		if j == len(r) {
			j = 0
		}
		best = min(best, segmentDistance2(r[i], r[j], p))
	}
	return math.Sqrt(best)
}

// SegmentDistance is the distance from p to the segment a-b, mm.
func SegmentDistance(a, b, p orb.Point) float64 { return math.Sqrt(segmentDistance2(a, b, p)) }

func segmentDistance2(a, b, p orb.Point) float64 {
	ux, uy := b[0]-a[0], b[1]-a[1]
	vx, vy := p[0]-a[0], p[1]-a[1]
	if l := float64(ux*ux) + float64(uy*uy); l > 0 {
		t := (float64(vx*ux) + float64(vy*uy)) / l
		if t > 1 {
			t = 1
		}
		if t > 0 {
			vx -= float64(t * ux)
			vy -= float64(t * uy)
		}
	}
	return float64(vx*vx) + float64(vy*vy)
}
