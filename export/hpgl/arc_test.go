package hpgl_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
)

// fineArcs leaves most of the tolerance to the plotter's units, which are
// 0.025 mm.
var fineArcs = toolpath.Machine{ArcTolerance: 0.006}

// Arcs written as AA give back the record; those that whole units would bend
// are straight lines.
func TestArcs(t *testing.T) {
	rec := cutcase.Curved(0.01)
	l := &rec.Layouts[0]
	for _, m := range []toolpath.Machine{{}, {Origin: toolpath.UpperLeft}, {SwapAxes: true}, {PlotterUnits: 1000, ArcTolerance: 0.026}} {
		units := 40.0
		if m.PlotterUnits > 0 {
			units, rec = m.PlotterUnits, cutcase.Curved(0.05)
			l = &rec.Layouts[0]
		} else {
			m.ArcTolerance = fineArcs.ArcTolerance
		}
		src := text(t, plan(t, rec, m), true)
		p, err := replay(src)
		require.NoError(t, err)
		got := chains(p, 1, func(x, y float64) orb.Point {
			x, y = x*40/units, y*40/units
			if m.SwapAxes {
				x, y = y, x
			}
			if m.Origin == toolpath.UpperLeft {
				y = l.Width - y
			}
			return orb.Point{x, y}
		})
		assert.NoError(t, cutcase.Check(rec, l, got, tol), "%+v", m)
		assert.Greater(t, p.arcs, 15)
	}
}

// An independent program draws the arcs as the replay does.
func TestIndependentReaderOfArcs(t *testing.T) {
	tool, err := exec.LookPath("hp2xx")
	if err != nil {
		t.Skip("SKIPPED: hp2xx is not installed; no independent program read the arcs")
	}
	dir := t.TempDir()
	src, dst := filepath.Join(dir, "a.plt"), filepath.Join(dir, "a.dxf")
	rec := cutcase.Curved(0.01)
	l := &rec.Layouts[0]
	file := text(t, plan(t, rec, fineArcs), false)
	require.Contains(t, file, "AA")
	require.NoError(t, os.WriteFile(src, []byte(file), 0o666))
	out, err := exec.Command(tool, "-q", "-m", "dxf", "-t", "-s", filepath.Join(dir, "swap"), "-f", dst, src).CombinedOutput()
	require.NoError(t, err, string(out))
	raw, err := os.ReadFile(dst)
	require.NoError(t, err)
	p, err := replay(file)
	require.NoError(t, err)
	low := orb.Point{1e9, 1e9} // the program moves the drawing to its lower left corner
	for _, d := range p.lines {
		for _, q := range d.line {
			low = orb.Point{min(low[0], q[0]/40), min(low[1], q[1]/40)}
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
