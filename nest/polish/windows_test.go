package polish

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestWindowsNeverOverlapNorLengthen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		gap := []float64{0, 0.02}[rng.IntN(2)]
		r := newRandomLayout(t, rng, 6+rng.IntN(9), 0, gap)
		gap *= r.size
		before := r.length(r.at)
		got, err := Compact(context.Background(), r.strip, r.shapes, r.at, Options{Gap: gap, Window: 4})
		require.NoError(t, err)
		if gap == 0 {
			require.True(t, got.Valid, "overlap %v", got.Overlap)
			require.LessOrEqual(t, got.Length, before*(1+1e-12))
		}
		if got.Valid {
			requireApart(t, r.strip, r.outlines, got.At, gap, got.Length)
		}
	})
}

func TestWindowsTakeJitterApart(t *testing.T) {
	valid, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		r := newRandomLayout(t, rng, 6+rng.IntN(9), 0.005, 0)
		length := r.length(r.free) * 1.02
		got, err := Separate(context.Background(), r.strip, length, r.shapes, r.at, Options{Window: 5})
		require.NoError(t, err)
		all++
		if got.Valid {
			valid++
			requireApart(t, r.strip, r.outlines, got.At, 0, length)
		}
	})
	require.GreaterOrEqual(t, valid, all*75/100, "of %d", all)
}

// A long row of boxes with wide gaps closes up completely, window by window.
func TestWindowsCloseARow(t *testing.T) {
	var shapes []*Shape
	var at []orb.Point
	x := 3.0
	for k := range 60 {
		w := 1 + float64(k%5)
		shapes = append(shapes, box(w, 5))
		at = append(at, orb.Point{x, 0})
		x += w + 2 + float64(k%3)
	}
	got, err := Compact(context.Background(), Strip{Width: 5}, shapes, at, Options{Window: 8})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.InDelta(t, 180, got.Length, 1e-9)
}

func TestClearance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		a := mustShape(t, randomValid(rng, 10).exterior)
		b := mustShape(t, randomValid(rng, 10).exterior)
		s := newSum(&a.parts[0], &b.parts[0])
		r := orb.Point{rng.Float64() * 15, rng.Float64()*24 - 12}
		if apart, _ := s.separation(r); apart < 0 {
			require.Zero(t, s.clearance(r, 0, 1e-12))
			return
		}
		free := s.clearance(r, 0, 1e-12)
		if math.IsInf(free, 1) {
			free = 100
		} else {
			apart, _ := s.separation(orb.Point{r[0] - free, r[1]})
			require.InDelta(t, 0, apart, 1e-9)
		}
		for k := range 50 {
			apart, _ := s.separation(orb.Point{r[0] - free*float64(k)/50, r[1]})
			require.GreaterOrEqual(t, apart, -1e-9)
		}
	})
}
