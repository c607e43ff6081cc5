package polish

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestCompactClosesPublishedJigsaw(t *testing.T) {
	in := loadInstance(t, "dighe1")
	solved := solveJigsaw(in)
	require.NotNil(t, solved)
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 1))
		at := make([]orb.Point, len(solved))
		for i, p := range solved {
			at[i] = orb.Point{p[0]*1.003 + rng.NormFloat64()*0.3, p[1] + rng.NormFloat64()*0.3}
		}
		got, err := Compact(context.Background(), Strip{Width: in.width}, in.shapes, at, Options{})
		require.NoError(t, err)
		require.True(t, got.Valid, "seed %d: overlap %v", seed, got.Overlap)
		require.InDelta(t, 100, got.Length, 1e-9, "seed %d", seed)
	}
}

func TestCompactRectangles(t *testing.T) {
	box := func(w, h float64) *Shape { return boxShape(orb.Bound{Max: orb.Point{w, h}}) }
	shapes := []*Shape{box(33.3, 20), box(20.1, 20), box(53.4, 10)}
	at := []orb.Point{{0.2, 0.1}, {33.7, -0.2}, {0.1, 20.4}}
	got, err := Compact(context.Background(), Strip{Width: 30}, shapes, at, Options{})
	require.NoError(t, err)
	require.True(t, got.Valid)
	require.InDelta(t, 53.4, got.Length, 1e-12)
	for i, want := range []orb.Point{{0, 0}, {33.3, 0}, {0, 20}} {
		require.InDeltaSlice(t, want[:], got.At[i][:], 1e-12, "piece %d", i)
	}
}
