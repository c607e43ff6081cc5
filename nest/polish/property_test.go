package polish

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// randomLayout makes some pieces of a few kinds in a strip, with obstacles in
// some, laid without overlap and then moved about by up to jitter times their
// size.
type randomLayout struct {
	strip    Strip
	outlines []outline
	shapes   []*Shape
	at       []orb.Point
	free     []orb.Point // before the jitter
	size     float64
}

func newRandomLayout(t checker, rng *rand.Rand, pieces int, jitter, gap float64) randomLayout {
	size := []float64{1, 50, 1e5}[rng.IntN(3)]
	gap *= size
	r := randomLayout{size: size, strip: Strip{Width: size * (1.8 + 2*rng.Float64())}}
	var kinds []outline
	var shapes []*Shape
	for range 1 + rng.IntN(4) {
		o := randomValid(rng, size)
		s, err := NewShape(o.exterior, o.holes)
		require.NoError(t, err)
		kinds = append(kinds, o)
		shapes = append(shapes, s)
	}
	in := instance{width: r.strip.Width}
	for range pieces {
		k := rng.IntN(len(kinds))
		r.outlines = append(r.outlines, kinds[k])
		in.shapes = append(in.shapes, shapes[k])
	}
	r.shapes = slices.Clone(in.shapes)
	// An obstacle is a piece like any other until the layout is made.
	if rng.IntN(2) == 0 {
		in.shapes = append(in.shapes, boxShape(orb.Bound{Max: orb.Point{size / 3, size / 2}}))
	}
	at := leftmost(in, 12, rng)
	if gap > 0 {
		// Spread everything out; the obstacle keeps its size.
		for i := range at {
			at[i][0] *= 1 + 2*gap/size
		}
	}
	if len(at) > pieces {
		o := at[pieces]
		r.strip.Obstacles = []orb.Bound{{Min: o, Max: plus(o, orb.Point{size / 3, size / 2})}}
	}
	r.free = at[:pieces]
	r.at = slices.Clone(r.free)
	for i := range r.at {
		r.at[i][0] += (rng.Float64()*2 - 1) * jitter * size
		r.at[i][1] += (rng.Float64()*2 - 1) * jitter * size
	}
	return r
}

func (r randomLayout) length(at []orb.Point) float64 {
	far := 0.0
	for i, p := range at {
		far = max(far, p[0]+r.shapes[i].bound.Max[0])
	}
	return far
}

func TestCompactNeverOverlapsNorLengthens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		r := newRandomLayout(t, rng, 2+rng.IntN(9), 0, 0)
		before := r.length(r.at)
		got, err := Compact(context.Background(), r.strip, r.shapes, r.at, Options{})
		require.NoError(t, err)
		require.True(t, got.Valid, "overlap %v", got.Overlap)
		require.LessOrEqual(t, got.Length, before*(1+1e-12))
		require.Equal(t, r.length(got.At), got.Length)
		requireApart(t, r.strip, r.outlines, got.At, 0, got.Length)
	})
}

func TestCompactTakesJitterApart(t *testing.T) {
	valid, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		gap := []float64{0, 0.02}[rng.IntN(2)]
		r := newRandomLayout(t, rng, 2+rng.IntN(9), 0.01, gap)
		gap *= r.size
		got, err := Compact(context.Background(), r.strip, r.shapes, r.at, Options{Gap: gap})
		require.NoError(t, err)
		all++
		if !got.Valid {
			return
		}
		valid++
		require.LessOrEqual(t, got.Overlap, 1e-10*max(r.strip.Width, got.Length))
		requireApart(t, r.strip, r.outlines, got.At, gap, got.Length)
	})
	// Now and then a piece is wedged behind an obstacle and cannot get out.
	require.GreaterOrEqual(t, valid, all*90/100, "of %d", all)
}

func TestSeparateWithinLength(t *testing.T) {
	valid, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		r := newRandomLayout(t, rng, 2+rng.IntN(9), 0.01, 0)
		length := r.length(r.free) * 1.001
		got, err := Separate(context.Background(), r.strip, length, r.shapes, r.at, Options{})
		require.NoError(t, err)
		all++
		require.LessOrEqual(t, got.Length, length*(1+1e-12))
		if !got.Valid {
			return
		}
		valid++
		requireApart(t, r.strip, r.outlines, got.At, 0, got.Length)
	})
	require.GreaterOrEqual(t, valid, all*90/100, "of %d", all)
}

