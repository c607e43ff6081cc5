package summary_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/summary"
	"plyroom/nest"
)

func TestTogether(t *testing.T) {
	rec := &nest.Record{Currency: "EUR"}
	require.Empty(t, summary.Together(rec))
	rec.Together = &nest.Together{
		Kept: nest.KeptFigures{Length: 12350, FabricCost: 30, Priced: true, Minutes: nest.Minutes{Cutting: 10}, Visits: 4, Walk: 2500},
		Free: nest.KeptFigures{Length: 10000, FabricCost: 27.5, Priced: true, Minutes: nest.Minutes{Cutting: 12}, Visits: 9, Walk: 7000},
	}
	require.Equal(t, "kits kept together: +2.35 m, +2.50 EUR, -2 min against the plan without it (10.00 m); "+
		"a kit is met on a layout 4 times instead of 9, and 2.5 m are walked instead of 7.0 m", summary.Together(rec))
	rec.Together.Free.Priced = false
	require.NotContains(t, summary.Together(rec), "EUR")
}
