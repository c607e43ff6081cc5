package demand

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// 800 mm on 360 mm with laps of 40 mm: three equal panels have seams at 266.7
// and 533.3. A ply beside it that keeps 100 mm from them has room for seams up
// to 166.7, about 400 and from 633.3 on: no three panels, and no four equal
// ones (200, 400, 600), but four uneven ones.
func TestUnevenPanelsKeepTheStagger(t *testing.T) {
	d := &division{lo: 0, hi: 800, lap: 40, room: 360, least: 60, stagger: 100, keepFrom: []float64{800.0 / 3, 1600.0 / 3}}
	require.Nil(t, d.uneven(3))
	at, err := d.place()
	require.NoError(t, err)
	require.Len(t, at, 3)
	require.NoError(t, d.usable(at))
	require.GreaterOrEqual(t, nearest(at, d.keepFrom), 100.0)
}

// Against every set of two seams on the raster.
func TestUnevenAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &division{lo: 0, hi: float64(rapid.IntRange(300, 700).Draw(t, "hi")), lap: float64(rapid.IntRange(0, 50).Draw(t, "lap")),
			room: float64(rapid.IntRange(150, 360).Draw(t, "room")), least: 40, stagger: float64(rapid.IntRange(0, 120).Draw(t, "stagger")),
			keepFrom: []float64{float64(rapid.IntRange(0, 700).Draw(t, "beside"))}}
		squares := func(at []float64) float64 {
			a, b := at[0], at[1]
			h := d.lap / 2
			return math.Pow(a+h, 2) + math.Pow(b-a+2*h, 2) + math.Pow(d.hi-b+h, 2)
		}
		best := math.Inf(1)
		for a := 5.0; a < d.hi; a += 5 {
			for b := a + 5; b < d.hi; b += 5 {
				at := []float64{a, b}
				if d.usable(at) == nil && nearest(at, d.keepFrom) >= d.stagger {
					best = min(best, squares(at))
				}
			}
		}
		got := d.uneven(3)
		if got == nil {
			require.True(t, math.IsInf(best, 1), "there is a set of squares %v", best)
			return
		}
		require.NoError(t, d.usable(got))
		require.InDelta(t, best, squares(got), 1e-6)
	})
}
