package gcode_test

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
	assert.NotEmpty(t, chains(c, 2))
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
		path := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.MkdirAll("testdata", 0o777))
			require.NoError(t, os.WriteFile(path, []byte(got), 0o666))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(want), got, "run with -update and look at the difference")
	}
}
