package plan

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

func allowed(stagger, minSaving float64) *shapes.Split {
	return &shapes.Split{Joint: shapes.JointLap, Overlap: 50, MinPanel: 100, Stagger: stagger, Allowed: true, MinSaving: minSaving}
}

// panels are plies of 1000 × 800, each of an outline of its own.
func panels(n int, split *shapes.Split) []*shapes.Ply {
	var out []*shapes.Ply
	for i := range n {
		out = append(out, &shapes.Ply{Name: fmt.Sprintf("U%02d", i+1), Split: split, Outline: rectangle(fmt.Sprintf("PANEL-%d", i), 1000, 800)})
	}
	return out
}

// Worked by hand: two plies of 1000 × 800 across a roll with 1240 usable, an
// unbalanced weave at 0°, gap 3. Whole they lie end to end: 2·1000 + 3 + 2·20 =
// 2043 mm. Cut along the warp in two panels of 400 + 25 = 425 mm, two stand
// side by side (853 of 1240): of the four panels two pairs would need 2043 as
// well; with one ply whole nothing fits beside it but a panel of 1240 - 800 - 3
// = 437: the other ply as 437 and 413 leaves one panel over. Three such plies
// whole take 3046. One of them cut as 425 + 425 lies beside the other two
// (800 + 3 + 425 = 1228 of 1240): 2043 mm, 1003 mm of roll saved by one seam.
func TestDividedOnPurpose(t *testing.T) {
	job := func(n int, split *shapes.Split) *shapes.Job { return small(roving(), panels(n, split)...) }
	rec := lay(t, job(3, allowed(100, 100)))
	require.Len(t, rec.Layouts, 1)
	require.InDelta(t, 2043, rec.Layouts[0].Length, 1e-6)
	require.Len(t, rec.Divisions, 1)
	d := rec.Divisions[0]
	require.Equal(t, []nest.DividedPly{{Part: "Upper shell", Ply: "U01", Panels: 2, Pieces: 1, LapArea: 50 * 1000}}, d.Plies)
	require.InDelta(t, 3046, d.WholeLength, 1e-6)
	require.InDelta(t, 2043, d.Length, 1e-6)
	require.InDelta(t, 1003, d.SavedLength(), 1e-6)
	require.InDelta(t, 1003*1270, d.SavedArea(), 1)
	require.InDelta(t, 100*1270, d.Asked, 1)
	for _, piece := range rec.Demand {
		require.Equal(t, piece.Panel != nil, piece.Panel != nil && piece.Panel.OnPurpose)
	}

	// The seam must save more than the job asks: 1003 mm are 1003 mm.
	rec = lay(t, job(3, allowed(100, 1003)))
	require.Empty(t, rec.Divisions)
	require.InDelta(t, 3046, rec.Layouts[0].Length, 1e-6)
	require.Contains(t, fmt.Sprint(rec.Notes), "of the 3 plies that may be divided to save fabric none is")
	require.Len(t, lay(t, job(3, allowed(100, 1002))).Divisions, 1)

	// Two plies save nothing, and one neither: never divided.
	for _, n := range []int{1, 2} {
		rec = lay(t, job(n, allowed(100, 0)))
		require.Empty(t, rec.Divisions, "%d plies", n)
		for _, piece := range rec.Demand {
			require.Nil(t, piece.Panel)
		}
	}

	// Not allowed: whole, and nothing is said.
	split := allowed(100, 0)
	split.Allowed = false
	rec = lay(t, job(3, split))
	require.Empty(t, rec.Divisions)
	require.InDelta(t, 3046, rec.Layouts[0].Length, 1e-6)
}

// A roll that holds the plies only if one is divided: that is what it is for,
// whatever its seams save.
func TestDividedForWantOfFabric(t *testing.T) {
	wr := roving()
	wr.Rolls = []shapes.Roll{{Name: "R1", Length: 2100}}
	rec := lay(t, small(wr, panels(3, allowed(100, 5000))...))
	require.Len(t, rec.Divisions, 1)
	require.Equal(t, 1, rec.Divisions[0].Homeless)
	require.Empty(t, rec.Short)
}
