package toolpath_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
)

// The check square is the first cut, lies on no ply, and has its legs along the
// roll and at +45°, so that size, direction and hand can all be read off it.
func TestCheckSquare(t *testing.T) {
	rec := cutcase.Small()
	p := plan(t, rec, toolpath.Machine{CheckSquare: 100})
	legs, square := p.Cuts[0], p.Cuts[1]
	require.Equal(t, toolpath.CheckCut, legs.Kind)
	require.Equal(t, toolpath.CheckCut, square.Kind)
	require.True(t, square.Closed)
	b := square.Points.Bound()
	assert.InDelta(t, 100, b.Max[0]-b.Min[0], 1e-9)
	assert.InDelta(t, 100, b.Max[1]-b.Min[1], 1e-9)
	c := b.Center()
	assert.Equal(t, c[1], legs.Points[2][1], "one leg runs along the roll")
	assert.Greater(t, legs.Points[2][0], c[0])
	assert.InDelta(t, legs.Points[0][0]-c[0], legs.Points[0][1]-c[1], 1e-9, "the other rises at 45°")
	assert.Greater(t, legs.Points[0][1], c[1])
	l := &rec.Layouts[0]
	for x := b.Min[0] - 2.9; x <= b.Max[0]+2.9; x += 3 {
		for y := b.Min[1] - 2.9; y <= b.Max[1]+2.9; y += 3 {
			assert.Zero(t, depthInside(l, [2]float64{x, y}))
		}
	}
	assert.Zero(t, square.Ply)
	assert.Equal(t, 1, p.Cuts[2].Ply)
	assert.NoError(t, cutcase.Check(rec, l, chains(p)[2:], 1e-6))

	rest, err := p.FromPly(1)
	require.NoError(t, err)
	assert.Equal(t, 3, rest.Cuts[0].Number)
}

func TestCheckSquareNeedsRoom(t *testing.T) {
	rec := boxes([4]float64{0, 0, 2500, 1300})
	rec.Layouts[0].Usable = [2][2]float64{{0, 0}, {4000, 1300}}
	p := plan(t, rec, toolpath.Machine{CheckSquare: 100})
	assert.Equal(t, []string{"no room for a check square of 100 mm near the start; measure the first ply instead"}, p.Warnings)
	assert.Len(t, p.Cuts, 1)
}
