package plan

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/demand"
	"plyroom/shapes"
)

// TestTrialsAreRememberedWithTheirStrip: a roll without end turns out to need
// more lengths of the table than were offered at first; laid again, the same
// plan comes from memory.
func TestTrialsAreRememberedWithTheirStrip(t *testing.T) {
	f := roving()
	f.Width, f.Balanced = 1000, false
	f.Rolls = []shapes.Roll{{Name: "R-1", Flaws: []shapes.Span{{From: 79, To: 139}}}}
	j := small(f, &shapes.Ply{Name: "U", Count: 8, Direction: 45, Outline: rectangle("PANEL", 700, 430)})
	j.Cutting.Table = &shapes.Table{Length: 1300, Width: 1600, Kind: shapes.StaticTable}
	p := newPlanner(j, Settings{Effort: 1, Seed: 1}, nil)
	pieces, table, problems := demand.Expand(j, func(f *shapes.Fabric) demand.Room { return p.fullRoom(f).room() })
	require.Empty(t, problems)
	p.setDemand(pieces, table)
	first, err := p.lay(t.Context(), scheme{rest: p.all()}, budget{trial: true})
	require.NoError(t, err)
	again, err := p.lay(t.Context(), scheme{rest: p.all()}, budget{trial: true})
	require.NoError(t, err)
	require.Greater(t, len(first.layouts), 4)
	require.Equal(t, first.layouts, again.layouts)
	for _, l := range again.layouts {
		require.LessOrEqual(t, l.Length, 1300.0)
	}
}
