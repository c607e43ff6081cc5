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
