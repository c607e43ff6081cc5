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
