package buy

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/plan"
	"plyroom/nest/relay"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// onRolls lays on the rolls as they are listed.
func onRolls(ctx context.Context, j *shapes.Job) (*nest.Record, error) {
	return plan.Lay(ctx, j, plan.Settings{Effort: 1, Seed: 1, Workers: 1, RollsAsListed: true}, nil)
}

// strips cuts so many plies of 900 by 480 mm; two lie side by side on the 1000
// mm wide fabric, so that every figure can be had by hand.
func strips(n int, rolls ...shapes.Roll) *shapes.Job {
	f := &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, ArealMass: 600, GlassContent: 0.5, FibreDensity: 2.56,
		Width: 1000, Selvedge: 10, Faces: shapes.SameFaces, DeliveryLength: 2_500, Price: &shapes.Price{Amount: 10, Per: shapes.PerRoll}, Rolls: rolls}
	o := &shapes.Outline{Name: "STRIP", Exterior: orb.Ring{{0, 0}, {900, 0}, {900, 480}, {0, 480}}, Area: 900 * 480}
	return &shapes.Job{Name: "Strips", Currency: "EUR", Date: "2026-11-30", Fabrics: []*shapes.Fabric{f},
		Parts:   []*shapes.Part{{Name: "Beam", Units: n, Plies: []*shapes.Ply{{Order: 1, Name: "B1", Outline: o, Fabric: f, Tolerance: 1, Count: 1}}}},
		Cutting: shapes.Cutting{Gap: 3, EndAllowance: 20, Layers: 1, MinRemnant: 500}}
}

// Ten strips are five rows of two: 5·900 + 4·3 + 2·20 = 4552 mm in one. Of the
// rack, the old roll of 1500 mm holds one row, 940 mm, and its end of 560 mm is
// kept; the next, of 2800, holds three, 3·900 + 2·3 + 40 = 2746 mm, and its end
// of 54 mm is lost; the fifth row is cut from a new roll.
func TestRackByHand(t *testing.T) {
	j := strips(10,
		shapes.Roll{Name: "R-2", Length: 2_800, Received: "2026-05-01"},
		shapes.Roll{Name: "R-1", Length: 1_900, Reserved: 400, Received: "2026-01-01"},
		shapes.Roll{Name: "R-0", Length: 9_000, Received: "2025-01-01", Expires: "2026-01-01"})
	needs, err := LayNeeds(t.Context(), j, quick, 0, nil)
	require.NoError(t, err)
	require.InDelta(t, 4552, needs.Fabrics[0].Length, 0.01)
	require.InDelta(t, 900, needs.Fabrics[0].Longest, 0.01)

	// By the metre 4.552 less 1.5 less 2.8 leaves a quarter of a metre to buy,
	// and two ends where the plan must break off.
	metre, err := Make(j, needs, Options{})
	require.NoError(t, err)
	require.False(t, metre.OnRack)
	l := metre.Fabrics[0]
	require.InDelta(t, 0.252, l.Short, 1e-6)
	require.Equal(t, 1, l.Rolls)
	require.InDelta(t, 2*0.940, l.RollEnds, 1e-6)

	laid, err := LayRack(t.Context(), j, onRolls, "", needs, nil)
	require.NoError(t, err)
	list, err := Make(j, laid, Options{})
	require.NoError(t, err)
	require.True(t, list.OnRack)
	l = list.Fabrics[0]
	require.InDelta(t, 0.940+2.800+0.940, l.Need, 1e-6)
	require.InDelta(t, 0.940, l.Short, 1e-6)
	require.Equal(t, 1, l.Rolls)
	require.Zero(t, l.RollEnds)
	take := map[string]float64{}
	for _, d := range list.Draws {
		take[d.Name] = d.Take
	}
	require.InDelta(t, 0.940, take["R-1"], 1e-6, "the oldest first, and nothing reserved")
	require.InDelta(t, 2.800, take["R-2"], 1e-6)
	require.Zero(t, take["R-0"], "expired")
	// 1.5 + 2.8 on the rack and 2.5 bought, less 4.68.
	require.InDelta(t, 2.12, l.Left, 1e-6)
	require.LessOrEqual(t, l.Need, metre.Fabrics[0].Need+metre.Fabrics[0].RollEnds)
	require.Equal(t, 3, len(j.Fabrics[0].Rolls), "the job is as it was")

	// An allowance of 10 % is 468 mm: there is room behind the row on R-1.
	list, err = Make(j, laid, Options{Allowance: 0.1})
	require.NoError(t, err)
	require.InDelta(t, 0.940, list.Fabrics[0].Short, 1e-6)
	require.InDelta(t, 1.408, list.Draws[1].Take, 1e-6)

	needs.Batches = batches
	_, err = LayRack(t.Context(), j, onRolls, "", needs, nil)
	require.ErrorContains(t, err, "estimate")
}

