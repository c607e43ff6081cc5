package collide

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
)

// star is a random simple polygon around the origin; spiky ones are far from
// convex, round ones near it. Coordinates are snapped to a grid of step so
// that aligned edges and shared corners happen.
func star(r *rand.Rand, n int, spiky, step float64) orb.Ring {
	for {
		var ring orb.Ring
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n)
			d := 10 * (1 - spiky*r.Float64())
			x, y := d*math.Cos(a), d*math.Sin(a)
			if step > 0 {
				x, y = math.Round(x/step)*step, math.Round(y/step)*step
			}
			ring = append(ring, orb.Point{x, y})
		}
		g := polygon(ring)
		if g.Validate() == nil && g.Area() > 1 {
			return ring
		}
	}
}

func polygon(rings ...orb.Ring) geom.Geometry {
	var lines []geom.LineString
	for _, r := range rings {
		var c []float64
		for _, p := range r {
			c = append(c, p[0], p[1])
		}
		c = append(c, r[0][0], r[0][1])
		lines = append(lines, geom.NewLineString(geom.NewSequence(c, geom.DimXY)))
	}
	return geom.NewPolygon(lines).AsGeometry()
}

// outline returns the ring as the body has it, moved to (x, y).
func outline(b *Body, ring orb.Ring, x, y float64) orb.Ring {
	var out orb.Ring
	for _, p := range ring {
		px, py := p[0]-b.Shape.CenterX, p[1]-b.Shape.CenterY
		if b.Mirrored {
			py = -py
		}
		out = append(out, orb.Point{b.Cos*px - b.Sin*py + x, b.Sin*px + b.Cos*py + y})
	}
	return out
}

func sharedArea(t testing.TB, a, b geom.Geometry) float64 {
	x, err := geom.Intersection(a, b)
	require.NoError(t, err)
	return x.Area()
}

// checkPair compares every way of judging with the outside library.
func checkPair(t testing.TB, ra, rb orb.Ring, a, b *Body, tx, ty, gap float64) {
	const tol = 1e-9
	ga, gb := polygon(outline(a, ra, 0, 0)), polygon(outline(b, rb, tx, ty))
	var want, clear bool
	if gap == 0 {
		area := sharedArea(t, ga, gb)
		want, clear = area > 0, area == 0 || area > 1e-6
		if area == 0 && Depth(a, b, tx, ty, 0, tol) < 1e-7 {
			clear = clear && !Overlap(a, b, tx, ty, 0, 1e-7)
		}
	} else {
		d, _ := geom.Distance(ga, gb)
		want, clear = d < gap, math.Abs(d-gap) > 1e-6
	}
	if !clear {
		return // shallower than the judge looks
	}
	got := Overlap(a, b, tx, ty, gap, tol)
	require.Equalf(t, want, got, "judge: %v %v at %v %v gap %v", ra, rb, tx, ty, gap)
	require.Equal(t, got, Overlap(b, a, -tx, -ty, gap, tol), "judge is symmetric")
	require.Equal(t, got, Measure(a, b, tx, ty, gap, tol, math.Inf(1)) > 0, "measure agrees with the judge")
	require.Equal(t, got, Depth(a, b, tx, ty, gap, tol) > 0, "depth agrees with the judge")
	tab := NewTable(a, b, gap, tol, 0, 24)
	if gap == 0 || got {
		require.Equalf(t, got, tab.Overlap(tx, ty), "table: %v %v at %v %v gap %v", ra, rb, tx, ty, gap)
	}
	require.Equal(t, tab.Overlap(tx, ty), tab.Measure(tx, ty, false) > 0, "table measure agrees")
	leeway := 0.02 * math.Min(a.Shape.Diameter, b.Shape.Diameter)
	kind := NewTable(a, b, gap, tol, leeway, 24)
	require.Equal(t, tab.Overlap(tx, ty), kind.Overlap(tx, ty), "a leeway changes nothing for the judge")
	require.Equal(t, NewTable(a, b, gap, leeway, leeway, 24).Overlap(tx, ty), kind.Measure(tx, ty, true) > 0, "leeway as tolerance")
}

func TestJudgeAgainstOutsideLibrary(t *testing.T) {
	n := 1500
	if testing.Short() {
		n = 400
	}
	r := rand.New(rand.NewPCG(1, 2))
	for range n {
		step := []float64{0, 1, 2.5}[r.IntN(3)]
		ra, rb := star(r, 3+r.IntN(10), r.Float64(), step), star(r, 3+r.IntN(10), r.Float64(), step)
		randomPair(t, r, ra, rb, step)
	}
}

