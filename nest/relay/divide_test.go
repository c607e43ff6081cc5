package relay

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/remnant"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// wideJob asks for two units of three plies of one outline, 900 × 800, on a
// roll with 960 usable; they may be divided where they do not fit.
func wideJob() *shapes.Job {
	f := &shapes.Fabric{Name: "WR", Construction: shapes.Plain, ArealMass: 600, GlassContent: 0.5, Width: 1000, Selvedge: 20, Faces: shapes.SameFaces,
		Rolls: []shapes.Roll{{Name: "R-1", Lot: "A", Length: 20000}}}
	o := &shapes.Outline{Name: "WIDE", Exterior: orb.Ring{{0, 0}, {900, 0}, {900, 800}, {0, 800}}}
	split := &shapes.Split{Joint: shapes.JointLap, Overlap: 40, MinPanel: 100, Stagger: 100}
	part := &shapes.Part{Name: "P", Units: 2}
	for i, name := range []string{"A", "B", "C"} {
		part.Plies = append(part.Plies, &shapes.Ply{Order: i + 1, Name: name, Outline: o, Fabric: f, Count: 1, Split: split})
	}
	return &shapes.Job{Name: "Wide", Fabrics: []*shapes.Fabric{f}, Parts: []*shapes.Part{part},
		Cutting: shapes.Cutting{Gap: 3, EndAllowance: 20, MinRemnant: 300, Layers: 1,
			Table: &shapes.Table{Length: 1000, Width: 1600, Kind: shapes.StaticTable}}}
}

// panelsOf lists the seams of each ply of each unit; none where it is whole.
func panelsOf(rec *nest.Record) map[nest.Key][]float64 {
	out := map[nest.Key][]float64{}
	for i := range rec.Demand {
		d := &rec.Demand[i]
		out[baseOf(d)] = nil
		if d.Panel != nil {
			out[baseOf(d)] = d.Panel.Seams
		}
	}
	return out
}

// The rest of the job comes from a narrower roll: the plies that are cut stay
// whole, the others are divided, staggered, and every rule holds. On a roll
// narrower still they are divided once more, and what is cut of them stays.
func TestRestIsDivided(t *testing.T) {
	rec := lay(t, wideJob())
	for key, seams := range panelsOf(rec) {
		require.Nil(t, seams, key)
	}
	kept := []nest.Layout{rec.Layouts[0]}
	cut := kept[0].Placed[0].Key()
	narrow := wideJob()
	narrow.Fabrics[0].Rolls[0].Width = 600
	got, err := Again(context.Background(), rec, kept, narrow, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(got))
	require.Len(t, where(got), len(got.Demand))
	divided := panelsOf(got)
	require.Len(t, divided, 6)
	for key, seams := range divided {
		require.Equal(t, key == cut, seams == nil, key)
	}
	for unit := 1; unit <= 2; unit++ {
		a, b := divided[nest.Key{Part: "P", Unit: unit, Ply: "B", Copy: 1}], divided[nest.Key{Part: "P", Unit: unit, Ply: "C", Copy: 1}]
		if a != nil && b != nil {
			require.GreaterOrEqual(t, math.Abs(a[0]-b[0]), 100.0)
		}
	}
	require.Len(t, rec.Demand, 6, "the record before is as it was")

	// One panel is cut; its ply keeps its seams, the rest goes on a roll on
	// which no panel of two fits any more.
	again := Part(got.Layouts[1], narrow.Cutting.EndAllowance, func(i int) bool { return i == 0 })
	half := again.Placed[0].Key()
	narrower := wideJob()
	narrower.Fabrics[0].Rolls[0].Width = 600
	narrower.Fabrics[0].Rolls = append(narrower.Fabrics[0].Rolls, shapes.Roll{Name: "R-2", Lot: "A", Length: 40000, Width: 450})
	third, err := Again(context.Background(), got, []nest.Layout{got.Layouts[0], again}, narrower, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(third))
	for i := range third.Demand {
		if d := &third.Demand[i]; d.Key() == half {
			require.Equal(t, 2, d.Panel.Of)
		}
	}

	narrower.Fabrics[0].Rolls = []shapes.Roll{{Name: "R-2", Lot: "A", Length: 40000, Width: 450}}
	fourth, err := Again(context.Background(), got, []nest.Layout{got.Layouts[0]}, narrower, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(fourth))
	for key, seams := range panelsOf(fourth) {
		require.Equal(t, key == cut, len(seams) < 2, key)
	}
}

// Without leave to divide, a narrower roll is refused by the plies' names.
func TestRestIsNotDividedWithoutLeave(t *testing.T) {
	rec := lay(t, wideJob())
	narrow := wideJob()
	narrow.Fabrics[0].Rolls[0].Width = 600
	for _, p := range narrow.Parts[0].Plies {
		p.Split = nil
	}
	_, err := Again(context.Background(), rec, []nest.Layout{rec.Layouts[0]}, narrow, settings, nil)
	require.ErrorContains(t, err, "too wide for fabric")
}

// Plies that may be divided to save fabric are so beside remnants too, and the
// record says what that saves in the parts' own names.
func TestDividedBesideRemnants(t *testing.T) {
	job := wideJob()
	job.Cutting.Table = nil
	for _, p := range job.Parts[0].Plies {
		p.Split = &shapes.Split{Joint: shapes.JointLap, Overlap: 40, MinPanel: 100, Stagger: 100, Allowed: true, MinSaving: 50}
		p.Outline = &shapes.Outline{Name: "W-" + p.Name, Exterior: orb.Ring{{0, 0}, {1000, 0}, {1000, 600}, {0, 600}}}
	}
	piece := remnant.Remnant{ID: "RM-AAAAAAAA", Fabric: "WR", Lot: "A", Face: remnant.FaceUp, Outline: remnant.Rectangle(1045, 610)}
	other := piece
	other.ID = "RM-BBBBBBBB"
	rec, err := OnRemnants(context.Background(), job, []remnant.Remnant{piece, other}, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(rec))
	require.True(t, used(rec, piece.ID))
	require.NotEmpty(t, rec.Divisions)
	for _, d := range rec.Divisions {
		for _, p := range d.Plies {
			require.Equal(t, "P", p.Part)
		}
		require.Greater(t, d.SavedArea(), d.Asked)
	}
}
