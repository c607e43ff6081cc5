package gcode_test

import (
	"bytes"
	"errors"
	"flag"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/export/gcode"
	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
	"plyroom/nest"
)

var update = flag.Bool("update", false, "write the golden files anew")

const tol = 0.03

func plan(t *testing.T, rec *nest.Record, m toolpath.Machine) *toolpath.Path {
	t.Helper()
	p, err := toolpath.Plan(rec, &rec.Layouts[0], m)
	require.NoError(t, err)
	return p
}

func text(t *testing.T, p *toolpath.Path) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, gcode.Write(&b, p))
	return b.String()
}

func chains(c *controller, tool int) []cutcase.Chain {
	var out []cutcase.Chain
	for _, d := range c.lines {
		if d.tool == tool {
			out = append(out, cutcase.Chain{Line: d.line})
		}
	}
	return out
}

func TestReplayGivesBackTheRecord(t *testing.T) {
	for name, rec := range map[string]*nest.Record{
		"small": cutcase.Small(), "spread": cutcase.Spread(), "random": cutcase.Random(6, 60),
	} {
		for _, unit := range []toolpath.Units{toolpath.Millimetres, toolpath.Inches} {
			c, err := replay(text(t, plan(t, rec, toolpath.Machine{Units: unit})), byHeight)
			require.NoError(t, err, name)
			assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(c, 0), tol), "%s %s", name, unit)
			assert.False(t, c.down, "the knife ends up")
		}
	}
}

func TestKnifeWords(t *testing.T) {
	rec := cutcase.Small()
	m := toolpath.Machine{KnifeDown: "M3", KnifeUp: "M5"}
	down := false
	c, err := replay(text(t, plan(t, rec, m)), func(_ *controller, block string) bool {
		switch block {
		case "M3":
			down = true
		case "M5":
			down = false
		}
		return down
	})
	require.NoError(t, err)
	assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(c, 0), tol))
}

// The turn axis stands along every cut, and never makes more than half a turn.
func TestTurnAxis(t *testing.T) {
	rec := cutcase.Small()
	src := text(t, plan(t, rec, toolpath.Machine{TurnAxis: "A"}))
	c, err := replay(src, byHeight)
	require.NoError(t, err)
	assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(c, 0), tol))
	assert.NotEmpty(t, c.turns)
	assert.LessOrEqual(t, c.most, 180.001)
	assert.Contains(t, src, "G0 A")
}

func TestInkHasItsOwnTool(t *testing.T) {
	rec := cutcase.Small()
	plain := text(t, plan(t, rec, toolpath.Machine{}))
	assert.NotContains(t, plain, "M6", "without ink there is nothing to change")
	rec.Rules.Ink = true
	c, err := replay(text(t, plan(t, rec, toolpath.Machine{})), byHeight)
	require.NoError(t, err)
	assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(c, 1), tol))
	var ink []orb.LineString
	for _, d := range chains(c, 2) {
		ink = append(ink, d.Line)
	}
	assert.NoError(t, cutcase.CheckMarks(rec, &rec.Layouts[0], ink, tol))
}

// Tool changes and pens in a profile's own words: one change to the pen and one
// to the knife in every window.
func TestToolWords(t *testing.T) {
	rec := cutcase.Random(4, 40)
	rec.Rules.Ink = true
	m := toolpath.Machine{Window: 600, Advance: []string{"M0 (advance %s)"}, KnifeDown: "M3", KnifeUp: "M5", PenDown: "M7", PenUp: "M9", ToolChange: []string{"M6 T%s", "G43 H%s"}, Tools: toolpath.Tools{Mark: 7}}
	p := plan(t, rec, m)
	require.Greater(t, len(p.Windows), 2)
	src := text(t, p)
	assert.Equal(t, strings.Count(src, "\nM6 T7\nG43 H7\n"), len(p.Windows))
	assert.Equal(t, strings.Count(src, "\nM6 T1\nG43 H1\n"), len(p.Windows))
	assert.NotContains(t, src, "T7 M6")
	tool, down := "", ""
	for _, l := range strings.Split(src, "\n") {
		switch l {
		case "M6 T1", "M6 T7":
			assert.Empty(t, down, "changed with a tool down")
			tool = l[3:]
		case "M3":
			require.Equal(t, "T1", tool)
			down = l
		case "M7":
			require.Equal(t, "T7", tool)
			down = l
		case "M5":
			if down != "" {
				require.Equal(t, "M3", down)
			}
			down = ""
		case "M9":
			require.Equal(t, "M7", down)
			down = ""
		}
	}
}

func TestNastyNamesStayComments(t *testing.T) {
	rec := cutcase.Small()
	rec.Job = "job) M3 (\nG0 X0; %"
	rec.Rules.Ink = true
	c, err := replay(text(t, plan(t, rec, toolpath.Machine{})), byHeight)
	require.NoError(t, err)
	assert.Contains(t, c.comments, "job: job] M3 [ G0 X0. _")
	all := strings.Join(c.comments, "\n")
	for _, want := range []string{"revision: C", "layout: L1", "fabric: WR 600, roll R-3310, lot 2240-A", "length: 1900.0 mm", "cuts: 20", "Keep clear of the moving knife", "[M3] S9000"} {
		assert.Contains(t, all, want)
	}
}

