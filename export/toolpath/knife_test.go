package toolpath_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
	"plyroom/nest"
)

// boxes is a layout of rectangles, each given by its lower left and upper right.
func boxes(bs ...[4]float64) *nest.Record {
	rec := &nest.Record{Format: 1, Units: "mm", Layouts: []nest.Layout{{ID: "L1", Length: 4000, Width: 1300}}}
	for i, b := range bs {
		rec.Layouts[0].Placed = append(rec.Layouts[0].Placed, nest.Placed{
			Part: "P", Unit: 1, Ply: string(rune('A' + i)), Copy: 1, Layer: 1,
			Outline: nest.Ring{{b[0], b[1]}, {b[2], b[1]}, {b[2], b[3]}, {b[0], b[3]}},
		})
	}
	return rec
}

// strokes are the runs of the lowered knife.
func strokes(p *toolpath.Path) []orb.LineString {
	var out []orb.LineString
	var at orb.Point
	for _, m := range p.Moves {
		switch m.Op {
		case toolpath.Travel:
			at = m.To
		case toolpath.Lower:
			out = append(out, orb.LineString{at})
		case toolpath.Draw:
			at = m.To
			out[len(out)-1] = append(out[len(out)-1], at)
		}
	}
	return out
}

// depthInside is how far inside any ply's material a point lies, mm; 0 outside
// and on the boundary.
func depthInside(l *nest.Layout, p orb.Point) float64 {
	worst := 0.0
	for i := range l.Placed {
		in, d := false, math.Inf(1)
		rings := append([]nest.Ring{l.Placed[i].Outline}, l.Placed[i].Holes...)
		for _, r := range rings {
			for k := range r {
				a, b := r[k], r[(k+1)%len(r)]
				if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
					in = !in
				}
				d = math.Min(d, segment(a, b, p))
			}
		}
		if in {
			worst = math.Max(worst, d)
		}
	}
	return worst
}

func segment(a, b, p orb.Point) float64 {
	ex, ey := b[0]-a[0], b[1]-a[1]
	t := math.Max(0, math.Min(1, ((p[0]-a[0])*ex+(p[1]-a[1])*ey)/(ex*ex+ey*ey)))
	return math.Hypot(p[0]-a[0]-t*ex, p[1]-a[1]-t*ey)
}

// deepest is how far the lines, lengthened at both ends by reach, go into a
// ply.
func deepest(l *nest.Layout, lines []orb.LineString, reach float64) float64 {
	worst := 0.0
	for _, s := range lines {
		n := len(s)
		if n < 2 {
			continue
		}
		s = append(orb.LineString{beyond(s[1], s[0], reach)}, s...)
		s = append(s, beyond(s[n-1], s[n], reach))
		for i := 1; i < len(s); i++ {
			for k := range 33 {
				f := float64(k) / 32
				p := orb.Point{s[i-1][0] + f*(s[i][0]-s[i-1][0]), s[i-1][1] + f*(s[i][1]-s[i-1][1])}
				worst = math.Max(worst, depthInside(l, p))
			}
		}
	}
	return worst
}

func beyond(a, b orb.Point, d float64) orb.Point {
	h := math.Hypot(b[0]-a[0], b[1]-a[1])
	return orb.Point{b[0] + d*(b[0]-a[0])/h, b[1] + d*(b[1]-a[1])/h}
}

// A wheel of radius 14 mm at depth 3 mm cuts √(14² - 11²) = 8.66 mm past the
// point aimed at (derived: half a chord).
func TestWheelReach(t *testing.T) {
	m := toolpath.Machine{Kind: toolpath.Wheel}.Defaults()
	assert.InDelta(t, math.Sqrt(75), m.Reach(), 1e-12)
	assert.InDelta(t, 8.66, m.Reach(), 0.005)
	assert.Zero(t, toolpath.Machine{}.Defaults().Reach())
}

func TestWheelIsCheckedAgainstNeighbours(t *testing.T) {
	m := toolpath.Machine{Kind: toolpath.Wheel}
	near := boxes([4]float64{10, 10, 110, 110}, [4]float64{113, 0, 213, 120})
	p := plan(t, near, m)
	assert.Equal(t, []string{"P, unit 1, B: the wheel reaches 8.66 mm past the point aimed at and enters this ply at 2 places"}, p.Warnings)
	assert.InDelta(t, 5.66, deepestAlongX(near, p, 8.6603), 0.02, "8.66 past the corner, across a gap of 3")

	far := boxes([4]float64{10, 10, 110, 110}, [4]float64{119, 0, 219, 120})
	assert.Empty(t, plan(t, far, m).Warnings)

	m.WheelShorten = true
	p = plan(t, near, m)
	assert.Contains(t, p.Warnings[0], "stop short")
	assert.Less(t, deepest(&near.Layouts[0], strokes(p), math.Sqrt(75)), 2e-3)
}

