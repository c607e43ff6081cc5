package pack

import (
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest/collide"
)

// TestCacheChangesNothing solves with a fresh cache, with one that knows all
// outlines, and without.
func TestCacheChangesNothing(t *testing.T) {
	p := manyPlies(80)
	set := Settings{Effort: 4, Seed: 3, Workers: 2}
	want := solve(t, p, set)
	set.Cache = new(Cache)
	require.Equal(t, want, solve(t, p, set))
	require.Len(t, set.Cache.shapes, 40)
	require.Equal(t, want, solve(t, p, set))
}

func TestCacheIsBoundedAndShared(t *testing.T) {
	c := new(Cache)
	side := func(i int) orb.Ring { return rect(float64(i+1), 1) }
	var wg sync.WaitGroup
	seen := make([][]*collide.Shape, 4)
	for g := range seen {
		wg.Go(func() {
			for i := range 50 {
				s, err := c.shape(side(i), nil)
				if err == nil {
					seen[g] = append(seen[g], s)
				}
			}
		})
	}
	wg.Wait()
	for i := range 50 {
		again, err := c.shape(side(i), nil)
		require.NoError(t, err)
		require.InDelta(t, float64(i+1), again.Area, 1e-9)
	}
	require.Equal(t, 200, c.held)
	c.held = cacheCorners
	_, err := c.shape(side(99), nil)
	require.NoError(t, err)
	require.Equal(t, 4, c.held, "it starts anew when full")
	_, err = c.shape(orb.Ring{{0, 0}, {1, 1}}, nil)
	require.ErrorIs(t, err, collide.ErrDegenerate)
	// A hole is told from another outline.
	hole, err := c.shape(rect(9, 9), []orb.Ring{{{1, 1}, {2, 1}, {2, 2}, {1, 2}}})
	require.NoError(t, err)
	require.InDelta(t, 80, hole.Area, 1e-9)
}