func TestWindows(t *testing.T) {
	rec := cutcase.Random(2, 60)
	m := toolpath.Machine{Window: 700}
	p := plan(t, rec, m)
	require.Greater(t, len(p.Windows), 1)
	assert.ErrorIs(t, gcode.Write(&bytes.Buffer{}, p), gcode.ErrAdvance)
	var all []cutcase.Chain
	for w, win := range p.Windows {
		c, err := replay(text(t, p.OnlyWindow(w)), byHeight)
		require.NoError(t, err)
		for _, ch := range chains(c, 0) {
			var line orb.LineString
			for _, q := range ch.Line {
				assert.True(t, q[0] >= -tol && q[0] <= 700+tol, "%v is out of reach", q)
				line = append(line, orb.Point{q[0] + win.From, q[1]})
			}
			all = append(all, cutcase.Chain{Line: line})
		}
	}
	assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], all, tol))

	m.Advance = []string{"M0 (advance the fabric by %s mm)"}
	c, err := replay(text(t, plan(t, rec, m)), byHeight)
	require.NoError(t, err)
	assert.Contains(t, strings.Join(c.comments, "\n"), "advance the fabric by")
}

// Profiles at random: whatever the machine, its program traces the record.
func TestRandomProfiles(t *testing.T) {
	for seed := uint64(0); seed < 12; seed++ {
		rng := rand.New(rand.NewPCG(seed, 3))
		pick := func(n int) int { return rng.IntN(n) }
		rec := cutcase.Random(seed+40, 8+pick(20))
		l := &rec.Layouts[0]
		m := toolpath.Machine{
			Units:    []toolpath.Units{toolpath.Millimetres, toolpath.Inches}[pick(2)],
			Origin:   []toolpath.Corner{toolpath.LowerLeft, toolpath.LowerRight, toolpath.UpperLeft, toolpath.UpperRight}[pick(4)],
			SwapAxes: pick(2) == 0, OffsetX: float64(pick(200) - 100), OffsetY: float64(pick(200) - 100),
			Decimals: 3 + pick(3), CornerAngle: float64(10 + pick(80)), Along: float64(100 + pick(2000)),
			TurnAxis: []string{"", "A"}[pick(2)], LineEnding: []string{"lf", "crlf"}[pick(2)], CheckSquare: 0,
		}
		if m.Units == toolpath.Inches {
			m.Decimals++
		}
		if seed%3 == 0 {
			rec = cutcase.Curved(0.05)
			l = &rec.Layouts[0]
			m.ArcTolerance = arcTolerance
		}
		c, err := replay(strings.ReplaceAll(text(t, plan(t, rec, m)), "\r\n", "\n"), byHeight)
		require.NoError(t, err)
		var got []cutcase.Chain
		for _, ch := range chains(c, 0) {
			var line orb.LineString
			for _, q := range ch.Line {
				x, y := q[0]-m.OffsetX, q[1]-m.OffsetY
				if m.SwapAxes {
					x, y = y, x
				}
				if m.Origin == toolpath.LowerRight || m.Origin == toolpath.UpperRight {
					x = l.Length - x
				}
				if m.Origin == toolpath.UpperLeft || m.Origin == toolpath.UpperRight {
					y = l.Width - y
				}
				line = append(line, orb.Point{x, y})
			}
			got = append(got, cutcase.Chain{Line: line})
		}
		assert.NoError(t, cutcase.Check(rec, l, got, tol), "seed %d, %+v", seed, m)
	}
}

// Any names at all: the file stays readable and traces the record.
func TestAnyNames(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.SampledFrom(cutcase.Nasty), rapid.StringMatching(`[\x00-\x20%^()"';:<>&\\\\]{0,40}`))
		rec := cutcase.Named(name.Draw(r, "job"), name.Draw(r, "part"), name.Draw(r, "ply"), name.Draw(r, "fabric"), name.Draw(r, "roll"))
		p, err := toolpath.Plan(rec, &rec.Layouts[0], toolpath.Machine{})
		require.NoError(r, err)
		c, err := replay(text(t, p), byHeight)
		require.NoError(r, err)
		require.NoError(r, cutcase.Check(rec, &rec.Layouts[0], chains(c, 1), tol))
	})
}

type brokenWriter struct{ left int }

func (b *brokenWriter) Write(p []byte) (int, error) {
	if b.left -= len(p); b.left < 0 {
		return 0, errors.New("disk full")
	}
	return len(p), nil
}

func TestWriteErrorIsReturned(t *testing.T) {
	assert.ErrorContains(t, gcode.Write(&brokenWriter{100}, plan(t, cutcase.Random(1, 200), toolpath.Machine{})), "disk full")
}

func TestGolden(t *testing.T) {
	for name, m := range map[string]toolpath.Machine{
		"small.ngc":      {},
		"small-inch.ngc": {Units: toolpath.Inches, TurnAxis: "A", LineEnding: "crlf", KnifeDown: "M3", KnifeUp: "M5", Name: "Bench cutter"},
	} {
		got := text(t, plan(t, cutcase.Small(), m))
		cutcase.Golden(t, name, got, *update)
	}
	cutcase.Golden(t, "curved.ngc", text(t, plan(t, cutcase.Curved(0.05), toolpath.Machine{ArcTolerance: arcTolerance})), *update)
}