func randomPair(t testing.TB, r *rand.Rand, ra, rb orb.Ring, step float64) {
	sa, err := NewShape(ra, nil)
	require.NoError(t, err)
	sb, err := NewShape(rb, nil)
	require.NoError(t, err)
	angle := func() float64 {
		if step > 0 {
			return float64(90 * r.IntN(4))
		}
		return 360 * r.Float64()
	}
	a, b := NewBody(sa, r.IntN(2) == 0, angle()), NewBody(sb, r.IntN(2) == 0, angle())
	tx, ty := (r.Float64()-0.5)*40, (r.Float64()-0.5)*40
	if step > 0 {
		// On the grid: many exact contacts.
		tx = math.Round(tx/step)*step + math.Mod(sa.CenterX, step)
		ty = math.Round(ty/step) * step
	}
	gap := []float64{0, 0, 0.7}[r.IntN(3)]
	checkPair(t, ra, rb, a, b, tx, ty, gap)
}

func FuzzJudge(f *testing.F) {
	for s := range uint64(8) {
		f.Add(s, uint8(s+3), uint8(12-s), uint8(s%3))
	}
	f.Fuzz(func(t *testing.T, seed uint64, na, nb, grid uint8) {
		r := rand.New(rand.NewPCG(seed, 7))
		step := []float64{0, 1, 2.5}[grid%3]
		ra := star(r, 3+int(na%12), r.Float64(), step)
		rb := star(r, 3+int(nb%12), r.Float64(), step)
		randomPair(t, r, ra, rb, step)
	})
}

func TestRectanglesSharingMostOfTheirEdges(t *testing.T) {
	// One rectangle slid along the other by 7 %: all edges aligned, no strict
	// crossing, no vertex inside.
	s, err := NewShape(orb.Ring{{0, 0}, {100, 0}, {100, 10}, {0, 10}}, nil)
	require.NoError(t, err)
	a := NewBody(s, false, 0)
	require.True(t, Overlap(a, a, 7, 0, 0, 1e-9))
	require.True(t, Overlap(a, a, 0, 0, 0, 1e-9))
	require.False(t, Overlap(a, a, 100, 0, 0, 1e-9))
	require.False(t, Overlap(a, a, 0, 10, 0, 1e-9))
	require.True(t, Overlap(a, a, 0, 10, 3, 1e-9))
	require.False(t, Overlap(a, a, 0, 13, 3, 1e-9))
}

func TestPlyInsideCutOut(t *testing.T) {
	frame, err := NewShape(orb.Ring{{0, 0}, {20, 0}, {20, 20}, {0, 20}}, []orb.Ring{{{5, 5}, {15, 5}, {15, 15}, {5, 15}}})
	require.NoError(t, err)
	require.InDelta(t, 300, frame.Area, 1e-9)
	square, err := NewShape(orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, nil)
	require.NoError(t, err)
	a, b := NewBody(frame, false, 0), NewBody(square, false, 0)
	tab := NewTable(a, b, 0, 1e-9, 0, 32)
	require.False(t, Overlap(a, b, 0, 0, 0, 1e-9), "an exact fit in the cut-out")
	require.False(t, tab.Overlap(0, 0), "the table keeps the slot of no width")
	require.True(t, Overlap(a, b, 0.01, 0, 0, 1e-9))
	require.True(t, tab.Overlap(0.01, 0))
	require.True(t, Overlap(a, b, 0, 0, 0.5, 1e-9), "no room for a gap")
}

func TestBadRings(t *testing.T) {
	for name, c := range map[string]struct {
		ring orb.Ring
		want error
	}{
		"not a number":    {orb.Ring{{0, 0}, {1, math.NaN()}, {1, 1}}, ErrNotFinite},
		"infinite":        {orb.Ring{{0, 0}, {1, math.Inf(1)}, {1, 1}}, ErrNotFinite},
		"two points":      {orb.Ring{{0, 0}, {1, 1}}, ErrDegenerate},
		"a line":          {orb.Ring{{0, 0}, {1, 1}, {2, 2}, {3, 3}}, ErrDegenerate},
		"folded":          {orb.Ring{{0, 0}, {5, 0}, {0, 0}, {7, 0}}, ErrDegenerate},
		"nothing":         {nil, ErrDegenerate},
		"repeated points": {orb.Ring{{1, 1}, {1, 1}, {1, 1}, {1, 1}}, ErrDegenerate},
	} {
		_, err := NewShape(c.ring, nil)
		require.ErrorIsf(t, err, c.want, name)
	}
}

func TestThinShapeKeepsItsLargestCircle(t *testing.T) {
	s, err := NewShape(orb.Ring{{0, 0}, {1000, 0}, {1000, 1}, {700, 1}, {690, 9}, {680, 1}, {0, 1}}, nil)
	require.NoError(t, err)
	require.Greater(t, s.Poles[0].R, 2.0)
}
