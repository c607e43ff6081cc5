package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/run"
	"plyroom/export/toolpath"
	"plyroom/nest"
)

// demoTravel sets the way with the knife up against going always to the nearest
// cut, and against a length that no order could be below.
func demoTravel(t *testing.T, rec *nest.Record) {
	paths, err := run.Paths(rec, toolpath.Machine{})
	require.NoError(t, err)
	var order, plain, bound, minutes float64
	for _, p := range paths {
		s, least := p.Stats, p.TravelBound()
		require.GreaterOrEqual(t, s.OrderTravel, least-1e-6)
		require.LessOrEqual(t, s.OrderTravel, s.PlainTravel+1e-6)
		order, plain, bound, minutes = order+s.OrderTravel, plain+s.PlainTravel, bound+least, minutes+s.Minutes
	}
	t.Logf("cutting %.1f min; knife up %.1f m, nearest neighbour %.1f m, no order below %.1f m", minutes, order/1e3, plain/1e3, bound/1e3)
	require.Less(t, order, 0.75*plain)
	require.Greater(t, bound, 0.3*order, "the bound says something")
}