func TestCompactIsRepeatable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		r := newRandomLayout(t, rng, 2+rng.IntN(9), 0.01, 0)
		at := slices.Clone(r.at)
		first, err := Compact(context.Background(), r.strip, r.shapes, r.at, Options{})
		require.NoError(t, err)
		require.Equal(t, at, r.at, "the positions given are not touched")
		again, err := Compact(context.Background(), r.strip, r.shapes, r.at, Options{})
		require.NoError(t, err)
		require.Equal(t, first, again)
		// A polished layout has nothing left to gain by the same means.
		if first.Valid && first.Status == Converged {
			more, err := Compact(context.Background(), r.strip, r.shapes, first.At, Options{})
			require.NoError(t, err)
			require.LessOrEqual(t, more.Length, first.Length*(1+1e-12))
		}
	})
}

// The nearest way out that escape finds is one, and no sampled position nearer
// by is free.
func TestEscapeIsShortest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 5))
		var shapes []*Shape
		for range 2 {
			o := randomValid(rng, 10)
			s, err := NewShape(o.exterior, o.holes)
			require.NoError(t, err)
			shapes = append(shapes, s)
		}
		l, err := newLayout(Strip{Width: 100}, shapes, make([]orb.Point, 2), Options{})
		require.NoError(t, err)
		r := orb.Point{rng.Float64()*12 - 6, rng.Float64()*12 - 6}
		const reach = 4
		near := l.nearSums(nil, 0, 1, r, reach)
		free := func(p orb.Point, margin float64) bool {
			for _, s := range near {
				if apart, _ := s.separation(p); apart < margin {
					return false
				}
			}
			return true
		}
		if free(r, 0) {
			t.Skip("no overlap")
		}
		var e escaper
		out, ok := e.find(near, r, 0, 1e-12, reach)
		nearest := float64(reach)
		if ok {
			require.True(t, free(out, -1e-9))
			// Beyond reach, the box may cut off what is nearest.
			nearest = min(nearest, norm(minus(out, r)))
		}
		for range 2000 {
			p := plus(r, orb.Point{(rng.Float64()*2 - 1) * nearest, (rng.Float64()*2 - 1) * nearest})
			if d := norm(minus(p, r)); d < nearest-1e-9 {
				require.False(t, free(p, 1e-9), "free at %v, %v away, not at %v, %v away", p, d, out, nearest)
			}
		}
	})
}

func FuzzCompact(f *testing.F) {
	f.Add(uint64(1), uint8(3), uint8(0))
	f.Add(uint64(2), uint8(8), uint8(1))
	f.Add(uint64(3), uint8(5), uint8(2))
	f.Add(uint64(4), uint8(5), uint8(3))
	f.Fuzz(func(t *testing.T, seed uint64, pieces, how uint8) {
		rng := rand.New(rand.NewPCG(seed, 6))
		size := []float64{1, 1e-3, 1e6, 100}[how%4]
		strip := Strip{Width: 2 * size}
		var shapes []*Shape
		var outlines []outline
		var at []orb.Point
		for range 1 + pieces%12 {
			o := randomOutline(rng, size)
			if how&4 != 0 {
				// A sliver, a far-away origin, and runs of vertices.
				for i := range o.exterior {
					o.exterior[i][1] *= 1e-9
					o.exterior[i][0] += 1e6
				}
				o.exterior = append(o.exterior, o.exterior[0], o.exterior[0])
				o.holes = nil
			}
			s, err := NewShape(o.exterior, o.holes)
			if err != nil {
				continue
			}
			shapes = append(shapes, s)
			outlines = append(outlines, o)
			// Anywhere at all, overlapping and outside.
			at = append(at, orb.Point{(rng.Float64()*4 - 1) * size, (rng.Float64()*4 - 1) * size})
			if how&8 != 0 && len(at) > 1 {
				at[len(at)-1] = at[0]
			}
		}
		got, err := Compact(context.Background(), strip, shapes, at, Options{MaxSteps: 30})
		if err != nil {
			require.ErrorIs(t, err, ErrInput)
			return
		}
		for _, p := range got.At {
			require.False(t, math.IsNaN(p[0]) || math.IsNaN(p[1]) || math.IsInf(p[0], 0) || math.IsInf(p[1], 0))
		}
		if got.Valid && how&4 == 0 {
			valid := true
			for _, o := range outlines {
				valid = valid && o.outside(orb.Point{}).Validate() == nil
			}
			if valid {
				requireApart(t, strip, outlines, got.At, 0, got.Length)
			}
		}
	})
}