// deepestAlongX is how far past a box's edge the wheel cuts along the roll.
func deepestAlongX(rec *nest.Record, p *toolpath.Path, reach float64) float64 {
	worst := 0.0
	for _, s := range strokes(p) {
		for _, e := range []orb.Point{beyond(s[len(s)-2], s[len(s)-1], reach), beyond(s[1], s[0], reach)} {
			for _, b := range rec.Layouts[0].Placed {
				lo, hi := b.Outline[0], b.Outline[2]
				if e[1] >= lo[1] && e[1] <= hi[1] && e[0] > lo[0] && e[0] < hi[0] {
					worst = math.Max(worst, math.Min(e[0]-lo[0], hi[0]-e[0]))
				}
			}
		}
	}
	return worst
}

// With random plies: whatever overcut is asked for, the knife never enters a
// ply, and a wheel told to stop short does not either.
func TestOvercutsNeverEnterAPly(t *testing.T) {
	for seed := uint64(20); seed < 22; seed++ {
		rec := cutcase.Random(seed, 24)
		for i := range rec.Shapes {
			rec.Shapes[i].Marks = nil // slits are meant to be inside
		}
		p := plan(t, rec, toolpath.Machine{Overcut: 6})
		assert.Less(t, deepest(&rec.Layouts[0], strokes(p), 0), 2e-3, "seed %d", seed)
		assert.Contains(t, strings.Join(p.Warnings, "\n"), "shortened so as not to enter a ply")
		p = plan(t, rec, toolpath.Machine{Kind: toolpath.Wheel, WheelShorten: true, Overcut: 2})
		assert.Less(t, deepest(&rec.Layouts[0], strokes(p), p.Machine.Reach()), 2e-3, "seed %d", seed)
	}
}

func TestOvercutRunsOnWhereThereIsRoom(t *testing.T) {
	rec := boxes([4]float64{50, 50, 150, 150}, [4]float64{153, 40, 253, 160})
	p := plan(t, rec, toolpath.Machine{Overcut: 5})
	past := map[float64]bool{}
	for _, s := range strokes(p) {
		for _, e := range []orb.Point{s[0], s[len(s)-1]} {
			if e[1] == 50 || e[1] == 150 {
				past[math.Round(e[0]*1000)/1000] = true
			}
		}
	}
	assert.True(t, past[45], "5 mm past the free corner")
	assert.True(t, past[153], "up to the neighbour, 3 mm")
	assert.False(t, past[155], "and no farther")
}

// tip is where the tip of a drag knife goes: drawn behind the holder at a fixed
// distance, in small steps.
func tip(p *toolpath.Path, b float64) []orb.LineString {
	var out []orb.LineString
	var at, tip orb.Point
	dir := orb.Point{1, 0}
	for _, m := range p.Moves {
		switch m.Op {
		case toolpath.Travel:
			at = m.To // raised: the blade keeps its direction
		case toolpath.Lower:
			tip = orb.Point{at[0] - b*dir[0], at[1] - b*dir[1]}
			out = append(out, orb.LineString{tip})
		case toolpath.Draw:
			for _, to := range m.Chords(0.0005) {
				n := int(math.Hypot(to[0]-at[0], to[1]-at[1])/0.02) + 1
				for k := 1; k <= n; k++ {
					f := float64(k) / float64(n)
					c := orb.Point{at[0] + f*(to[0]-at[0]), at[1] + f*(to[1]-at[1])}
					d := math.Hypot(c[0]-tip[0], c[1]-tip[1])
					dir = orb.Point{(c[0] - tip[0]) / d, (c[1] - tip[1]) / d}
					if d > b {
						tip = orb.Point{c[0] - b*dir[0], c[1] - b*dir[1]}
					}
				}
				at = to
				out[len(out)-1] = append(out[len(out)-1], tip)
			}
		}
	}
	return out
}

// led leaves out the lead-in, which lies in the waste.
func led(t *testing.T, rec *nest.Record, strokes []orb.LineString) []orb.LineString {
	t.Helper()
	assert.Zero(t, deepest(&rec.Layouts[0], strokes[:1], 0.5), "the lead-in enters a ply")
	assert.Less(t, strokes[0].Bound().Max[0]-strokes[0].Bound().Min[0], 10.0)
	return strokes[1:]
}

// However the blade stands when the first cut of a file begins, its lead-in
// turns it along the roll. The tip follows a tractrix: it comes round as
// e^(-s/b), D.
func TestLeadInTurnsTheBlade(t *testing.T) {
	for deg := 0.0; deg < 360; deg += 7.5 {
		p := plan(t, boxes([4]float64{50, 50, 150, 150}), toolpath.Machine{Kind: toolpath.Drag})
		s := strokes(p)
		require.Len(t, s, 2)
		sin, cos := math.Sincos(deg * math.Pi / 180)
		b := p.Machine.BladeOffset
		at := orb.Point{s[0][0][0] - b*cos, s[0][0][1] - b*sin}
		for i := 1; i < len(s[0]); i++ {
			for k := 1; k <= 2000; k++ {
				f := float64(k) / 2000
				c := orb.Point{s[0][i-1][0] + f*(s[0][i][0]-s[0][i-1][0]), s[0][i-1][1] + f*(s[0][i][1]-s[0][i-1][1])}
				d := math.Hypot(c[0]-at[0], c[1]-at[1])
				at = orb.Point{c[0] - b*(c[0]-at[0])/d, c[1] - b*(c[1]-at[1])/d}
			}
		}
		end := s[0][len(s[0])-1]
		assert.Less(t, math.Abs(math.Atan2(end[1]-at[1], end[0]-at[0]))*180/math.Pi, 1.0, "blade at %g degrees", deg)
	}
	full := boxes([4]float64{0, 0, 4000, 1300})
	assert.Contains(t, strings.Join(plan(t, full, toolpath.Machine{Kind: toolpath.Drag}).Warnings, "\n"), "no room for a lead-in")
	none, err := toolpath.ReadMachine(strings.NewReader("kind: drag\nlead_in: 0\n"))
	require.NoError(t, err)
	assert.Len(t, strokes(plan(t, boxes([4]float64{50, 50, 150, 150}), none)), 1)
}

