package toolpath

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// tangents is an arc of a circle about c as the reader of drawings flattens one
// that turns left: the tangents at equal steps, so that the edges touch the arc
// in their middles and the vertices stand off it by chord.
func tangents(c orb.Point, r, from, sweep, chord float64) orb.LineString {
	n := math.Ceil(math.Abs(sweep) / (2 * math.Acos(r/(r+chord))))
	half := sweep / (2 * n)
	at := func(a, r float64) orb.Point { return orb.Point{c[0] + r*math.Cos(a), c[1] + r*math.Sin(a)} }
	out := orb.LineString{at(from, r)}
	for i := 0.0; i < n; i++ {
		out = append(out, at(from+half*(2*i+1), r/math.Cos(half)))
	}
	return append(out, at(from+sweep, r))
}

// proveSegments checks, sample by sample, that segments and polyline are never
// further apart than tol and that the segments hang together.
func proveSegments(t require.TestingT, line orb.LineString, closed bool, start orb.Point, segs []Segment, tol float64) {
	at := start
	var drawn orb.LineString
	drawn = append(drawn, at)
	for i := range segs {
		s := &segs[i]
		if s.Sweep != 0 {
			require.LessOrEqual(t, math.Abs(s.Sweep), 120+1e-9)
			require.InDelta(t, dist(s.Centre, at), dist(s.Centre, s.To), 1e-6, "the ends of an arc lie on one circle")
			sin, cos := math.Sincos(s.Sweep * math.Pi / 180)
			x, y := at[0]-s.Centre[0], at[1]-s.Centre[1]
			require.InDelta(t, 0, dist(s.To, orb.Point{s.Centre[0] + x*cos - y*sin, s.Centre[1] + x*sin + y*cos}), 1e-5, "the sweep leads to the end")
		}
		drawn = append(drawn, s.Chords(tol/40)...)
		at = s.To
	}
	if closed {
		require.Equal(t, start, at)
	}
	require.LessOrEqual(t, stray(drawn, line), tol*1.03+1e-9, "drawn where nothing is to be cut")
	require.LessOrEqual(t, stray(line, drawn), tol*1.03+1e-9, "not drawn")
}

// stray is how far points along a lie from b at most.
func stray(a, b orb.LineString) float64 {
	worst := 0.0
	for i := 1; i < len(a); i++ {
		n := 1 + int(dist(a[i-1], a[i])/2)
		for k := range n + 1 {
			p := between(a[i-1], a[i], float64(k)/float64(n))
			best := math.Inf(1)
			for j := 1; j < len(b); j++ {
				ex, ey := b[j][0]-b[j-1][0], b[j][1]-b[j-1][1]
				f := 0.0
				if q := ex*ex + ey*ey; q > 0 {
					f = math.Max(0, math.Min(1, ((p[0]-b[j-1][0])*ex+(p[1]-b[j-1][1])*ey)/q))
				}
				best = math.Min(best, dist(p, between(b[j-1], b[j], f)))
			}
			worst = math.Max(worst, best)
		}
	}
	return worst
}

func arcsOf(segs []Segment) (n int, sweep float64) {
	for i := range segs {
		if segs[i].Sweep != 0 {
			n++
			sweep += segs[i].Sweep
		}
	}
	return n, sweep
}

// Arcs flattened outside or inside come back whole, with the radius they had
// give or take the tolerance.
func TestArcsComeBack(t *testing.T) {
	for _, r := range []float64{3, 12, 80, 700, 4000} {
		for _, deg := range []float64{60, 90, 180, 300, -90} {
			c := orb.Point{1000, 500}
			line := tangents(c, r, 1, deg*math.Pi/180, 0.05)
			start, segs := segments(line, false, 0.026)
			proveSegments(t, line, false, start, segs, 0.026)
			n, sweep := arcsOf(segs)
			assert.Equal(t, int(math.Ceil(math.Abs(deg)/120)), n, "radius %g, %g degrees", r, deg)
			assert.InDelta(t, deg, sweep, 2, "radius %g", r)
			assert.Len(t, segs, n, "nothing but the arc")
			assert.InDelta(t, r+0.025, dist(segs[0].Centre, segs[0].To), 0.08+2e-4*r)
		}
	}
}

// A whole circle is three arcs and nothing else, wherever it begins.
func TestCircleIsThreeArcs(t *testing.T) {
	line := tangents(orb.Point{300, 300}, 150, 0, 2*math.Pi, 0.05)
	line = line[1:] // its first and last point lie on the circle, and mean nothing
	line[len(line)-1] = line[0]
	start, segs := segments(line, true, 0.03)
	proveSegments(t, line, true, start, segs, 0.03)
	n, sweep := arcsOf(segs)
	assert.Equal(t, 3, n)
	assert.InDelta(t, 360, sweep, 1e-6)
	assert.Len(t, segs, 3)
}

