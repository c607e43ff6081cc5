package plan

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// twoLots is two rolls of one fabric, of two lots, that hold two panels
// 1000 × 590 side by side along so many lengths each, and 20 mm to spare.
func twoLots(first, second int) *shapes.Fabric {
	f := roving()
	for i, n := range []int{first, second} {
		f.Rolls = append(f.Rolls, shapes.Roll{Name: fmt.Sprintf("R-%d", i+1), Lot: string(rune('A' + i)), Length: float64(60 + 1000*n + 3*(n-1))})
	}
	return f
}

// Three kits of four panels each, on rolls that hold eight and four: each kit
// comes from one lot. On rolls that hold six and six no kit may be divided, so
// only two have room.
func TestOneLotPerUnit(t *testing.T) {
	for _, c := range []struct {
		first, second int
		whole         bool
	}{{4, 2, true}, {2, 4, true}, {3, 3, false}} {
		f := twoLots(c.first, c.second)
		j := small(f, &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 1000, 590), Count: 4})
		j.Parts[0].Units = 3
		_, err := Lay(context.Background(), j, Settings{Effort: 1, Seed: 1}, nil)
		require.NoError(t, err, "without the rule all have room")
		j.Cutting.OneLotPerUnit = true
		rec, err := Lay(context.Background(), j, Settings{Effort: 1, Seed: 1, AllowShort: true}, nil)
		require.NoError(t, err)
		require.Empty(t, verify.Check(rec))
		require.Equal(t, c.whole, len(rec.Short) == 0, "%d and %d", c.first, c.second)
		if !c.whole {
			require.Len(t, rec.Short, 1)
			require.Len(t, rec.Short[0].Missing, 4, "the third kit is not begun")
		}
	}
}

// A shortage is never of 0.0 m, and flaws that take the stock are named.
func TestShortageWords(t *testing.T) {
	f := roving()
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 400, Flaws: []shapes.Span{{From: 0, To: 300}, {From: 250, To: 900}}}}
	j := small(f, &shapes.Ply{Name: "A", Outline: rectangle("PATCH", 50, 40), Count: 1})
	_, err := Lay(context.Background(), j, Settings{Effort: 1, Seed: 1}, nil)
	require.ErrorContains(t, err, `fabric "WR 600" is short by at least 0.1 m; flaws take 0.4 m of the 0.4 m on its rolls`)
	require.Equal(t, []float64{0.1, 0.1, 0.2, 1}, []float64{metresUp(0.001), metresUp(100), metresUp(101), metresUp(1000.00001)})
	require.Empty(t, flawWords(roving()))
}

// Whole kits come first. The roll holds 8 panels: units 1 and 2 of the shell
// take 3 each, and unit 1 of the lid 2, so nothing is left for unit 2 of the
// lid; its small ply of the other fabric is laid all the same.
func TestWholeKitsFirst(t *testing.T) {
	f, m := roving(), mat()
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 40 + 4*1000 + 3*3}}
	panel := rectangle("PANEL", 1000, 590)
	j := small(f, &shapes.Ply{Name: "A", Outline: panel, Count: 3})
	j.Parts[0].Units = 2
	j.Fabrics = append(j.Fabrics, m)
	j.Parts = append(j.Parts, &shapes.Part{Name: "Lid", Units: 2, Plies: []*shapes.Ply{
		{Order: 1, Name: "L1", Outline: panel, Fabric: f, Count: 2},
		{Order: 2, Name: "L2", Outline: rectangle("PATCH", 300, 200), Fabric: m, Count: 1}}})
	_, err := Lay(context.Background(), j, Settings{Effort: 1, Seed: 1}, nil)
	require.ErrorContains(t, err, "short by at least")
	rec, err := Lay(context.Background(), j, Settings{Effort: 1, Seed: 1, AllowShort: true}, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(rec))
	require.Equal(t, []nest.Short{{Part: "Lid", Unit: 2, Missing: []nest.Missing{
		{Ply: "L1", Copy: 1, Fabric: "WR 600"}, {Ply: "L1", Copy: 2, Fabric: "WR 600"}}}}, rec.Short)
	placed := 0
	for _, l := range rec.Layouts {
		placed += len(l.Placed)
	}
	require.Equal(t, 8+2, placed)
}