// A file per window turns the blade in each.
func TestLeadInOfEveryFile(t *testing.T) {
	rec := boxes([4]float64{50, 50, 150, 150}, [4]float64{1250, 50, 1350, 150})
	p := plan(t, rec, toolpath.Machine{Kind: toolpath.Drag, Window: 1000})
	require.Len(t, p.Windows, 2)
	assert.Len(t, strokes(p), 3, "once in one file")
	for w := range p.Windows {
		s := strokes(p.OnlyWindow(w))
		assert.Len(t, s, 2)
		assert.GreaterOrEqual(t, s[0][0][0], p.Windows[w].From)
		assert.Zero(t, deepest(&rec.Layouts[0], s[:1], 0.5))
	}
}

// The tip of a drag knife, drawn behind its holder, cuts the record's lines.
func TestDragKnifeTipFollowsTheCut(t *testing.T) {
	for _, rec := range []*nest.Record{cutcase.Small(), cutcase.Random(31, 20)} {
		p := plan(t, rec, toolpath.Machine{Kind: toolpath.Drag, BladeOffset: 0.75})
		var got []cutcase.Chain
		for _, s := range led(t, rec, tip(p, 0.75)) {
			got = append(got, cutcase.Chain{Line: s})
		}
		assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], got, 0.03))
		assert.NotZero(t, p.Stats.Swings)
	}
	bare := plan(t, cutcase.Small(), toolpath.Machine{Kind: toolpath.Drag})
	worst := 0.0
	for i, s := range strokes(bare)[1:] {
		worst = math.Max(worst, segment(bare.Cuts[i].Points[0], bare.Cuts[i].Points[1], s[0]))
	}
	assert.Greater(t, worst, 0.5, "the holder itself does not follow the line, or this test shows nothing")
}

// So does the tip of one whose holder goes along arcs: round the centre of the
// arc that the tip cuts, and round the tip at corners.
func TestDragKnifeTipFollowsArcs(t *testing.T) {
	rec := cutcase.Curved(0.05)
	bare := plan(t, rec, toolpath.Machine{Kind: toolpath.Drag})
	p := plan(t, rec, toolpath.Machine{Kind: toolpath.Drag, ArcTolerance: 0.026})
	var got []cutcase.Chain
	for _, s := range led(t, rec, tip(p, 0.75)) {
		got = append(got, cutcase.Chain{Line: s})
	}
	assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], got, 0.03))
	assert.Less(t, len(p.Moves), len(bare.Moves)/3)
	assert.NotZero(t, p.Stats.Swings)
	assert.InDelta(t, bare.Stats.Swings, p.Stats.Swings, 2)
	assert.InEpsilon(t, bare.Stats.CutLength, p.Stats.CutLength, 0.01)
}

func TestDragKnifeOverlapsItsBeginning(t *testing.T) {
	rec := boxes([4]float64{50, 50, 150, 150})
	p := plan(t, rec, toolpath.Machine{Kind: toolpath.Drag, Overcut: 4})
	s := tip(p, p.Machine.BladeOffset)[1]
	assert.InDelta(t, 4, math.Hypot(s[len(s)-1][0]-s[0][0], s[len(s)-1][1]-s[0][1]), 0.05)
}

// Worked by hand: a square of 100 mm begun at the origin, tangential knife.
// Feed 20,000 mm/min is 333.3 mm/s; with 3,000 mm/s² a side takes 100/333.3 +
// 333.3/3000 = 0.4111 s, four 1.6444 s. Four times down and up at 0.15 s:
// 1.2 s. Three turns of 90° at 720°/s: 0.375 s. In all 3.2194 s.
func TestEstimateByHand(t *testing.T) {
	p := plan(t, boxes([4]float64{0, 0, 100, 100}), toolpath.Machine{})
	assert.InDelta(t, 3.2194, p.Stats.Minutes*60, 0.0002)
	assert.Equal(t, 4, p.Stats.Lifts)
	assert.Equal(t, 3, p.Stats.Turns)
	assert.InDelta(t, 400, p.Stats.CutLength, 1e-9)
	assert.Zero(t, p.Stats.Travel)
}
