package collide

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestMeasureSlope compares slopes with differences of the measure itself, by
// moving and turning the first body a little.
func TestMeasureSlope(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	sa, err := NewShape(star(r, 12, 0.4, 0), nil)
	require.NoError(t, err)
	sb, err := NewShape(star(r, 15, 0.3, 0), nil)
	require.NoError(t, err)
	const h = 1e-5
	met, apartByFar := 0, 0
	for _, gap := range []float64{0, 0.5} {
		for range 400 {
			angle := 360 * r.Float64()
			a, b := NewBody(sa, false, angle), NewBody(sb, r.IntN(2) == 0, 360*r.Float64())
			tx, ty := (r.Float64()-0.5)*36, (r.Float64()-0.5)*36
			m, g := MeasureSlope(a, b, tx, ty, gap, 1e-9)
			require.InDelta(t, Measure(a, b, tx, ty, gap, 1e-9, math.Inf(1)), m, 1e-12*(1+m))
			if m == 0 {
				require.Zero(t, g)
				apartByFar++
				continue
			}
			value := func(x, y, turn float64) float64 {
				c := NewBody(sa, false, angle+turn*180/math.Pi)
				v, _, _ := circleSlopes(c, b, quickPoles, tx-x, ty-y, gap)
				return v
			}
			size := 1 + math.Abs(g.X) + math.Abs(g.Y) + math.Abs(g.Turn)
			require.InDelta(t, (value(h, 0, 0)-value(-h, 0, 0))/(2*h), g.X, 1e-4*size)
			require.InDelta(t, (value(0, h, 0)-value(0, -h, 0))/(2*h), g.Y, 1e-4*size)
			require.InDelta(t, (value(0, 0, h)-value(0, 0, -h))/(2*h), g.Turn, 1e-4*size)
			met++
		}
	}
	require.Greater(t, met, 100)
	require.Greater(t, apartByFar, 100)
}

// TestTableSlope compares a table's slopes with differences of its measure
// within a cell of its grid.
func TestTableSlope(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	sa, err := NewShape(star(r, 12, 0.4, 0), nil)
	require.NoError(t, err)
	sb, err := NewShape(star(r, 15, 0.3, 0), nil)
	require.NoError(t, err)
	a, b := NewBody(sa, false, 20), NewBody(sb, true, 70)
	tab := NewTable(a, b, 0.2, 1e-9, 0.01, 32)
	met := 0
	for range 4000 {
		tx, ty := (r.Float64()-0.5)*36, (r.Float64()-0.5)*36
		u, v := (tx-tab.x0)*tab.ix, (ty-tab.y0)*tab.iy
		if u-math.Floor(u) > 0.98 || v-math.Floor(v) > 0.98 {
			continue // the next cell has slopes of its own
		}
		m, dx, dy := tab.Slope(tx, ty, false)
		require.Equal(t, tab.Measure(tx, ty, false), m)
		if m == 0 {
			require.Zero(t, dx)
			require.Zero(t, dy)
			continue
		}
		h := 0.01 / tab.ix
		x, y := tab.Measure(tx+h, ty, false), tab.Measure(tx, ty+h, false)
		if x <= tab.least || y <= tab.least || m <= tab.least {
			continue // at its floor, or out of what meets
		}
		require.InDelta(t, (x-m)/h, dx, 1e-6*(1+math.Abs(dx)))
		require.InDelta(t, (y-m)/h, dy, 1e-6*(1+math.Abs(dy)))
		met++
	}
	require.Greater(t, met, 500)
}
