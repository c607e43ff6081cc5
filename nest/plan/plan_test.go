package plan

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

func rectangle(name string, w, h float64) *shapes.Outline {
	return &shapes.Outline{Name: name, Exterior: orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}, Area: w * h}
}

func roving() *shapes.Fabric {
	return &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, Faces: shapes.SameFaces, ArealMass: 600,
		GlassContent: 0.48, FibreDensity: 2.56, Width: 1270, Selvedge: 15}
}

func small(f *shapes.Fabric, plies ...*shapes.Ply) *shapes.Job {
	for i, p := range plies {
		p.Fabric, p.Order = f, i+1
		if p.Count == 0 {
			p.Count = 1
		}
	}
	return &shapes.Job{Name: "Nacelle cover", Revision: "A", Fabrics: []*shapes.Fabric{f},
		Parts:   []*shapes.Part{{Name: "Upper shell", Units: 1, Plies: plies}},
		Cutting: shapes.Cutting{Gap: 3, EndAllowance: 20, Layers: 1, MinRemnant: 500, ChordTolerance: 0.05}}
}

func lay(t *testing.T, j *shapes.Job) *nest.Record {
	t.Helper()
	rec, err := Lay(context.Background(), j, Settings{Effort: 20, Seed: 1}, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(rec))
	return rec
}

// Two panels 1025 × 1600 end to end with a gap of 3 and ends of 20 take 3243
// mm, worked by hand; the yield is 3.28 and 3.20 m² over 3.243·1.270 m².
func TestWidePlyLength(t *testing.T) {
	f := roving()
	f.Balanced = true
	rec := lay(t, small(f, &shapes.Ply{Name: "U02", Outline: rectangle("SKIN", 2000, 1600),
		Split: &shapes.Split{Joint: shapes.JointLap, Overlap: 50}}))
	require.Len(t, rec.Layouts, 1)
	require.InDelta(t, 3243, rec.Layouts[0].Length, 1e-3)
	led, err := account.Measure(rec)
	require.NoError(t, err)
	require.InDelta(t, 0.7964, led.Total.Books.CutYield(), 5e-5)
	require.InDelta(t, 0.7770, led.Total.Books.NetYield(), 5e-5) // 3.20/4.11861
	require.InDelta(t, 0.08e6, led.Total.Books.Laps, 1)
}

// Unbalanced, the warp must follow the datum: two panels 2000 × 825 end to
// end take 4043 mm, yields 64.27 % cut and 62.32 % net.
func TestWidePlyLengthUnbalanced(t *testing.T) {
	rec := lay(t, small(roving(), &shapes.Ply{Name: "U02", Outline: rectangle("SKIN", 2000, 1600),
		Split: &shapes.Split{Joint: shapes.JointLap, Overlap: 50}}))
	require.InDelta(t, 4043, rec.Layouts[0].Length, 1e-3)
	led, err := account.Measure(rec)
	require.NoError(t, err)
	require.InDelta(t, 0.6427, led.Total.Books.CutYield(), 5e-5)
	require.InDelta(t, 0.6232, led.Total.Books.NetYield(), 5e-5)
}

func TestWithoutSplitTheWidePlyIsRefused(t *testing.T) {
	_, err := Lay(context.Background(), small(roving(), &shapes.Ply{Name: "U02", Outline: rectangle("SKIN", 2000, 1600),
		File: "job.yaml", Line: 12}), Settings{Effort: 1}, nil)
	var no *CannotLay
	require.ErrorAs(t, err, &no)
	require.Equal(t, `job.yaml:12: Upper shell, ply U02: too wide for fabric "WR 600": needs 1600.0 mm across the roll `+
		`in the best allowed rotation, usable are 1240.0 mm; use a wider roll, allow another direction or more tolerance, `+
		`allow a split, or draw the ply in panels`, err.Error())
}

// Two rectangles 1000 × 590 with a gap of 3 stand side by side on 1240; a
// static table 1100 long then needs one layout for each such pair.
func TestStaticTable(t *testing.T) {
	j := small(roving(), &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 1000, 590), Count: 7})
	j.Cutting.Table = &shapes.Table{Length: 1100, Width: 1600, Kind: shapes.StaticTable}
	rec := lay(t, j)
	require.Len(t, rec.Layouts, 4)
	at := 0.0
	for _, l := range rec.Layouts {
		require.LessOrEqual(t, l.Length, 1100.0)
		require.InDelta(t, at, l.Layers[0].RollFrom, 1e-6, "each begins where the one before ends")
		at += l.Length
	}
	require.InDelta(t, 4*1040, at, 0.1)
}

