package toolpath_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/shapes"
)

func plan(t testing.TB, rec *nest.Record, m toolpath.Machine) *toolpath.Path {
	t.Helper()
	p, err := toolpath.Plan(rec, &rec.Layouts[0], m)
	require.NoError(t, err)
	return p
}

// chains are the cuts of a path as a replay would find them.
func chains(p *toolpath.Path) []cutcase.Chain {
	purpose := map[toolpath.CutKind]string{toolpath.Outline: "outline", toolpath.Hole: "hole", toolpath.Slit: "slit"}
	var out []cutcase.Chain
	for _, c := range p.Cuts {
		line := append(orb.LineString{}, c.Points...)
		if c.Closed {
			line = append(line, line[0])
		}
		out = append(out, cutcase.Chain{Purpose: purpose[c.Kind], Line: line})
	}
	return out
}

// Random layouts with plies inside cut-outs: whatever the knife and the bound
// along the roll, everything is cut, in a legal order, and the order is no
// longer than plain nearest neighbour.
func TestOrderIsLegalAndShort(t *testing.T) {
	for seed := uint64(0); seed < 12; seed++ {
		rec := cutcase.Random(seed, 5+int(seed)*3)
		m := toolpath.Machine{
			Kind:  []toolpath.Kind{toolpath.Tangential, toolpath.Drag, toolpath.Wheel}[seed%3],
			Along: []float64{0, 200, -1}[seed%4%3],
		}
		p := plan(t, rec, m)
		require.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(p), 1e-6), "seed %d", seed)
		assert.LessOrEqual(t, p.Stats.OrderTravel, p.Stats.PlainTravel+1e-6, "seed %d", seed)
		assert.GreaterOrEqual(t, p.Stats.OrderTravel, p.TravelBound()-1e-6, "seed %d", seed)
		assertAlong(t, p)
		for i, c := range p.Cuts {
			assert.Equal(t, i+1, c.Number)
		}
	}
}

// assertAlong checks the rule along the roll from the cuts alone: a cut's place
// is the left end of what it, and everything that must come before it, covers.
func assertAlong(t *testing.T, p *toolpath.Path) {
	t.Helper()
	band := p.Machine.Along
	if band < 0 {
		return
	}
	least := math.Inf(1) // the least left end of any cut still waiting
	for i := len(p.Cuts) - 1; i >= 0; i-- {
		b := p.Cuts[i].Points.Bound()
		// An outline waits for its own cut-outs, which lie inside its box, so
		// its right end is never more than the box before its place.
		assert.Less(t, b.Min[0], least+band+1e-9, "cut %d", p.Cuts[i].Number)
		if p.Cuts[i].Kind != toolpath.Outline {
			least = math.Min(least, b.Min[0])
		}
	}
}

func TestSmallBeforeLargeNeighbour(t *testing.T) {
	p := plan(t, cutcase.Small(), toolpath.Machine{})
	at := map[string]int{}
	for _, c := range p.Cuts {
		if c.Kind == toolpath.Outline {
			at[c.Label] = c.Number
		}
	}
	require.Len(t, at, 14)
	rec := beside(40, 3)
	p = plan(t, rec, toolpath.Machine{})
	assert.Equal(t, "P, unit 1, small", p.Cuts[0].Label, "close by, the small ply comes first although the large one is nearer")
	rec = beside(40, 60)
	p = plan(t, rec, toolpath.Machine{})
	assert.Equal(t, "P, unit 1, large", p.Cuts[0].Label, "farther off it does not matter")
}

// beside is a layout with a large ply at the origin and a small one to its
// right.
func beside(side, gap float64) *nest.Record {
	return &nest.Record{Format: 1, Units: "mm", Layouts: []nest.Layout{{ID: "L1", Length: 1000, Width: 1000, Placed: []nest.Placed{
		{Part: "P", Unit: 1, Ply: "large", Copy: 1, Layer: 1, Outline: nest.Ring{{0, 0}, {300, 0}, {300, 300}, {0, 300}}},
		{Part: "P", Unit: 1, Ply: "small", Copy: 1, Layer: 1, Outline: nest.Ring{{300 + gap, 0}, {300 + gap + side, 0}, {300 + gap + side, side}, {300 + gap, side}}},
	}}}}
}

