package report

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestStripsFitTheSheet(t *testing.T) {
	for _, c := range []struct {
		length, width float64
	}{{630, 1435}, {1500, 1400}, {4300, 1420}, {5200, 1420}, {600, 3000}, {20000, 1420}} {
		got := cutFor(c.length, c.width, 12)
		scale := got.wide * paperWidth / stripLength(c.length, got.n)
		require.GreaterOrEqual(t, scale, 1/coarsest-1e-9, "%+v", c)
		if got.n == 1 && c.width < coarsest*paperHeight {
			require.LessOrEqual(t, c.width*scale, paperHeight+1e-9, "%+v", c)
		}
		require.Equal(t, c.length <= coarsest*paperWidth, got.n == 1, "%+v", c)
		require.LessOrEqual(t, got.wide, 1.0)
		require.LessOrEqual(t, scale, 1/finestLarge+1e-9)
		t.Logf("%+v: %d strips at 1:%.1f", c, got.n, 1/scale)
	}
}
