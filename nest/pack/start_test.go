package pack

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestStartIsKept begins with a layout found before: what comes out is never
// longer, and what is no layout of the problem is passed over.
func TestStartIsKept(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	for _, turns := range []bool{false, true} {
		p := manyPlies(24)
		for i := range p.Pieces {
			if turns {
				p.Pieces[i].Orientations = []Orientation{{From: -2, To: 2}, {From: 178, To: 182}}
			}
		}
		set := Settings{Effort: 8, Seed: 1, Workers: 2}
		good := solve(t, p, set)
		ended, cancel := context.WithCancel(context.Background())
		cancel()
		first, err := Solve(ended, p, Settings{}, nil)
		require.NoError(t, err)
		require.Less(t, good.Length, first.Length)

		begun, err := Solve(ended, p, Settings{Start: good.Placements}, nil)
		require.NoError(t, err)
		require.InDelta(t, good.Length, begun.Length, 1e-9)
		require.Len(t, begun.Placements, len(good.Placements))
		for i, c := range begun.Placements {
			w := good.Placements[i]
			require.Equal(t, w.Piece, c.Piece)
			require.InDeltaSlice(t, []float64{w.X, w.Y, w.Rotation}, []float64{c.X, c.Y, c.Rotation}, 1e-9)
		}
		better := solve(t, p, Settings{Effort: 8, Seed: 2, Workers: 2, Start: good.Placements})
		require.LessOrEqual(t, better.Length, good.Length+1e-9)

		bad := append([]Placement(nil), good.Placements...)
		bad[0].X += 40 // into a neighbour, or out of its place
		bad[1].Rotation += 45
		for name, start := range map[string][]Placement{"overlap": bad, "few": good.Placements[1:], "odd": {{Piece: 99}}} {
			got, err := Solve(ended, p, Settings{Start: start}, nil)
			require.NoError(t, err)
			require.Equal(t, first.Length, got.Length, name)
		}
	}
}