// A ply that fills a cut-out to the last hair still comes before it; cut once,
// the cut-out needs no cut of its own.
func TestPlyThatFillsACutOut(t *testing.T) {
	rec := boxes([4]float64{0, 0, 400, 400}, [4]float64{100, 100, 300, 300})
	rec.Layouts[0].Placed[0].Holes = []nest.Ring{{{100, 100}, {100, 300}, {300, 300}, {300, 100}}}
	p := plan(t, rec, toolpath.Machine{})
	require.Len(t, p.Cuts, 3)
	assert.Equal(t, "P, unit 1, B", p.Cuts[0].Label)
	assert.Equal(t, toolpath.Hole, p.Cuts[1].Kind)
	p = plan(t, rec, toolpath.Machine{Once: true})
	require.Len(t, p.Cuts, 2)
	assert.Equal(t, toolpath.Outline, p.Cuts[1].Kind)
}

func TestPliesInsideOneAnother(t *testing.T) {
	rec := boxes([4]float64{0, 0, 400, 400}, [4]float64{0, 0, 400, 400})
	for i := range 2 {
		rec.Layouts[0].Placed[i].Holes = []nest.Ring{{{0, 0}, {0, 400}, {400, 400}, {400, 0}}}
	}
	_, err := toolpath.Plan(rec, &rec.Layouts[0], toolpath.Machine{})
	assert.ErrorContains(t, err, "in a circle")
}

func TestStartsAtALiftCorner(t *testing.T) {
	p := plan(t, cutcase.Random(3, 80), toolpath.Machine{})
	for _, c := range p.Cuts {
		if !c.Closed || len(c.Points) > 20 {
			continue // rounds have no corner
		}
		n := len(c.Points)
		assert.Greater(t, bend(c.Points[n-1], c.Points[0], c.Points[1]), 30.0, "cut %d", c.Number)
	}
}

func TestDragKnifeStartsAwayFromCorners(t *testing.T) {
	p := plan(t, cutcase.Random(3, 80), toolpath.Machine{Kind: toolpath.Drag})
	for _, c := range p.Cuts {
		if c.Closed {
			n := len(c.Points)
			assert.Less(t, bend(c.Points[n-1], c.Points[0], c.Points[1]), 16.0, "cut %d", c.Number)
		}
	}
}

func bend(a, b, c orb.Point) float64 {
	d := math.Atan2(c[1]-b[1], c[0]-b[0]) - math.Atan2(b[1]-a[1], b[0]-a[0])
	return math.Abs(math.Remainder(d, 2*math.Pi)) * 180 / math.Pi
}

// A spread is cut once, and the cut names the plies of both layers.
func TestSpreadIsCutOnce(t *testing.T) {
	rec := cutcase.Spread()
	p := plan(t, rec, toolpath.Machine{})
	require.Len(t, p.Cuts, 2)
	var pair toolpath.Cut
	for _, c := range p.Cuts {
		if len(c.Plies) == 2 {
			pair = c
		}
	}
	assert.Equal(t, []int{0, 1}, pair.Plies)
	assert.Equal(t, "Shell, unit 1, A + Shell, unit 1, B", pair.Label)
}

func TestSamePathTwice(t *testing.T) {
	a, b := plan(t, cutcase.Random(11, 70), toolpath.Machine{}), plan(t, cutcase.Random(11, 70), toolpath.Machine{})
	assert.Equal(t, a.Cuts, b.Cuts)
	assert.Equal(t, a.Moves, b.Moves)
}

func TestEmptyLayout(t *testing.T) {
	rec := beside(40, 3)
	rec.Layouts[0].Placed = nil
	p := plan(t, rec, toolpath.Machine{})
	assert.Empty(t, p.Cuts)
	assert.Empty(t, p.Moves)
	assert.Zero(t, p.TravelBound())
}

