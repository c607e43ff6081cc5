package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

func mat() *shapes.Fabric {
	return &shapes.Fabric{Name: "CSM 450", Construction: shapes.Mat, Faces: shapes.SameFaces, ArealMass: 450,
		GlassContent: 0.30, FibreDensity: 2.56, Width: 1270, Selvedge: 15}
}

// stacked is a job that may stack the fabrics given, each on itself as well.
func stacked(layers int, policy shapes.SpreadPolicy, fabrics ...*shapes.Fabric) *shapes.Job {
	j := &shapes.Job{Name: "Nacelle cover", Revision: "A", Fabrics: fabrics,
		Cutting: shapes.Cutting{Gap: 3, EndAllowance: 20, Layers: layers, MinRemnant: 500, ChordTolerance: 0.05, SpreadPolicy: policy}}
	var names []string
	for _, f := range fabrics {
		names = append(names, f.Name)
	}
	j.Cutting.Spreads = [][]string{append(names, names...)}
	return j
}

// TestCaseFour is worked case 4: CSM 450 (1270, selvedge 15) under WR 600
// (1250, 25), lower edges aligned, usable y 25 to 1225. Two 1000 × 590 and a
// gap of 3 take 1183 of 1200, so the length is 1000 and two ends of 20.
func TestCaseFour(t *testing.T) {
	csm, wr := mat(), roving()
	wr.Width, wr.Selvedge = 1250, 25
	j := stacked(2, shapes.SpreadTime, csm, wr)
	panel := rectangle("PANEL", 1000, 590)
	j.Parts = []*shapes.Part{{Name: "Upper shell", Units: 1, Plies: []*shapes.Ply{
		{Order: 1, Name: "U01", Outline: panel, Fabric: csm, Count: 1},
		{Order: 2, Name: "U02", Outline: panel, Fabric: wr, Count: 1},
		{Order: 3, Name: "U03", Outline: panel, Fabric: csm, Count: 1},
		{Order: 4, Name: "U04", Outline: panel, Fabric: wr, Count: 1},
	}}}
	rec := lay(t, j)
	require.Len(t, rec.Layouts, 1)
	l := rec.Layouts[0]
	require.Equal(t, []string{"CSM 450", "WR 600"}, []string{l.Layers[0].Fabric, l.Layers[1].Fabric})
	require.Equal(t, [2]nest.Point{{20, 25}, {1020, 1225}}, l.Usable)
	require.InDelta(t, 1040, l.Length, 1e-6)
	for _, c := range []struct {
		layer int
		want  account.Books
		yield float64
	}{
		{0, account.Books{Drawn: 1_320_800, PliesNet: 1_180_000, Gaps: 20_000, EndAllowance: 48_000, Selvedge: 31_200, Mismatch: 41_600}, 0.8934},
		{1, account.Books{Drawn: 1_300_000, PliesNet: 1_180_000, Gaps: 20_000, EndAllowance: 48_000, Selvedge: 52_000}, 0.9077},
	} {
		got, err := account.Layer(rec, &l, c.layer)
		require.NoError(t, err)
		for i, w := range c.want.Classes() {
			require.InDelta(t, w.Area, got.Classes()[i].Area, 1, w.Label)
		}
		require.InDelta(t, c.want.Drawn, got.Drawn, 1)
		require.InDelta(t, c.yield, got.NetYield(), 5e-5)
	}
	// 600 high, two do not stand side by side in 1200: 1203 are needed.
	*panel = *rectangle("PANEL", 1000, 600)
	rec = lay(t, j)
	require.Len(t, rec.Layouts, 1)
	require.InDelta(t, 2*1000+3+40, rec.Layouts[0].Length, 1e-6)
}

