package hpgl_test

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/export/hpgl"
	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
	"plyroom/nest"
)

var update = flag.Bool("update", false, "write the golden files anew")

// tol is what the issue of this format allows, mm: the grid gives 0.0177.
const tol = 0.03

func plan(t *testing.T, rec *nest.Record, m toolpath.Machine) *toolpath.Path {
	t.Helper()
	p, err := toolpath.Plan(rec, &rec.Layouts[0], m)
	require.NoError(t, err)
	return p
}

func text(t *testing.T, p *toolpath.Path, second bool) string {
	t.Helper()
	var b bytes.Buffer
	write := hpgl.Write
	if second {
		write = hpgl.Write2
	}
	require.NoError(t, write(&b, p))
	return b.String()
}

// chains brings what a pen drew back to layout coordinates, mm.
func chains(p *plotter, pen int, back func(x, y float64) orb.Point) []cutcase.Chain {
	var out []cutcase.Chain
	for _, d := range p.lines {
		if d.pen != pen {
			continue
		}
		var c cutcase.Chain
		for _, q := range d.line {
			c.Line = append(c.Line, back(q[0]/40, q[1]/40))
		}
		out = append(out, c)
	}
	return out
}

func lines(cs []cutcase.Chain) []orb.LineString {
	var out []orb.LineString
	for _, c := range cs {
		out = append(out, c.Line)
	}
	return out
}

func straight(x, y float64) orb.Point { return orb.Point{x, y} }

func TestReplayGivesBackTheRecord(t *testing.T) {
	for name, rec := range map[string]*nest.Record{
		"small": cutcase.Small(), "spread": cutcase.Spread(), "random": cutcase.Random(5, 60),
	} {
		for _, second := range []bool{false, true} {
			p, err := replay(text(t, plan(t, rec, toolpath.Machine{}), second))
			require.NoError(t, err, name)
			assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(p, 1, straight), tol), name)
			assert.False(t, p.down, "the knife ends up")
			assert.Empty(t, p.texts, "no ink on the ply by default")
			for _, d := range p.lines {
				assert.Equal(t, 1, d.pen, "only the knife works by default")
			}
		}
	}
}

func TestReplayInEveryFrame(t *testing.T) {
	rec := cutcase.Small()
	l := &rec.Layouts[0]
	for _, origin := range []toolpath.Corner{toolpath.LowerLeft, toolpath.LowerRight, toolpath.UpperLeft, toolpath.UpperRight} {
		for _, swap := range []bool{false, true} {
			m := toolpath.Machine{Origin: origin, SwapAxes: swap, OffsetX: 100, OffsetY: -50}
			back := func(x, y float64) orb.Point {
				x, y = x-100, y+50
				if swap {
					x, y = y, x
				}
				if strings.HasSuffix(string(origin), "right") {
					x = l.Length - x
				}
				if strings.HasPrefix(string(origin), "upper") {
					y = l.Width - y
				}
				return orb.Point{x, y}
			}
			p, err := replay(text(t, plan(t, rec, m), false))
			require.NoError(t, err)
			assert.NoError(t, cutcase.Check(rec, l, chains(p, 1, back), tol), "%s swap=%v", origin, swap)
		}
	}
}

func TestInkGoesToItsOwnPen(t *testing.T) {
	rec := cutcase.Small()
	rec.Rules.Ink = true
	p, err := replay(text(t, plan(t, rec, toolpath.Machine{}), true))
	require.NoError(t, err)
	assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(p, 1, straight), tol))
	assert.NoError(t, cutcase.CheckMarks(rec, &rec.Layouts[0], lines(chains(p, 2, straight)), tol))
	assert.Contains(t, p.texts, "U01 Upper shell/1")
	for _, s := range p.texts {
		assert.NotContains(t, s, "\x03")
	}
}

func TestNastyNamesStayText(t *testing.T) {
	rec := cutcase.Small()
	rec.Rules.Ink = true
	rec.Job = "job\x03;PD0,0;\"SP9;\r\nIN;"
	p, err := replay(text(t, plan(t, rec, toolpath.Machine{}), true))
	require.NoError(t, err)
	assert.Contains(t, strings.Join(p.comments, "\n"), "job: job .PD0,0.'SP9.  IN.")
	for _, d := range p.lines {
		assert.Contains(t, []int{1, 2}, d.pen)
	}
}

func TestHead(t *testing.T) {
	p, err := replay(text(t, plan(t, cutcase.Small(), toolpath.Machine{}), true))
	require.NoError(t, err)
	all := strings.Join(p.comments, "\n")
	for _, want := range []string{"job: Nacelle cover", "revision: C", "layout: L1", "fabric: WR 600, roll R-3310, lot 2240-A", "length: 1900.0 mm", "cuts: 20", "Keep clear of the moving knife", "test cut", "machine manual"} {
		assert.Contains(t, all, want)
	}
}

