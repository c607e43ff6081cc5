package polish

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/shapes/steady"
)

func TestTurnStraightensABox(t *testing.T) {
	for _, angle := range []float64{-2, -0.3, 0.7, 1.9} {
		tilted := box(30, 9).Turned(angle)
		got, err := Compact(context.Background(), Strip{Width: 10.5}, []*Shape{tilted},
			[]orb.Point{{3, 0.5}}, Options{Turn: []Turn{{-3, 3}}})
		require.NoError(t, err)
		require.True(t, got.Valid)
		require.InDelta(t, 30, got.Length, 1e-4, "angle %v", angle)
		require.InDelta(t, -angle, got.Turned[0], 0.1, "angle %v", angle)
	}
}

func TestTurnStaysWithinItsInterval(t *testing.T) {
	tilted := box(30, 9).Turned(2)
	got, err := Compact(context.Background(), Strip{Width: 11}, []*Shape{tilted},
		[]orb.Point{{3, 0.5}}, Options{Turn: []Turn{{-0.5, 3}}})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.InDelta(t, -0.5, got.Turned[0], 1e-9)
	require.InDelta(t, tilted.Turned(-0.5).bound.Max[0]-tilted.Turned(-0.5).bound.Min[0], got.Length, 1e-9)
}

func TestTurnNeverLengthensNorOverlaps(t *testing.T) {
	gained := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		gap := []float64{0, 0.02}[rng.IntN(2)]
		r := newRandomLayout(t, rng, 2+rng.IntN(6), 0, gap)
		gap *= r.size
		still, err := Compact(context.Background(), r.strip, r.shapes, r.at, Options{Gap: gap})
		require.NoError(t, err)
		opt := Options{Gap: gap, Turn: make([]Turn, len(r.shapes))}
		for i := range opt.Turn {
			if rng.IntN(3) > 0 {
				opt.Turn[i] = Turn{-3 * rng.Float64(), 3 * rng.Float64()}
			}
		}
		got, err := Compact(context.Background(), r.strip, r.shapes, r.at, opt)
		require.NoError(t, err)
		if !still.Valid {
			return
		}
		require.True(t, got.Valid)
		require.LessOrEqual(t, got.Length, still.Length*(1+1e-12))
		if got.Length < still.Length*0.999 {
			gained++
		}
		turned := make([]outline, len(r.outlines))
		for i, o := range r.outlines {
			require.GreaterOrEqual(t, got.Turned[i], opt.Turn[i].From)
			require.LessOrEqual(t, got.Turned[i], opt.Turn[i].To)
			turned[i] = o.turned(got.Turned[i])
		}
		requireApart(t, r.strip, turned, got.At, gap, got.Length)
	})
	require.Positive(t, gained)
}

// turned turns an outline as Result.Turned says.
func (o outline) turned(degrees float64) outline {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	turn := func(ring orb.Ring) orb.Ring {
		out := make(orb.Ring, len(ring))
		for i, p := range ring {
			out[i] = orb.Point{cos*p[0] - sin*p[1], sin*p[0] + cos*p[1]}
		}
		return out
	}
	out := outline{exterior: turn(o.exterior)}
	for _, h := range o.holes {
		out.holes = append(out.holes, turn(h))
	}
	return out
}

func TestTurnErrors(t *testing.T) {
	for name, turns := range map[string][]Turn{
		"too few":      {},
		"not reaching": {{1, 2}},
		"NaN":          {{math.NaN(), 0}},
		"reversed":     {{2, -2}},
	} {
		_, err := Compact(context.Background(), Strip{Width: 5}, []*Shape{box(1, 1)}, []orb.Point{{0, 0}}, Options{Turn: turns})
		require.ErrorIs(t, err, ErrInput, name)
	}
}

func TestShapeTurnedAndMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		o := randomValid(rng, 10)
		s := mustShape(t, o.exterior, o.holes...)
		degrees := rng.Float64()*720 - 360
		turned := mustShape(t, o.turned(degrees).exterior, o.turned(degrees).holes...)
		require.InDeltaSlice(t, turned.bound.Min[:], s.Turned(degrees).bound.Min[:], 1e-12)
		require.InDeltaSlice(t, turned.bound.Max[:], s.Turned(degrees).bound.Max[:], 1e-12)
		require.Same(t, s, s.Turned(0))
		m := s.Mirrored()
		require.Equal(t, s.bound.Max[1], -m.bound.Min[1])
		require.Equal(t, s.bound.Min[0], m.bound.Min[0])
		for _, p := range m.parts {
			require.True(t, isConvex(p.pts))
		}
	})
}

func TestSeparateTurnsToFit(t *testing.T) {
	tilted := box(30, 9).Turned(1.5)
	shapes := []*Shape{tilted, box(5, 10)}
	require.Greater(t, tilted.bound.Max[0]-tilted.bound.Min[0], 30.1)
	at := []orb.Point{{0.3, 0.5}, {30.3, 0}}
	for _, opt := range []Options{{}, {Turn: []Turn{{-3, 3}, {}}}} {
		got, err := Separate(context.Background(), Strip{Width: 10.3}, 35.1, shapes, at, opt)
		require.NoError(t, err)
		require.Equal(t, opt.Turn != nil, got.Valid, "overlap %v", got.Overlap)
		require.LessOrEqual(t, got.Length, 35.1)
		if got.Valid {
			require.Zero(t, got.Turned[1])
		}
	}
}

func TestSinCos(t *testing.T) {
	for k := -5; k <= 5; k++ {
		sin, cos := steady.SincosDegrees(float64(k) * 90)
		require.Equal(t, math.Round(math.Sin(float64(k)*math.Pi/2)), sin)
		require.Equal(t, math.Round(math.Cos(float64(k)*math.Pi/2)), cos)
	}
	sin, cos := steady.SincosDegrees(30)
	require.InDelta(t, 0.5, sin, 1e-15)
	require.InDelta(t, math.Sqrt(3)/2, cos, 1e-15)
}

// Both walls of the strip, a neighbour, and a gap to it: the tilted box must
// come to stand straight against all of them.
func TestTurnStraightensAgainstANeighbour(t *testing.T) {
	for _, gap := range []float64{0, 1} {
		for _, angle := range []float64{-1.2, 0.8} {
			shapes := []*Shape{box(10, 30), box(9, 29).Turned(angle), box(4, 25)}
			at := []orb.Point{{0, 0}, {13, 0.6}, {28, 3}}
			got, err := Compact(context.Background(), Strip{Width: 30.4}, shapes, at,
				Options{Gap: gap, Turn: []Turn{{}, {-3, 3}, {}}})
			require.NoError(t, err)
			require.True(t, got.Valid)
			require.InDelta(t, 23+2*gap, got.Length, 1e-3, "gap %v, angle %v", gap, angle)
			require.Zero(t, got.Turned[0])
		}
	}
}
