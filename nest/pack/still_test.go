package pack

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestStillNarrowsToTheMiddle(t *testing.T) {
	p := &Problem{Width: 100, Pieces: []Piece{
		{Exterior: rect(30, 20), Count: 2, Orientations: []Orientation{{From: -4, To: 4}, {From: 177, To: 179, Mirrored: true}}},
		{Exterior: rect(10, 10), Count: 1, Orientations: fixed(90)},
	}}
	still := func() *Problem {
		w, err := prepare(p, nil)
		require.NoError(t, err)
		return w.still()
	}
	q := still()
	require.Equal(t, []Orientation{{}, {From: 178, To: 178, Mirrored: true}}, q.Pieces[0].Orientations)
	require.Equal(t, fixed(90), q.Pieces[1].Orientations)
	require.Equal(t, -4.0, p.Pieces[0].Orientations[0].From, "the problem itself stays as it was")

	p.Pieces[0].Orientations = fixed(0, 180)
	require.Nil(t, still(), "nothing turns")
}

// What may turn far lies in its smallest box, a quarter turn at a time, as far as it
// may and the strip is wide enough.
func TestStillSquares(t *testing.T) {
	slanted := orb.Ring{{0, 0}, {40, 30}, {28, 46}, {-12, 16}} // 50 × 20, edges 3:4
	slant := math.Atan2(3, 4) * 180 / math.Pi
	for name, c := range map[string]struct {
		width float64
		may   []Orientation
		want  []float64
	}{
		"any":          {60, nil, []float64{360 - slant, 90 - slant, 180 - slant, 270 - slant}},
		"narrow strip": {45, nil, []float64{360 - slant, 180 - slant}},
		"half a turn":  {60, []Orientation{{From: 0, To: 180}}, []float64{90 - slant, 180 - slant}},
		"an interval":  {60, []Orientation{{From: -50, To: 20}}, []float64{-slant}},
	} {
		w, err := prepare(&Problem{Width: c.width, Pieces: []Piece{{Exterior: slanted, Count: 1, Orientations: c.may}}}, nil)
		require.NoError(t, err)
		var got []float64
		for _, o := range w.still().Pieces[0].Orientations {
			require.Equal(t, o.From, o.To)
			got = append(got, o.From)
		}
		slices.Sort(got)
		slices.Sort(c.want)
		require.InDeltaSlice(t, c.want, got, 1e-9, name)
	}
}

// Squares that may turn by 3° either way fill a strip of their width exactly
// when they do not; the search must not lose that to the tolerance.
func TestToleranceDoesNotLoseExactFits(t *testing.T) {
	p := &Problem{Width: 300, Pieces: []Piece{
		{Exterior: rect(100, 100), Count: 7, Orientations: []Orientation{{From: -3, To: 3}}},
		{Exterior: orb.Ring{{0, 0}, {100, 0}, {0, 100}}, Count: 4, Orientations: []Orientation{{From: -3, To: 3}, {From: 177, To: 183}}},
	}}
	got := solve(t, p, Settings{Effort: 4, Seed: 1, Workers: 2})
	require.InDelta(t, 300, got.Length, 1e-6)
}

// Three strips that lie beside each other upright alone: at the middle of what is
// allowed they have no room, and the search keeps all of its effort.
func TestStillGivesBackItsEffort(t *testing.T) {
	p := &Problem{Width: 105, MaxLength: 35, Pieces: []Piece{{Exterior: rect(100, 10), Count: 3,
		Orientations: []Orientation{{From: 90, To: 110}}}}}
	w, err := prepare(p, nil)
	require.NoError(t, err)
	r := &runner{w: w, set: Settings{Effort: 20, Seed: 1}}
	l := r.construct(context.Background())
	require.True(t, l.complete())
	r.bound = w.bound()
	require.False(t, r.searchStill(context.Background(), &l))
	require.Equal(t, 20, r.set.Effort)
	require.Equal(t, solve(t, p, Settings{Effort: 1, Seed: 1}), solve(t, p, Settings{Effort: 1, Seed: 1, Still: true}))
}

// TestStillTurnsNothing: all lie at the middle of what is allowed, no bound is
// claimed, and a later call goes on from there.
func TestStillTurnsNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	p := manyPlies(24)
	for i := range p.Pieces {
		p.Pieces[i].Orientations = []Orientation{{From: -2, To: 4}, {From: 178, To: 182}}
	}
	res := solve(t, p, Settings{Effort: 4, Seed: 1, Workers: 2, Still: true})
	for _, c := range res.Placements {
		require.Contains(t, []float64{1, 180}, c.Rotation)
	}
	require.Zero(t, res.Bound)
	on := solve(t, p, Settings{Effort: 4, Seed: 1, Workers: 2, Start: res.Placements})
	require.LessOrEqual(t, on.Length, res.Length+1e-9)
	require.Positive(t, on.Bound)

	for i := range p.Pieces {
		p.Pieces[i].Orientations = nil // any angle
	}
	quarters := map[int]float64{}
	for _, c := range solve(t, p, Settings{Effort: 1, Seed: 1, Still: true}).Placements {
		if _, ok := quarters[c.Piece]; !ok {
			quarters[c.Piece] = c.Rotation
		}
		require.Zero(t, math.Round(math.Remainder(c.Rotation-quarters[c.Piece], 90)*1e9), "one of four")
	}
}