// A rounded rectangle is four lines and four arcs, begun at any vertex.
func TestRoundedRectangle(t *testing.T) {
	var ring orb.LineString
	for i, c := range []orb.Point{{260, 40}, {260, 160}, {40, 160}, {40, 40}} {
		ring = append(ring, tangents(c, 40, math.Pi/2*float64(i-1), math.Pi/2, 0.05)...)
	}
	for first := range ring {
		line := append(append(orb.LineString{}, ring[first:]...), ring[:first+1]...)
		start, segs := segments(line, true, 0.026)
		proveSegments(t, line, true, start, segs, 0.026)
		n, sweep := arcsOf(segs)
		assert.LessOrEqual(t, n, 5)
		// Up to three edges before the first vertex are too few for an arc.
		assert.InDelta(t, 360, sweep, 20, "begun at vertex %d", first)
		assert.LessOrEqual(t, len(segs), 12, "begun at vertex %d", first)
	}
}

// Polygons stay polygons: no arc stands for corners.
func TestNoArcsWhereThereAreNone(t *testing.T) {
	octagon := orb.LineString{}
	for i := range 9 {
		s, c := math.Sincos(math.Pi / 4 * float64(i%8))
		octagon = append(octagon, orb.Point{100 * c, 100 * s})
	}
	for _, line := range []orb.LineString{octagon, {{0, 0}, {100, 0}, {100, 50}, {0, 50}, {0, 0}}, {{0, 0}, {10, 0}, {20, 0}, {30, 0}, {40, 0}, {50, 0}}, {{0, 0}}, nil} {
		closed := len(line) > 0 && line[0] == line[len(line)-1]
		_, segs := segments(line, closed, 0.1)
		n, _ := arcsOf(segs)
		assert.Zero(t, n)
		if len(line) > 1 {
			assert.Len(t, segs, len(line)-1)
		}
	}
}

// Without a tolerance the polyline is drawn as it is.
func TestNoToleranceNoArcs(t *testing.T) {
	line := tangents(orb.Point{}, 100, 0, 6, 0.05)
	start, segs := segments(line, false, 0)
	assert.Equal(t, line[0], start)
	for i, s := range segs {
		assert.Equal(t, Segment{To: line[i+1]}, s)
	}
}

// Whatever the line, what is drawn keeps to it.
func TestSegmentsKeepToTheLine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(r, "seed"), 5))
		closed := rapid.Bool().Draw(r, "closed")
		tol := rapid.SampledFrom([]float64{0.001, 0.01, 0.026, 0.1}).Draw(r, "tol")
		line := orb.LineString{{500, 500}}
		h := rng.Float64() * 6
		for range rapid.IntRange(1, 8).Draw(r, "runs") {
			at := line[len(line)-1]
			switch rng.IntN(5) {
			case 0: // straight on
				d := math.Pow(10, 3*rng.Float64()-1)
				line = append(line, orb.Point{at[0] + d*math.Cos(h), at[1] + d*math.Sin(h)})
			case 1: // a corner
				h += 6 * rng.Float64()
				line = append(line, orb.Point{at[0] + 9*math.Cos(h), at[1] + 9*math.Sin(h)})
			case 2, 3: // a smooth arc, flattened outside
				rad, sweep := math.Pow(10, 3*rng.Float64()), 0.2+4*rng.Float64()
				if rng.IntN(2) == 0 {
					sweep = -sweep
				}
				side := math.Copysign(math.Pi/2, sweep)
				c := orb.Point{at[0] + rad*math.Cos(h+side), at[1] + rad*math.Sin(h+side)}
				line = append(line, tangents(c, rad, h-side, sweep, 0.002+0.1*rng.Float64())[1:]...)
				h += sweep
			case 4: // a spiral of short edges
				step, bend := 0.05+2*rng.Float64(), 0.3*rng.Float64()
				for range rng.IntN(60) {
					at = line[len(line)-1]
					line = append(line, orb.Point{at[0] + step*math.Cos(h), at[1] + step*math.Sin(h)})
					h += bend
					bend *= 0.97
				}
			}
		}
		if closed {
			line = append(line, line[0])
		}
		kept := line[:1]
		for _, p := range line[1:] {
			if dist(kept[len(kept)-1], p) > 1e-6 {
				kept = append(kept, p)
			}
		}
		closed = closed && len(kept) > 2 && kept[0] == kept[len(kept)-1]
		start, segs := segments(kept, closed, tol)
		proveSegments(r, kept, closed, start, segs, tol)
	})
}
