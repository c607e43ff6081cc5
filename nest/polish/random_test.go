package polish

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
)

// checker is a *testing.T or a *rapid.T.
type checker interface {
	require.TestingT
	Helper()
}

// outline is a polygon as a test made it, for the outside library to judge.
type outline struct {
	exterior orb.Ring
	holes    []orb.Ring
}

// randomOutline makes a polygon of some kind and about the given size: convex,
// star-shaped, a rectangle, a comb, or a star with a hole; in floating-point or
// in whole coordinates.
func randomOutline(rng *rand.Rand, size float64) outline {
	round := func(p orb.Point) orb.Point { return p }
	if rng.IntN(2) == 0 {
		unit := size / 20
		round = func(p orb.Point) orb.Point {
			return orb.Point{math.Round(p[0]/unit) * unit, math.Round(p[1]/unit) * unit}
		}
	}
	star := func(n int, least, most float64) orb.Ring {
		angles := make([]float64, n)
		for i := range angles {
			angles[i] = 2 * math.Pi * (float64(i) + rng.Float64()*0.8) / float64(n)
		}
		ring := make(orb.Ring, n)
		for i, a := range angles {
			r := size / 2 * (least + (most-least)*rng.Float64())
			ring[i] = round(orb.Point{r * math.Cos(a), r * math.Sin(a)})
		}
		return ring
	}
	var o outline
	switch rng.IntN(5) {
	case 0:
		o.exterior = star(3+rng.IntN(6), 0.9, 1)
	case 1:
		o.exterior = star(5+rng.IntN(8), 0.4, 1)
	case 2:
		w, h := size*(0.2+rng.Float64()), size*(0.2+rng.Float64()/2)
		o.exterior = orb.Ring{round(orb.Point{0, 0}), round(orb.Point{w, 0}), round(orb.Point{w, h}), round(orb.Point{0, h})}
	case 3:
		// Teeth upward.
		teeth := 2 + rng.IntN(2)
		w := size / float64(2*teeth-1)
		o.exterior = orb.Ring{{0, 0}, {size, 0}}
		for t := teeth - 1; t >= 0; t-- {
			x := 2 * float64(t) * w
			o.exterior = append(o.exterior, orb.Point{x + w, size / 2}, orb.Point{x, size / 2})
			if t > 0 {
				o.exterior = append(o.exterior, orb.Point{x, size / 4}, orb.Point{x - w, size / 4})
			}
		}
	case 4:
		o.exterior = star(6+rng.IntN(4), 0.8, 1)
		hole := star(3+rng.IntN(4), 0.2, 0.5)
		o.holes = []orb.Ring{hole}
	}
	if rng.IntN(2) == 0 {
		o.exterior.Reverse()
	}
	if rng.IntN(2) == 0 {
		o.exterior = append(o.exterior, o.exterior[0])
	}
	return o
}

// outside returns the outline as a polygon of the outside library, moved.
func (o outline) outside(at orb.Point) geom.Polygon {
	rings := make([][]float64, 0, 1+len(o.holes))
	for _, ring := range append([]orb.Ring{o.exterior}, o.holes...) {
		var xys []float64
		for _, p := range ring {
			xys = append(xys, p[0]+at[0], p[1]+at[1])
		}
		if !slices.Equal(xys[:2], xys[len(xys)-2:]) {
			xys = append(xys, xys[0], xys[1])
		}
		rings = append(rings, xys)
	}
	return geom.NewPolygonXY(rings...)
}

// randomValid makes outlines until the outside library finds one valid.
func randomValid(rng *rand.Rand, size float64) outline {
	for {
		if o := randomOutline(rng, size); o.outside(orb.Point{}).Validate() == nil {
			return o
		}
	}
}

// intersectionArea returns the area that two polygons share, by the outside
// library. Near-coincident edges can defeat its overlay; a tiny shift of one
// polygon then helps, and changes the area by next to nothing.
func intersectionArea(tb checker, a, b geom.Polygon, size float64) float64 {
	tb.Helper()
	for k := range 5 {
		shift := float64(k) * 1e-12 * size
		moved := b.TransformXY(func(p geom.XY) geom.XY { return geom.XY{X: p.X + shift, Y: p.Y + shift/3} })
		shared, err := geom.Intersection(a.AsGeometry(), moved.AsGeometry())
		if err == nil {
			return shared.Area()
		}
	}
	require.Fail(tb, "the outside library cannot intersect two polygons")
	return 0
}

// requireApart checks a layout with the outside library: no two pieces share
// more area than rounding explains or are nearer than the gap, all lie within
// the strip and off its obstacles.
func requireApart(tb checker, strip Strip, outlines []outline, at []orb.Point, gap float64, length float64) {
	tb.Helper()
	scale := max(strip.Width, length)
	polys := make([]geom.Polygon, len(outlines))
	boxes := make([]orb.Bound, len(outlines))
	for i, o := range outlines {
		polys[i] = o.outside(at[i])
		boxes[i] = orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
		for _, p := range o.exterior {
			boxes[i] = boxes[i].Extend(plus(p, at[i]))
		}
		eps := 1e-9 * scale
		require.GreaterOrEqual(tb, boxes[i].Min[0], -eps, "piece %d", i)
		require.GreaterOrEqual(tb, boxes[i].Min[1], -eps, "piece %d", i)
		require.LessOrEqual(tb, boxes[i].Max[1], strip.Width+eps, "piece %d", i)
		require.LessOrEqual(tb, boxes[i].Max[0], length+eps, "piece %d", i)
	}
	allowed := 1e-9 * scale * scale
	for i := range polys {
		for j := range i {
			if !boxes[i].Pad(gap + 1e-6*scale).Intersects(boxes[j]) {
				continue
			}
			require.LessOrEqual(tb, intersectionArea(tb, polys[i], polys[j], scale), allowed, "pieces %d and %d overlap", j, i)
			if gap > 0 {
				d, ok := geom.Distance(polys[i].AsGeometry(), polys[j].AsGeometry())
				require.True(tb, ok)
				require.GreaterOrEqual(tb, d, gap-1e-9*scale, "pieces %d and %d", j, i)
			}
		}
		for k, o := range strip.Obstacles {
			box := outline{exterior: orb.Ring{o.Min, {o.Max[0], o.Min[1]}, o.Max, {o.Min[0], o.Max[1]}}}
			require.LessOrEqual(tb, intersectionArea(tb, polys[i], box.outside(orb.Point{}), scale), allowed, "piece %d in obstacle %d", i, k)
		}
	}
}

// wavyRing returns a smooth outline with bays, as flattened curves have it.
func wavyRing(vertices int) orb.Ring {
	ring := make(orb.Ring, vertices)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(vertices))
		r := 100 + 25*math.Sin(10*math.Pi*float64(i)/float64(vertices))
		ring[i] = orb.Point{r * cos, r * sin}
	}
	return ring
}
