package toolpath_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/shapes"
)

// A conveyor shorter than the layout: no ply is divided that fits the window,
// every cut is within reach, and all of it is cut in a legal order.
func TestWindowsDivideNothingThatFits(t *testing.T) {
	for seed := uint64(1); seed < 5; seed++ {
		rec := cutcase.Random(seed, 60)
		rec.Rules.Table = &shapes.Table{Length: 500, Width: 2000, Kind: shapes.Conveyor}
		p := plan(t, rec, toolpath.Machine{})
		require.Greater(t, len(p.Windows), 1)
		for i, w := range p.Windows {
			assert.LessOrEqual(t, w.To-w.From, 500+1e-9)
			if i > 0 {
				assert.Greater(t, w.From, p.Windows[i-1].From)
			}
		}
		for _, c := range p.Cuts {
			assert.Equal(t, 1, c.Parts)
			assertWithin(t, p, c)
		}
		assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], chains(p), 1e-6))
		assert.Equal(t, len(p.Windows)-1, p.Stats.Advances)
	}
}

func assertWithin(t *testing.T, p *toolpath.Path, c toolpath.Cut) {
	t.Helper()
	b, w := c.Points.Bound(), p.Windows[c.Window]
	assert.GreaterOrEqual(t, b.Min[0], w.From-1e-5)
	assert.LessOrEqual(t, b.Max[0], w.To+1e-5)
}

// A ply longer than the window is cut in parts that meet and overlap.
func TestPlyAcrossWindows(t *testing.T) {
	rec := boxes([4]float64{20, 20, 2720, 420}, [4]float64{60, 500, 300, 700}, [4]float64{2400, 500, 2700, 900})
	long := &rec.Layouts[0].Placed[0]
	long.Holes = []nest.Ring{{{900, 100}, {900, 300}, {1100, 300}, {1100, 100}}, {{1300, 100}, {1300, 200}, {2650, 200}, {2650, 100}}}
	p := plan(t, rec, toolpath.Machine{Window: 1000})
	require.NoError(t, cutcase.CheckDivided(rec, &rec.Layouts[0], chains(p), 1e-6))
	parts, least := map[int]int{}, map[int]float64{}
	for _, c := range p.Cuts {
		assertWithin(t, p, c)
		parts[c.Loop]++
		for i := 1; i < len(c.Points); i++ {
			a, b := c.Points[i-1], c.Points[i]
			least[c.Loop] += abs(a[0]-b[0]) + abs(a[1]-b[1])
		}
		if c.Parts > 1 {
			assert.False(t, c.Closed)
		}
	}
	for _, c := range p.Cuts {
		assert.Equal(t, c.Parts, parts[c.Loop])
		if c.Kind == toolpath.Outline && c.Parts > 1 {
			// Two sides cross each of the window ends; there the parts overlap
			// by 2 mm.
			assert.InDelta(t, 2*(2700+400)+2*2*float64(len(p.Windows)-1), least[c.Loop], 1e-6)
		}
	}
	assert.Greater(t, len(p.Windows), 2)
}

func abs(v float64) float64 { return max(v, -v) }
