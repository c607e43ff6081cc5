package pack

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func hook() orb.Ring {
	return orb.Ring{{0, 0}, {220, 0}, {240, 60}, {150, 70}, {90, 120}, {110, 200}, {40, 230}, {0, 150}}
}

// TestPatterns lays many copies of few kinds and asks for what rows reach by
// hand (D), at an effort at which moving single plies does not come near.
func TestPatterns(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	for _, c := range []struct {
		name   string
		effort int
		p      *Problem
		most   float64
	}{
		{"hooks", 40, &Problem{Width: 1500, Pieces: []Piece{{Exterior: hook(), Count: 120, Orientations: fixed(0, 180)}}}, 12*240 + 20},
		{"hooks apart", 40, &Problem{Width: 1500, Gap: 2, Pieces: []Piece{{Exterior: hook(), Count: 120, Orientations: fixed(0, 180)}}}, 2940},
		{"ells", 40, &Problem{Width: 1500, Pieces: []Piece{{Exterior: ell(160, 230), Count: 100, Orientations: fixed(0, 90, 180, 270)}}}, 2010},
		{"hooks that turn", 40, &Problem{Width: 1500, Pieces: []Piece{{Exterior: hook(), Count: 40}}}, 1150},
		{"hooks within tolerance", 20, &Problem{Width: 1500, Pieces: []Piece{{Exterior: hook(), Count: 60,
			Orientations: []Orientation{{From: -2, To: 2}, {From: 178, To: 182}}}}}, 1460},
		{"two kinds", 60, &Problem{Width: 1500, Gap: 2, Pieces: []Piece{
			{Exterior: hook(), Count: 60, Orientations: fixed(0, 180)},
			{Exterior: ell(160, 230), Count: 60, Orientations: fixed(0, 180)}}}, 2700},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := solve(t, c.p, Settings{Effort: c.effort, Seed: 1, Workers: 2})
			checkResult(t, c.p, got)
			require.Empty(t, got.Unplaced)
			t.Logf("length %.2f", got.Length)
			require.LessOrEqual(t, got.Length, c.most)
		})
	}
}

// TestPatternsKeepOffObstacles lays patterns around flaws and past a wall.
func TestPatternsKeepOffObstacles(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	p := &Problem{Width: 1500, Gap: 2, Pieces: []Piece{{Exterior: hook(), Count: 80, Orientations: fixed(0, 180)}},
		Obstacles: []orb.Bound{
			{Min: orb.Point{400, 300}, Max: orb.Point{430, 340}},
			{Min: orb.Point{900, 0}, Max: orb.Point{905, 1500}},
			{Min: orb.Point{1300, 1000}, Max: orb.Point{1310, 1500}},
		}}
	got := solve(t, p, Settings{Effort: 40, Seed: 1, Workers: 2})
	checkResult(t, p, got)
	require.Empty(t, got.Unplaced)
	w, err := prepare(p, nil)
	require.NoError(t, err)
	r := &runner{w: w}
	l := r.construct(t.Context())
	st := newStream(0, w, 1)
	st.ctx = t.Context()
	rep := w.patterns(0, nil)
	require.NotEmpty(t, rep.laid)
	for _, whole := range []bool{false, true} {
		laid, ok := st.layPatterns([]repeated{rep}, []int{0}, whole)
		require.True(t, ok)
		require.True(t, st.passes(laid.poses))
		t.Logf("pattern %.1f, builder %.1f", laid.length, l.length)
	}
}
