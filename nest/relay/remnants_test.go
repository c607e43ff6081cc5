package relay

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/remnant"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// lotsUsed lists the lots that one unit has of a fabric.
func lotsUsed(rec *nest.Record, fabric string, unit int) map[string]bool {
	out := map[string]bool{}
	for _, l := range rec.Layouts {
		for i := range l.Placed {
			if p := &l.Placed[i]; p.Fabric == fabric && p.Unit == unit {
				out[l.Layers[p.Layer-1].Lot] = true
			}
		}
	}
	return out
}

func used(rec *nest.Record, roll string) bool {
	for _, l := range rec.Layouts {
		for _, ly := range l.Layers {
			if ly.Roll == roll {
				return true
			}
		}
	}
	return false
}

// A remnant in the shape of an L takes a square in each arm, though no
// rectangle in it holds both; what it draws in the books is the L.
func TestRemnantByItsOutline(t *testing.T) {
	job := sixJob()
	ell := remnant.Remnant{ID: "RM-AAAAAAAA", Fabric: "CSM", Face: remnant.FaceUp,
		Outline: nest.Ring{{0, 0}, {900, 0}, {900, 410}, {450, 410}, {450, 850}, {0, 850}}}
	rec, err := OnRemnants(context.Background(), job, []remnant.Remnant{ell}, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(rec))
	at := -1
	for i, l := range rec.Layouts {
		if l.Layers[0].Roll == ell.ID {
			at = i
		}
	}
	require.GreaterOrEqual(t, at, 0)
	l := &rec.Layouts[at]
	require.Len(t, l.Placed, 3, "all three squares, one over the two")
	books, err := account.Layer(rec, l, 0)
	require.NoError(t, err)
	require.InDelta(t, 0, books.Imbalance(), 1)
	require.Less(t, books.Drawn, 900.0*850)
	require.Zero(t, books.Selvedge, "it has none left to lose")
}

// With remnants no more is drawn from rolls than without, and what does not
// help stays in the store.
func TestRemnantsAndRollsTogether(t *testing.T) {
	job := sixJob()
	without := lay(t, job)
	pieces := []remnant.Remnant{
		{ID: "RM-BBBBBBBB", Fabric: "WR", Face: remnant.FaceUp, Outline: remnant.Rectangle(450, 450)},
		{ID: "RM-CCCCCCCC", Fabric: "WR", Face: remnant.FaceUp, Outline: remnant.Rectangle(60, 60)},
		{ID: "RM-DDDDDDDD", Fabric: "WR", Face: remnant.FaceUp, Outline: remnant.Rectangle(1500, 700)},
	}
	rec, err := OnRemnants(context.Background(), job, Usable(job, pieces), settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(rec))
	require.Less(t, fresh(rec), fresh(without))
	require.False(t, used(rec, "RM-CCCCCCCC"))
	require.Len(t, where(rec), len(rec.Demand))
}

// One lot in a kit: a remnant of another lot is left alone, one of the same
// lot is used, by kits that are of that lot altogether.
func TestRemnantsOfOneLot(t *testing.T) {
	job := sixJob()
	job.Cutting.OneLotPerUnit = true
	job.Fabrics[0].Rolls = []shapes.Roll{{Name: "R-1", Lot: "A", Length: 2200}, {Name: "R-2", Lot: "B", Length: 6000}}
	big := func(id, lot string) remnant.Remnant {
		return remnant.Remnant{ID: id, Fabric: "WR", Lot: lot, Face: remnant.FaceUp, Outline: remnant.Rectangle(800, 700)}
	}
	rec, err := OnRemnants(context.Background(), job, []remnant.Remnant{big("RM-ZZZZZZZZ", "Z")}, settings, nil)
	require.NoError(t, err)
	require.False(t, used(rec, "RM-ZZZZZZZZ"))
	rec, err = OnRemnants(context.Background(), job, []remnant.Remnant{big("RM-ZZZZZZZZ", "Z"), big("RM-AAAAAAAA", "A")}, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(rec))
	require.True(t, used(rec, "RM-AAAAAAAA"))
	require.False(t, used(rec, "RM-ZZZZZZZZ"))
	for unit := 1; unit <= 3; unit++ {
		require.Len(t, lotsUsed(rec, "WR", unit), 1)
	}
}

// A kit that is half cut from one lot gets its rest from that lot, though
// another would do; where that lot is used up the job cannot be laid, and says
// so by its plies.
func TestAgainFromTheSameLot(t *testing.T) {
	job := sixJob()
	job.Cutting.OneLotPerUnit = true
	job.Fabrics[0].Rolls = []shapes.Roll{{Name: "R-1", Lot: "A", Length: 6000}, {Name: "R-2", Lot: "B", Length: 6000}}
	rec := lay(t, job)
	whole := wovenLayout(t, rec)
	lot := whole.Layers[0].Lot
	kept := Part(whole, job.Cutting.EndAllowance, func(i int) bool { return i == 0 })
	unit := kept.Placed[0].Unit
	// The other lot is offered first now.
	swapped := sixJob()
	swapped.Cutting.OneLotPerUnit = true
	swapped.Fabrics[0].Rolls = []shapes.Roll{job.Fabrics[0].Rolls[1], job.Fabrics[0].Rolls[0]}
	if lot == "B" {
		swapped.Fabrics[0].Rolls = job.Fabrics[0].Rolls
	}
	got, err := Again(context.Background(), rec, []nest.Layout{kept}, swapped, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(got))
	require.Equal(t, map[string]bool{lot: true}, lotsUsed(got, "WR", unit))

	for i := range swapped.Fabrics[0].Rolls {
		if r := &swapped.Fabrics[0].Rolls[i]; r.Lot == lot {
			r.Length = kept.Length
		}
	}
	_, err = Again(context.Background(), rec, []nest.Layout{kept}, swapped, settings, nil)
	require.ErrorContains(t, err, "no room for")
}
