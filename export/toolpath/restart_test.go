package toolpath_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
	"plyroom/nest"
)

// Whatever the layout and wherever the work stopped: plies below N and the
// plies of the restart are the whole layout and share none, every boundary of
// a ply from N on is in the restart exactly once, and nothing of one below.
func TestFromPlyLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rec := cutcase.Random(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(1, 10).Draw(t, "plies"))
		m := toolpath.Machine{
			Kind:   rapid.SampledFrom([]toolpath.Kind{toolpath.Tangential, toolpath.Drag, toolpath.Wheel}).Draw(t, "kind"),
			Window: rapid.SampledFrom([]float64{0, 320}).Draw(t, "window"),
			Once:   rapid.Bool().Draw(t, "once"),
		}
		whole, err := toolpath.Plan(rec, &rec.Layouts[0], m)
		require.NoError(t, err)
		require.Equal(t, len(rec.Layouts[0].Placed), len(whole.Plies))
		for n := 1; n <= len(whole.Plies); n++ {
			rest, err := whole.FromPly(n)
			require.NoError(t, err)
			assertRest(t, whole, rest, n)
		}
	})
}

func assertRest(t require.TestingT, whole, rest *toolpath.Path, n int) {
	placed := map[int]int{} // how often a ply is free before or in the restart
	for _, y := range whole.Plies[:n-1] {
		placed[y.Placed[0]]++
	}
	left := rest.Left()
	require.Equal(t, n, left[0])
	for _, k := range left {
		placed[whole.Plies[k-1].Placed[0]]++
	}
	require.Len(t, placed, len(whole.Plies))
	for _, times := range placed {
		require.Equal(t, 1, times)
	}
	var want []toolpath.Cut
	for _, c := range whole.Cuts {
		if c.Ply >= n {
			want = append(want, c)
		} else if n > 1 {
			require.LessOrEqual(t, c.Number, whole.Plies[n-2].Free, "what is left out is surely made")
		}
	}
	require.Equal(t, want, rest.Cuts)
	begun := map[int]int{}
	for _, mv := range rest.Moves {
		if mv.Op == toolpath.Begin {
			begun[mv.Cut]++
		}
	}
	require.Len(t, begun, len(want))
	require.Equal(t, len(whole.Plies)-n+1, rest.Stats.Plies)
}

// Plies are numbered as they come free: by their last cut.
func TestPliesAreNumberedByTheirLastCut(t *testing.T) {
	whole := plan(t, cutcase.Random(5, 40), toolpath.Machine{})
	last := map[int]int{}
	for _, c := range whole.Cuts {
		last[c.Ply] = c.Number
	}
	for n, y := range whole.Plies {
		assert.Equal(t, last[n+1], y.Free)
		assert.Equal(t, toolpath.Outline, whole.Cuts[y.Free-1].Kind)
		assert.Equal(t, whole.Cuts[y.Free-1].Plies, y.Placed)
		if n > 0 {
			assert.Greater(t, y.Free, whole.Plies[n-1].Free)
		}
	}
	assert.Len(t, whole.Plies, len(last))
}

// holed is a large ply with two cut-outs far apart and a small ply in the
// first: its cuts stand before and after those of the others.
func holed() *nest.Record {
	rec := boxes([4]float64{0, 0, 900, 400}, [4]float64{60, 60, 140, 140})
	rec.Layouts[0].Placed[0].Holes = []nest.Ring{
		{{50, 50}, {50, 150}, {150, 150}, {150, 50}}, {{700, 50}, {700, 150}, {800, 150}, {800, 50}},
	}
	return rec
}

func TestFromPlySaysWhatIsCutTwice(t *testing.T) {
	whole := plan(t, holed(), toolpath.Machine{})
	require.Len(t, whole.Cuts, 4)
	require.Equal(t, "P, unit 1, B", whole.Plies[0].Label, "the small ply comes free first")
	require.Empty(t, whole.Warnings)

	rest, err := whole.FromPly(2)
	require.NoError(t, err)
	assert.Equal(t, "from-2", rest.Restart)
	assert.Len(t, rest.Cuts, 3)
	said := strings.Join(rest.Warnings, "\n")
	assert.Contains(t, said, "of ply 2, may be cut twice")
	assert.Contains(t, strings.Join(rest.Lines(), "\n"), "restart: ply 2 of 2")
	assert.Empty(t, whole.Warnings, "the whole path is not changed")
}