func TestPlanRefuses(t *testing.T) {
	for name, tc := range map[string]struct {
		spoil func(*nest.Record)
		m     toolpath.Machine
		says  string
	}{
		"outside":      {func(r *nest.Record) { r.Layouts[0].Placed[0].Outline[1][0] = 2000 }, toolpath.Machine{}, "P, unit 1, ply large, copy 1: the cut leaves the fabric at (2000, 0)"},
		"NaN":          {func(r *nest.Record) { r.Layouts[0].Placed[0].Outline[1][0] = math.NaN() }, toolpath.Machine{}, "leaves the fabric"},
		"no area":      {func(r *nest.Record) { r.Layouts[0].Placed[1].Outline = nest.Ring{{1, 1}, {2, 2}} }, toolpath.Machine{}, "no area"},
		"narrow table": {func(r *nest.Record) { r.Rules.Table = &shapes.Table{Length: 5000, Width: 200} }, toolpath.Machine{}, "the table is 200.0 mm wide"},
		"kind":         {func(*nest.Record) {}, toolpath.Machine{Kind: "laser"}, "tangential, drag or wheel"},
		"feed":         {func(*nest.Record) {}, toolpath.Machine{Feed: math.NaN()}, "feed"},
		"window":       {func(*nest.Record) {}, toolpath.Machine{Window: 5}, "too short"},
		"header":       {func(*nest.Record) {}, toolpath.Machine{Header: []string{"G0\nX0"}}, "controller does not read"},
	} {
		rec := beside(40, 3)
		tc.spoil(rec)
		_, err := toolpath.Plan(rec, &rec.Layouts[0], tc.m)
		assert.ErrorContains(t, err, tc.says, name)
	}
}

// A slit drawn with repeated points is cut as if they were one; a slit off the
// fabric is refused.
func TestSlitsThatAreOdd(t *testing.T) {
	rec := cutcase.Small()
	for i := range rec.Shapes {
		if rec.Shapes[i].ID == "WING" {
			m := rec.Shapes[i].Marks
			m[0].Line = orb.LineString{{100, 60}, {100, 60}, {180, 120}, {180, 120}, {180, 180}}
			m[1].Line = orb.LineString{{300, 60}, {300, 60}}
		}
	}
	p := plan(t, rec, toolpath.Machine{})
	n := 0
	for _, c := range p.Cuts {
		if c.Kind == toolpath.Slit {
			n++
			assert.Len(t, c.Points, 3)
		}
	}
	assert.Equal(t, 2, n)
	for _, m := range p.Moves {
		assert.False(t, math.IsNaN(m.To[0]+m.To[1]+m.Heading))
	}
	for i := range rec.Shapes {
		if rec.Shapes[i].ID == "WING" {
			rec.Shapes[i].Marks[0].Line[0][1] = -5000
		}
	}
	_, err := toolpath.Plan(rec, &rec.Layouts[0], toolpath.Machine{})
	assert.ErrorContains(t, err, "slit: the cut leaves the fabric")
}

// Slits that would not lie where the ply does are an error, not a cut through
// a ply.
func TestSlitsOfAShapeThatDoesNotMatch(t *testing.T) {
	rec := cutcase.Small()
	for i := range rec.Layouts[0].Placed {
		if rec.Layouts[0].Placed[i].Ply == "U03" {
			rec.Layouts[0].Placed[i].OppositeHand = true
		}
	}
	_, err := toolpath.Plan(rec, &rec.Layouts[0], toolpath.Machine{})
	assert.ErrorContains(t, err, "slits would be cut in the wrong place")
}

func BenchmarkPlan(b *testing.B) {
	for _, n := range []int{300, 2000} {
		rec := cutcase.Random(1, n)
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p := plan(b, rec, toolpath.Machine{})
				if p.Stats.OrderTravel > 0.75*p.Stats.PlainTravel {
					b.Fatal("the order is no better than it was")
				}
				b.ReportMetric(p.Stats.OrderTravel/1000, "m-travel")
				b.ReportMetric(p.Stats.PlainTravel/1000, "m-plain")
			}
		})
	}
}

// The time of a large layout is bounded: the trials are counted, so a slow
// machine may take longer, but never by orders.
func TestLargeLayoutIsPlannedInTime(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: the large layout takes about a second")
	}
	rec := cutcase.Random(1, 2000)
	began := time.Now()
	p := plan(t, rec, toolpath.Machine{})
	took := time.Since(began)
	t.Logf("2,000 plies, %d cuts: %v; travel %.1f m, plain nearest neighbour %.1f m", len(p.Cuts), took, p.Stats.OrderTravel/1000, p.Stats.PlainTravel/1000)
	assert.Less(t, took, 10*time.Second)
	assert.Less(t, p.Stats.OrderTravel, 0.65*p.Stats.PlainTravel)
}