// Face to face: a satin's hands pair with the upper layer face down, and both
// layers come off one roll, one after the other.
func TestFaceToFace(t *testing.T) {
	f := roving()
	f.Construction, f.Faces = shapes.Satin, shapes.DifferentFaces
	f.Rolls = []shapes.Roll{{Name: "R-1", Lot: "A", Length: 5000}}
	j := stacked(2, shapes.SpreadTime, f)
	wedge := &shapes.Outline{Name: "WEDGE", Exterior: orb.Ring{{0, 0}, {600, 0}, {0, 300}}, Area: 90_000}
	j.Parts = []*shapes.Part{{Name: "Upper shell", Units: 8, Plies: []*shapes.Ply{
		{Order: 1, Name: "U01", Outline: wedge, Fabric: f, Direction: 30, Count: 2, OppositeHand: 1}}}}
	rec := lay(t, j)
	require.Len(t, rec.Layouts, 1)
	l := rec.Layouts[0]
	require.Equal(t, []string{"up", "down"}, []string{l.Layers[0].Face, l.Layers[1].Face})
	require.InDelta(t, l.Length, l.Layers[1].RollFrom, 1e-6)
	for _, p := range l.Placed {
		require.Equal(t, p.Layer == 2, p.OppositeHand)
		require.Equal(t, p.OppositeHand, p.TurnedOver)
	}
}

// Two layers of one fabric come off its roll before the flaw; what finds no
// room there is cut single behind it, and both rolls of a spread are drawn by
// one length.
func TestSpreadsOnRollsWithFlaws(t *testing.T) {
	csm, wr := mat(), roving()
	csm.Rolls = []shapes.Roll{{Name: "M-1", Length: 4000, Flaws: []shapes.Span{{From: 1200, To: 1300}}}, {Name: "M-2", Length: 9000}}
	wr.Rolls = []shapes.Roll{{Name: "W-1", Length: 3000}, {Name: "W-2", Length: 9000, Width: 1000, Flaws: []shapes.Span{{From: 100, To: 150}}}}
	j := stacked(2, shapes.SpreadTime, csm, wr)
	panel := rectangle("PANEL", 800, 500)
	j.Parts = []*shapes.Part{{Name: "Upper shell", Units: 3, Plies: []*shapes.Ply{
		{Order: 1, Name: "U01", Outline: panel, Fabric: csm, Count: 3},
		{Order: 2, Name: "U02", Outline: panel, Fabric: wr, Count: 2}}}}
	for _, policy := range []shapes.SpreadPolicy{shapes.SpreadTime, shapes.SpreadFabric, shapes.SpreadRecommended, shapes.SpreadNone} {
		j.Cutting.SpreadPolicy = policy
		rec, err := Lay(context.Background(), j, Settings{Effort: 1, Seed: 1}, nil)
		require.NoError(t, err)
		balances(t, rec)
		require.Equal(t, policy == shapes.SpreadNone, rec.SpreadOptions == nil)
	}
}

func balances(t require.TestingT, rec *nest.Record) {
	led, err := account.Measure(rec)
	require.NoError(t, err)
	for _, l := range led.Layers {
		require.InDelta(t, 0, l.Books.Imbalance(), 1)
	}
}

// The table of a record: time is never more than without spreads, fabric never
// more than with them, and the option laid says what the layouts say.
func TestSpreadOptions(t *testing.T) {
	csm, wr := mat(), roving()
	csm.Price, wr.Price = &shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}, &shapes.Price{Amount: 3, Per: shapes.PerSquareMetre}
	j := stacked(2, "", csm, wr)
	panel, strip := rectangle("PANEL", 800, 500), rectangle("STRIP", 1900, 90)
	j.Parts = []*shapes.Part{{Name: "Upper shell", Units: 2, Plies: []*shapes.Ply{
		{Order: 1, Name: "U01", Outline: panel, Fabric: csm, Count: 3},
		{Order: 2, Name: "U02", Outline: panel, Fabric: wr, Count: 2},
		{Order: 3, Name: "U03", Outline: strip, Fabric: wr, Count: 1}}}}
	rec := lay(t, j)
	o := map[string]nest.SpreadOption{}
	for _, s := range rec.SpreadOptions {
		o[s.Name] = s
		require.Equal(t, s.Name == nest.OptionRecommended, s.Chosen)
		require.True(t, s.Priced)
	}
	require.Len(t, o, 5)
	require.Less(t, o["time"].Minutes.Total(), o["none"].Minutes.Total())
	require.LessOrEqual(t, o["fabric"].FabricCost, o["none"].FabricCost)
	best := o["recommended"].FabricCost + o["recommended"].LabourCost
	for _, name := range []string{"none", "time", "fabric"} {
		require.LessOrEqual(t, best, o[name].FabricCost+o[name].LabourCost+1e-6)
	}
	led, err := account.Measure(rec)
	require.NoError(t, err)
	require.InDelta(t, led.Total.Length, o["laid"].Length, 1e-3)
	require.InDelta(t, led.Total.Cost, o["laid"].FabricCost, 1e-3)
	require.InDelta(t, led.Total.Books.NetYield(), o["laid"].NetYield, 1e-6)
	require.InDelta(t, account.Minutes(rec).Total(), o["laid"].Minutes.Total(), 1e-3)
}