// An open order is a roll too, where it comes in time; a roll narrower than the
// fabric takes what it can; one without end takes all that is left.
func TestRackTakesWhatThereIs(t *testing.T) {
	j := strips(7, shapes.Roll{Name: "N", Length: 950, Width: 520})
	j.Fabrics[0].Buying = &shapes.Buying{Unit: shapes.PerRoll, Step: 1, Orders: []shapes.OpenOrder{
		{Name: "PO-1", Length: 1_000, Due: "2026-12-01"}, {Name: "PO-2", Length: 9_000, Due: "2027-01-01"}}}
	needs, err := LayNeeds(t.Context(), j, quick, 0, nil)
	require.NoError(t, err)
	laid, err := LayRack(t.Context(), j, onRolls, "2026-12-24", needs, nil)
	require.NoError(t, err)
	list, err := Make(j, laid, Options{By: "2026-12-24"})
	require.NoError(t, err)
	take := map[string]float64{}
	for _, d := range list.Draws {
		take[d.Name] = d.Take
	}
	// One on N, two on PO-1, four in two rows on a new roll: 1843 mm.
	require.InDelta(t, 0.950, take["N"], 1e-6)
	require.InDelta(t, 1.000, take["PO-1"], 1e-6)
	require.Zero(t, take["PO-2"])
	require.InDelta(t, 1.843, list.Fabrics[0].Short, 1e-6)

	j = strips(6, shapes.Roll{Name: "E"})
	needs, err = LayNeeds(t.Context(), j, quick, 0, nil)
	require.NoError(t, err)
	laid, err = LayRack(t.Context(), j, onRolls, "", needs, nil)
	require.NoError(t, err)
	list, err = Make(j, laid, Options{})
	require.NoError(t, err)
	require.Zero(t, list.Fabrics[0].Short)
	require.InDelta(t, 3*0.9+2*0.003+0.04, list.Draws[0].Take, 1e-6)
}

// Where a plan breaks off: at each flaw passed, and at each roll's end after
// which something follows.
func TestEnds(t *testing.T) {
	f := &shapes.Fabric{Name: "WR 600", Width: 1000, Rolls: []shapes.Roll{
		{Name: "A", Length: 10_000, Flaws: []shapes.Span{{From: 4_000, To: 4_100}, {From: 8_000, To: 8_100}}}}}
	for _, tt := range []struct {
		take  float64 // m
		rolls int
		want  int
	}{
		{3, 0, 0}, {4, 0, 0}, {5, 0, 1}, {9.8, 0, 2}, {9.8, 1, 3}, {9.8, 3, 5}, {0, 0, 0}, {0, 2, 1},
	} {
		ds := []Draw{{Source: FromRoll, Name: "A", Take: tt.take}}
		require.Equal(t, tt.want, ends(f, ds, tt.rolls), "%v m, %d rolls", tt.take, tt.rolls)
	}
}

// Remnants hold plies that no roll need give: in a full nest by the record, in
// an estimate by taking their plies off the line.
func TestRemnantsFirst(t *testing.T) {
	const id = "RM-0123456789"
	piece := remnant.Remnant{Format: 1, ID: id, Fabric: "WR 600", Lot: "L7", Face: remnant.FaceUp, Outline: nest.Ring{{0, 0}, {950, 0}, {950, 510}, {0, 510}}}
	store := &Remnants{IDs: []string{id}, Lay: func(ctx context.Context, j *shapes.Job) (*nest.Record, error) {
		return relay.OnRemnants(ctx, j, []remnant.Remnant{piece}, plan.Settings{Effort: 1, Seed: 1, Workers: 1, IgnoreStock: true}, nil)
	}}
	j := strips(9)
	plain, err := LayNeeds(t.Context(), j, quick, 0, nil)
	require.NoError(t, err)
	require.InDelta(t, 4552, plain.Fabrics[0].Length, 0.01, "five rows")
	n, err := LayNeeds(t.Context(), j, quick, 0, store)
	require.NoError(t, err)
	require.Equal(t, 9, n.Fabrics[0].Plies)
	require.InDelta(t, 3649, n.Fabrics[0].Length, 0.01, "four rows: 4·900 + 3·3 + 40")
	require.Len(t, n.Remnants, 1)
	require.Equal(t, OnRemnant{Fabric: "WR 600", ID: id, Lot: "L7", Plies: 1, Length: n.Remnants[0].Length, Width: 510, Area: 0.432}, n.Remnants[0])
	require.InDelta(t, 8*900*480, n.Fabrics[0].Net, 1)

	// Forty strips are read off a line through 4, 8 and 12, a pair of which
	// takes 903 mm. One remnant saves no row of the twelve and is left alone; two
	// save one.
	j = strips(40)
	n, err = LayNeeds(t.Context(), j, quick, 12, store)
	require.NoError(t, err)
	require.Empty(t, n.Remnants)
	another := piece
	another.ID = "RM-9876543210"
	store.IDs = append(store.IDs, another.ID)
	store.Lay = func(ctx context.Context, j *shapes.Job) (*nest.Record, error) {
		return relay.OnRemnants(ctx, j, []remnant.Remnant{piece, another}, plan.Settings{Effort: 1, Seed: 1, Workers: 1, IgnoreStock: true}, nil)
	}
	plain, err = LayNeeds(t.Context(), j, quick, 12, nil)
	require.NoError(t, err)
	n, err = LayNeeds(t.Context(), j, quick, 12, store)
	require.NoError(t, err)
	require.InDelta(t, 903, plain.Fabrics[0].Length-n.Fabrics[0].Length, 0.1)
	require.InDelta(t, 38*900*480, n.Fabrics[0].Net, 1)
	require.Equal(t, 40, n.Fabrics[0].Plies)
	list, err := Make(j, n, Options{})
	require.NoError(t, err)
	require.Equal(t, n.Remnants, list.Remnants)
}