// A roll 5 m long with a flaw from 1000 to 1100: nothing lies on the flaw, and
// the second roll takes what the first cannot.
func TestRollsAndFlaws(t *testing.T) {
	f := roving()
	f.Rolls = []shapes.Roll{
		{Name: "R-1", Lot: "A", Length: 2500, Flaws: []shapes.Span{{From: 1000, To: 1100}}},
		{Name: "R-2", Lot: "B", Length: 9000, Width: 1000},
	}
	rec := lay(t, small(f, &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 900, 600), Count: 7}))
	rolls := map[string]int{}
	for _, l := range rec.Layouts {
		rolls[l.Layers[0].Roll] += len(l.Placed)
	}
	// 1240 holds two across: two before the flaw, two behind it; 970 holds one.
	require.Equal(t, map[string]int{"R-1": 4, "R-2": 3}, rolls)
	require.Equal(t, []nest.Flaw{{From: 1000, To: 1100}}, rec.Layouts[0].Flaws)
	led, err := account.Measure(rec)
	require.NoError(t, err)
	require.Positive(t, led.Total.Books.Flaws)
}

func TestStockRunsShort(t *testing.T) {
	f := roving()
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 2100}}
	_, err := Lay(context.Background(), small(f, &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 1000, 590), Count: 6}),
		Settings{Effort: 1}, nil)
	var no *CannotLay
	require.ErrorAs(t, err, &no)
	require.ErrorContains(t, err, `Upper shell, ply A: no room for 2 of it on the rolls of fabric "WR 600"`)
	require.ErrorContains(t, err, `fabric "WR 600" is short by at least 1.0 m`)
	// Buying looks past the stock.
	rec, err := Lay(context.Background(), small(f, &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 1000, 590), Count: 6}),
		Settings{Effort: 1, IgnoreStock: true}, nil)
	require.NoError(t, err)
	require.InDelta(t, 3*1000+2*3+40, rec.Layouts[0].Length, 0.1)
}

func TestRollTooShortForAnyPly(t *testing.T) {
	f := roving()
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 500}}
	_, err := Lay(context.Background(), small(f, &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 1000, 590)}), Settings{Effort: 1}, nil)
	require.ErrorContains(t, err, "too long for fabric \"WR 600\": needs 1000.0 mm along the roll, the longest usable stretch is 460.0 mm")
	f.Rolls[0].Length = 30
	_, err = Lay(context.Background(), small(f, &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 1000, 590)}), Settings{Effort: 1}, nil)
	require.ErrorContains(t, err, "no roll or table is longer than both end allowances")
}

func TestFabricWiderThanTable(t *testing.T) {
	j := small(roving(), &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 100, 100)})
	j.Cutting.Table = &shapes.Table{Length: 5000, Width: 1200, Kind: shapes.Conveyor}
	_, err := Lay(context.Background(), j, Settings{Effort: 1}, nil)
	require.ErrorContains(t, err, `fabric "WR 600" is 1270.0 mm wide, the table 1200.0 mm`)
}

func TestSameEffortSameRecord(t *testing.T) {
	j := func() *shapes.Job {
		return small(roving(), &shapes.Ply{Name: "A", Outline: rectangle("P", 400, 250), Count: 5},
			&shapes.Ply{Name: "B", Outline: &shapes.Outline{Name: "T", Exterior: orb.Ring{{0, 0}, {600, 0}, {0, 300}}}, Count: 6})
	}
	require.Equal(t, lay(t, j()), lay(t, j()))
}

// A context that has ended gives the first layout found, whole and checked.
func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	rec, err := Lay(ctx, small(roving(), &shapes.Ply{Name: "A", Outline: rectangle("P", 400, 250), Count: 30}),
		Settings{Time: time.Hour}, nil)
	require.NoError(t, err)
	require.Contains(t, rec.Search.Status, "stopped early")
}

func TestProgressReportsFiguresThatHold(t *testing.T) {
	var seen []Progress
	rec, err := Lay(context.Background(), small(roving(), &shapes.Ply{Name: "A", Outline: rectangle("P", 410, 250), Count: 9}),
		Settings{Time: 300 * time.Millisecond}, func(p Progress) { seen = append(seen, p) })
	require.NoError(t, err)
	require.NotEmpty(t, seen)
	last := seen[len(seen)-1]
	require.InDelta(t, rec.Layouts[0].Length, last.Length, 1e-3)
	require.LessOrEqual(t, last.Bound, last.Length+1e-6)
	for _, p := range seen {
		require.False(t, math.IsNaN(p.Yield) || p.Yield <= 0 || p.Yield > 1, p)
	}
}

func TestWrongIsNamed(t *testing.T) {
	rec := lay(t, small(roving(), &shapes.Ply{Name: "A", Outline: rectangle("P", 400, 250), Count: 2}))
	rec.Layouts[0].Placed[1].X += 5
	err := Accept(rec)
	var wrong *Wrong
	require.True(t, errors.As(err, &wrong))
	require.ErrorContains(t, err, "Upper shell, unit 1, ply A, copy")
}