// Small random jobs over rolls, flaws, lots, tables and spreads: every plan
// passes the verifier and its books balance (Lay sees to that and fails
// otherwise), or the job is refused for want of room.
func TestPlanProperty(t *testing.T) {
	laid := 0
	rapid.Check(t, func(t *rapid.T) {
		var fabrics []*shapes.Fabric
		for i, f := range []*shapes.Fabric{mat(), roving(), {Name: "UD 300", Construction: shapes.Unidirectional, Faces: shapes.DifferentFaces, ArealMass: 300, GlassContent: 0.55, FibreDensity: 2.56, Width: 1000, Selvedge: 10}} {
			for k := range rapid.IntRange(0, 3).Draw(t, "rolls") {
				r := shapes.Roll{Name: fmt.Sprintf("R%d%d", i, k), Lot: rapid.SampledFrom([]string{"A", "B"}).Draw(t, "lot"),
					Length:   rapid.SampledFrom([]float64{0, 1200, 2000, 3500, 9000}).Draw(t, "length"),
					Width:    rapid.SampledFrom([]float64{0, 0, 900}).Draw(t, "width"),
					FaceDown: rapid.IntRange(0, 3).Draw(t, "down") == 0}
				if rapid.IntRange(0, 2).Draw(t, "flawed") == 0 {
					from := float64(rapid.IntRange(0, 1000).Draw(t, "flaw"))
					r.Flaws = []shapes.Span{{From: from, To: from + 60}}
				}
				f.Rolls = append(f.Rolls, r)
			}
			fabrics = append(fabrics, f)
		}
		j := stacked(rapid.IntRange(1, 3).Draw(t, "layers"), rapid.SampledFrom([]shapes.SpreadPolicy{"", "none", "time", "fabric"}).Draw(t, "policy"), fabrics...)
		j.Cutting.OneLotPerUnit = rapid.IntRange(0, 3).Draw(t, "one lot") == 0
		if rapid.Bool().Draw(t, "table") {
			j.Cutting.Table = &shapes.Table{Length: 1300, Width: 1600, Kind: shapes.StaticTable}
		}
		outlines := []*shapes.Outline{rectangle("PANEL", 700, 430), rectangle("STRIP", 900, 60),
			{Name: "WEDGE", Exterior: orb.Ring{{0, 0}, {600, 0}, {0, 300}}, Area: 90_000}}
		part := &shapes.Part{Name: "Shell", Units: rapid.IntRange(1, 3).Draw(t, "units")}
		for i := range rapid.IntRange(1, 4).Draw(t, "plies") {
			ply := &shapes.Ply{Order: i + 1, Name: fmt.Sprintf("U%d", i), Outline: rapid.SampledFrom(outlines).Draw(t, "outline"),
				Fabric: rapid.SampledFrom(fabrics).Draw(t, "fabric"), Direction: rapid.SampledFrom([]float64{0, 45, 90}).Draw(t, "direction"),
				Tolerance: 3, Count: rapid.IntRange(1, 2).Draw(t, "count")}
			ply.OppositeHand = rapid.IntRange(0, ply.Count).Draw(t, "opposite")
			part.Plies = append(part.Plies, ply)
		}
		j.Parts = []*shapes.Part{part}
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		if rapid.IntRange(0, 3).Draw(t, "search") > 0 {
			cancel() // first layouts only
		}
		rec, err := Lay(ctx, j, Settings{Effort: 1, Seed: 1, Workers: 1, AllowShort: rapid.Bool().Draw(t, "short")}, nil)
		var no *CannotLay
		if errors.As(err, &no) {
			return
		}
		require.NoError(t, err)
		laid++
		require.Empty(t, verify.Check(rec))
		balances(t, rec)
		for i := range rec.Layouts {
			require.False(t, math.IsNaN(rec.Layouts[i].Length))
		}
	})
	require.Positive(t, laid)
}