// A conveyor that has drawn the fabric on since is told so.
func TestFromPlyGoesBackAWindow(t *testing.T) {
	rec := boxes([4]float64{20, 20, 2720, 420}, [4]float64{1300, 500, 1500, 700}, [4]float64{2400, 500, 2700, 900})
	whole := plan(t, rec, toolpath.Machine{Window: 1000})
	require.Equal(t, "P, unit 1, B", whole.Plies[0].Label)
	rest, err := whole.FromPly(2)
	require.NoError(t, err)
	require.Zero(t, rest.Cuts[0].Window)
	said := strings.Join(rest.Warnings, "\n")
	assert.Contains(t, said, "this begins in window 1, and ply 2 in window")
	assert.Contains(t, said, fmt.Sprintf("go on from cut %d", whole.Plies[0].Free+1))
	cut, err := whole.FromCut(whole.Plies[0].Free + 1)
	require.NoError(t, err)
	assert.NotZero(t, cut.Cuts[0].Window)
}

// Ink is drawn once: in windows that were not begun.
func TestRestartDrawsNoLabelTwice(t *testing.T) {
	rec := cutcase.Random(5, 40)
	rec.Rules.Ink = true
	whole := plan(t, rec, toolpath.Machine{Window: 600})
	require.Greater(t, len(whole.Windows), 1)
	for k := 1; k <= len(whole.Cuts); k++ {
		rest, err := whole.FromCut(k)
		require.NoError(t, err)
		for _, p := range []*toolpath.Path{rest, rest.OnlyWindow(rest.Cuts[0].Window)} {
			for _, mv := range p.Moves {
				if mv.Label >= 0 && k > 1 {
					assert.Greater(t, mv.Window, whole.Cuts[k-2].Window)
				}
			}
		}
	}
}

func TestFromCut(t *testing.T) {
	whole := plan(t, cutcase.Random(5, 40), toolpath.Machine{})
	rest, err := whole.FromCut(9)
	require.NoError(t, err)
	assert.Equal(t, whole.Cuts[8:], rest.Cuts)
	assert.Equal(t, "from-cut-9", rest.Restart)
	assert.Contains(t, rest.Lines(), fmt.Sprintf("cuts: %d, numbers 9 to %d", len(whole.Cuts)-8, len(whole.Cuts)))
	_, err = whole.FromPly(99)
	assert.ErrorContains(t, err, "layout L1 has no ply 99; its plies are 1 to")
	_, err = whole.FromPly(0)
	assert.ErrorContains(t, err, "has no ply 0")
	_, err = whole.FromCut(0)
	assert.ErrorContains(t, err, "has no cut 0")
	assert.Len(t, whole.Cuts, whole.Stats.Cuts, "the whole path is not changed")
}

// A ply whose edges small neighbours have all cut has no cut of its own left,
// and still comes off the table, after them.
func TestOnceAPlyWithoutCuts(t *testing.T) {
	rec := boxes([4]float64{30, 30, 430, 430}, [4]float64{30, 0, 430, 30}, [4]float64{30, 430, 430, 460},
		[4]float64{0, 30, 30, 430}, [4]float64{430, 30, 460, 430})
	p := plan(t, rec, toolpath.Machine{Once: true})
	require.Len(t, p.Plies, 5)
	assert.Equal(t, 5, p.Stats.Plies)
	assert.Equal(t, ply("P, unit 1, A", len(p.Cuts)), ply(p.Plies[4].Label, p.Plies[4].Free))
	for _, c := range p.Cuts {
		assert.Less(t, c.Ply, 5)
	}
	_, err := p.FromPly(5)
	assert.ErrorContains(t, err, "nothing is left to cut from ply 5 on")
}

func ply(label string, free int) string { return fmt.Sprintf("%s, free at cut %d", label, free) }
