package labels_test

import (
	"bytes"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/labels"
	"plyroom/export/paper"
)

func fmtInt(v int) string { return strconv.Itoa(v) }

func TestGridFaults(t *testing.T) {
	with := func(change func(*labels.Grid)) labels.Grid {
		g := labels.Sheet24()
		change(&g)
		return g
	}
	for _, c := range []struct {
		grid labels.Grid
		want string
	}{
		{with(func(g *labels.Grid) { g.Columns = 0 }), "labels: 0 columns of 8 rows"},
		{with(func(g *labels.Grid) { g.Columns = 4 }), "labels: the grid reaches 269 × 284.5 mm on a page of 210 × 297 mm"},
		{with(func(g *labels.Grid) { g.PitchY = 30 }), "labels: 64 × 34 mm overlap at a pitch of 66 × 30 mm"},
		{with(func(g *labels.Grid) { g.Left = -1 }), "labels: margins of -1 and 12.5 mm"},
		{with(func(g *labels.Grid) { g.Width = math.NaN() }), "too small"},
		{labels.Roll(30, 20), "labels: 30 × 20 mm is too small for a tag; at least 44 × 24 mm"},
	} {
		_, err := labels.Write(&bytes.Buffer{}, nil, labels.Settings{Grid: c.grid})
		assert.ErrorContains(t, err, c.want)
	}
}

// Labels of any size are printed.
func TestAnyGrid(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	for _, g := range []labels.Grid{
		labels.Sheet24(), labels.Sheet24Letter(),
		labels.Roll(44, 24), labels.Roll(44, 200), labels.Roll(300, 24), labels.Roll(300, 200),
		{Page: paper.A4, Columns: 2, Rows: 7, Width: 99.1, Height: 38.1, Left: 4.7, Top: 15.1, PitchX: 101.6},
		{Page: paper.Letter, Columns: 1, Rows: 2, Width: 200, Height: 130},
	} {
		_, err := labels.Write(&bytes.Buffer{}, ks[3:], labels.Settings{Grid: g})
		require.NoError(t, err, "%+v", g)
	}
}