func TestProfileLines(t *testing.T) {
	m := toolpath.Machine{Header: []string{"\x1b%-1B"}, Footer: []string{"\x1b%0A"}, LineEnding: "crlf", Tools: toolpath.Tools{Outline: 3, Hole: 4, Slit: 5}}
	s := text(t, plan(t, cutcase.Small(), m), false)
	assert.True(t, strings.HasPrefix(s, "\x1b%-1B\r\nIN;\r\n"))
	assert.True(t, strings.HasSuffix(s, "SP0;\r\n\x1b%0A\r\n"))
	for _, sp := range []string{"SP3;", "SP4;", "SP5;"} {
		assert.Contains(t, s, sp)
	}
}

// The speed is asked for after IN, which would set it back.
func TestPlotterSpeed(t *testing.T) {
	for _, speed := range []float64{0, 33.5} {
		p, err := replay(text(t, plan(t, cutcase.Small(), toolpath.Machine{PlotterSpeed: speed}), false))
		require.NoError(t, err)
		assert.InDelta(t, speed, p.speed, 1e-9)
	}
}

func TestWindowsNeedAdvanceLines(t *testing.T) {
	rec := cutcase.Random(2, 60)
	m := toolpath.Machine{Window: 700}
	p := plan(t, rec, m)
	require.Greater(t, len(p.Windows), 1)
	assert.ErrorIs(t, hpgl.Write(&bytes.Buffer{}, p), hpgl.ErrAdvance)
	for w := range p.Windows {
		_, err := replay(text(t, p.OnlyWindow(w), false))
		assert.NoError(t, err)
	}
	m.Advance = []string{"NR;"}
	assert.Contains(t, text(t, plan(t, rec, m), false), "NR;")
}

// Any names at all: the file stays readable and traces the record.
func TestAnyNames(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.SampledFrom(cutcase.Nasty), rapid.StringMatching(`[\x00-\x20%^()"';:<>&\\\\]{0,40}`))
		rec := cutcase.Named(name.Draw(r, "job"), name.Draw(r, "part"), name.Draw(r, "ply"), name.Draw(r, "fabric"), name.Draw(r, "roll"))
		p, err := toolpath.Plan(rec, &rec.Layouts[0], toolpath.Machine{})
		require.NoError(r, err)
		for _, second := range []bool{false, true} {
			got, err := replay(text(t, p, second))
			require.NoError(r, err)
			require.NoError(r, cutcase.Check(rec, &rec.Layouts[0], chains(got, 1, straight), tol))
		}
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
	assert.ErrorContains(t, hpgl.Write(&brokenWriter{100}, plan(t, cutcase.Random(1, 200), toolpath.Machine{})), "disk full")
}

func TestGolden(t *testing.T) {
	for name, second := range map[string]bool{"small.plt": false, "small2.plt": true} {
		rec := cutcase.Small()
		rec.Rules.Ink = second
		got := text(t, plan(t, rec, toolpath.Machine{}), second)
		cutcase.Golden(t, name, got, *update)
	}
	cutcase.Golden(t, "curved2.plt", text(t, plan(t, cutcase.Curved(0.01), fineArcs), true), *update)
}

// An independent program reads the file and turns it into a drawing of lines,
// which give back the record. It moves the drawing to its lower left corner
// and writes six digits.
func TestIndependentReader(t *testing.T) {
	for name, second := range map[string]bool{"first edition": false, "second edition, whose comments it does not know": true} {
		t.Run(name, func(t *testing.T) { independentReader(t, second) })
	}
}

func independentReader(t *testing.T, second bool) {
	tool, err := exec.LookPath("hp2xx")
	if err != nil {
		t.Skip("SKIPPED: hp2xx is not installed; no independent program read the file")
	}
	dir := t.TempDir()
	src, dst := filepath.Join(dir, "a.plt"), filepath.Join(dir, "a.dxf")
	rec := cutcase.Small()
	l := &rec.Layouts[0]
	require.NoError(t, os.WriteFile(src, []byte(text(t, plan(t, rec, toolpath.Machine{}), second)), 0o666))
	out, err := exec.Command(tool, "-q", "-m", "dxf", "-t", "-s", filepath.Join(dir, "swap"), "-f", dst, src).CombinedOutput()
	require.NoError(t, err, string(out))
	raw, err := os.ReadFile(dst)
	require.NoError(t, err)
	low := orb.Point(l.Placed[0].Outline[0])
	for _, p := range l.Placed {
		for _, v := range p.Outline {
			low = orb.Point{min(low[0], v[0]), min(low[1], v[1])}
		}
	}
	var got []cutcase.Chain
	for _, e := range strings.Split(string(raw), "LINE")[1:] {
		at := map[string]float64{}
		f := strings.Fields(e)
		for i := 0; i+1 < len(f); i += 2 {
			at[f[i]], _ = strconv.ParseFloat(f[i+1], 64)
		}
		got = append(got, cutcase.Chain{Line: orb.LineString{{at["10"] + low[0], at["20"] + low[1]}, {at["11"] + low[0], at["21"] + low[1]}}})
	}
	assert.NoError(t, cutcase.Check(rec, l, got, tol))
}
