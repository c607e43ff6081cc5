package gcode_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
)

// arcTolerance is what keeps the arcs of drawings flattened to 0.05 mm.
const arcTolerance = 0.026

// Arcs written as G2 and G3 give back the record, in every frame and unit, with
// a turn axis that stands along them.
func TestArcs(t *testing.T) {
	rec := cutcase.Curved(0.05)
	l := &rec.Layouts[0]
	straight, err := replay(text(t, plan(t, rec, toolpath.Machine{})), byHeight)
	require.NoError(t, err)
	assert.Zero(t, straight.arcs, "arcs only where they are asked for")
	for _, m := range []toolpath.Machine{
		{}, {Units: toolpath.Inches}, {Origin: toolpath.UpperLeft}, {SwapAxes: true}, {Origin: toolpath.UpperRight, SwapAxes: true},
		{TurnAxis: "A"}, {TurnAxis: "A", Origin: toolpath.LowerRight}, {CornerAngle: 5, Overcut: 2},
	} {
		m.ArcTolerance = arcTolerance
		src := text(t, plan(t, rec, m))
		c, err := replay(src, byHeight)
		require.NoError(t, err)
		var got []cutcase.Chain
		for _, ch := range chains(c, 0) {
			got = append(got, cutcase.Chain{Line: back(m, l.Length, l.Width, ch.Line)})
		}
		if m.Overcut == 0 {
			assert.NoError(t, cutcase.Check(rec, l, got, tol), "%+v", m)
		}
		assert.Greater(t, c.arcs, 20)
		assert.Less(t, strings.Count(src, "G1 X"), 320, "few straight moves are left")
		assert.Less(t, c.wry, 0.6, "the knife stands along an arc")
	}
}

// Arcs of plies that are divided between windows meet as straight lines do.
func TestArcsInWindows(t *testing.T) {
	rec := cutcase.Curved(0.05)
	l := &rec.Layouts[0]
	for _, window := range []float64{250, 333, 700} {
		p := plan(t, rec, toolpath.Machine{Window: window, ArcTolerance: arcTolerance})
		require.Greater(t, len(p.Windows), 2)
		var all []cutcase.Chain
		arcs := 0
		for w, win := range p.Windows {
			c, err := replay(text(t, p.OnlyWindow(w)), byHeight)
			require.NoError(t, err)
			arcs += c.arcs
			for _, ch := range chains(c, 0) {
				var line orb.LineString
				for _, q := range ch.Line {
					assert.True(t, q[0] >= -tol && q[0] <= window+tol, "%v is out of reach", q)
					line = append(line, orb.Point{q[0] + win.From, q[1]})
				}
				all = append(all, cutcase.Chain{Line: line})
			}
		}
		assert.Greater(t, arcs, 20)
		assert.NoError(t, cutcase.CheckDivided(rec, l, all, tol), "window %g", window)
	}
}

// What is left after an interruption is cut as it would have been.
func TestArcsAfterARestart(t *testing.T) {
	rec := cutcase.Curved(0.05)
	p := plan(t, rec, toolpath.Machine{ArcTolerance: arcTolerance})
	rest, err := p.FromPly(4)
	require.NoError(t, err)
	whole, err := replay(text(t, p), byHeight)
	require.NoError(t, err)
	part, err := replay(text(t, rest), byHeight)
	require.NoError(t, err)
	require.NotEmpty(t, part.lines)
	assert.Positive(t, part.arcs)
	assert.Equal(t, whole.lines[len(whole.lines)-len(part.lines):], part.lines)
}

// back brings a line to layout coordinates.
func back(m toolpath.Machine, length, width float64, line orb.LineString) orb.LineString {
	var out orb.LineString
	for _, q := range line {
		x, y := q[0], q[1]
		if m.SwapAxes {
			x, y = y, x
		}
		if m.Origin == toolpath.LowerRight || m.Origin == toolpath.UpperRight {
			x = length - x
		}
		if m.Origin == toolpath.UpperLeft || m.Origin == toolpath.UpperRight {
			y = width - y
		}
		out = append(out, orb.Point{x, y})
	}
	return out
}
