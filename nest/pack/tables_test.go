package pack

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/collide"
)

// TestTablesServeAllViews compares every pair of bodies with the judge, so that
// no turn of the scene is taken the wrong way.
func TestTablesServeAllViews(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	p := &Problem{Width: 500, Pieces: []Piece{
		{Exterior: blob(r, 9, 60), Count: 1, Orientations: fixed(0, 90, 180, 270)},
		{Exterior: ell(40, 70), Count: 1, Orientations: append(fixed(30, 120, 210), Orientation{Mirrored: true, From: 30, To: 30}, Orientation{Mirrored: true, From: 210, To: 210})},
		{Exterior: ell(50, 30), Count: 1, Orientations: fixed(0, -90, 450)},
		{Exterior: rect(50, 30), Count: 1, Orientations: fixed(0, 90, 180, 270)},
	}}
	w, err := prepare(p, nil)
	require.NoError(t, err)
	n := len(w.bodies)
	require.Less(t, len(w.tables.first), n*(n+1)/2, "views share tables")
	hits := 0
	for a := range n {
		for b := range n {
			for range 60 {
				x, y := (r.Float64()-0.5)*120, (r.Float64()-0.5)*120
				want := collide.Overlap(w.bodies[a], w.bodies[b], x, y, 0, w.tol)
				require.Equalf(t, want, w.measure(a, b, x, y, false) > 0, "bodies %d, %d at %v, %v", a, b, x, y)
				if want {
					hits++
					full := collide.Measure(w.bodies[a], w.bodies[b], x, y, 0, w.tol, math.Inf(1))
					require.Positive(t, full)
				}
			}
		}
	}
	require.Greater(t, hits, 1000)
}

// TestTablesAreMadeWhenAskedForOften: the first questions are answered without,
// and whether plies meet is answered alike.
func TestTablesAreMadeWhenAskedForOften(t *testing.T) {
	w, err := prepare(manyPlies(40), nil)
	require.NoError(t, err)
	l := (&runner{w: w}).construct(t.Context())
	s := newState(w)
	s.load(l.poses)
	rng := rand.New(rand.NewPCG(3, 4))
	made := func() bool {
		e := w.tables.slot[s.body[0].Variant*w.tables.stride+s.body[1].Variant]
		return w.tables.made[e>>2].Load() != nil
	}
	measure := func(x, y float64) float64 {
		return s.pair(s.body[0], w.items[0], x, y, 1, math.Inf(1))
	}
	d := s.body[0].Shape.Diameter + s.body[1].Shape.Diameter
	var at [][2]float64
	var met []bool
	n := 0
	for range tableAfter {
		require.False(t, made())
		x, y := s.pose[1].x+d*(rng.Float64()-0.5), s.pose[1].y+d*(rng.Float64()-0.5)
		at, met = append(at, [2]float64{x, y}), append(met, measure(x, y) > 0)
		if met[len(met)-1] {
			n++
		}
	}
	require.InDelta(t, tableAfter/2, n, tableAfter/2-50, "some meet and some do not")
	for k, p := range at {
		require.Equal(t, met[k], measure(p[0], p[1]) > 0, "at %v", p)
		require.True(t, made())
	}
}
