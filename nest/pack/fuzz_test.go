package pack

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// randomProblem covers what real jobs mix: gaps, flaws, walls, cut-outs, fixed
// and free rotations, mirrored plies, greatest lengths.
func randomProblem(r *rand.Rand) *Problem {
	p := &Problem{Width: 60 + 100*r.Float64()}
	if r.IntN(2) == 0 {
		p.Gap = 3 * r.Float64()
	}
	for range 1 + r.IntN(4) {
		pc := Piece{Count: 1 + r.IntN(4)}
		switch r.IntN(4) {
		case 0:
			pc.Exterior = rect(5+40*r.Float64(), 5+40*r.Float64())
		case 1:
			pc.Exterior = ell(5+40*r.Float64(), 5+40*r.Float64())
		case 2:
			pc.Exterior = blob(r, 3+r.IntN(12), 10+40*r.Float64())
		case 3:
			pc.Exterior = rect(50, 50)
			pc.Holes = []orb.Ring{{{5, 5}, {5, 40}, {45, 40}, {45, 5}}}
		}
		switch r.IntN(4) {
		case 0:
			pc.Orientations = fixed(0, 180)
		case 1:
			pc.Orientations = fixed(0, 90, 180, 270)
		case 2:
			pc.Orientations = []Orientation{{From: -3, To: 3}, {Mirrored: true, From: 177, To: 183}}
		}
		p.Pieces = append(p.Pieces, pc)
	}
	for range r.IntN(3) {
		x, y := 100*r.Float64(), 60*r.Float64()
		o := orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + 10*r.Float64(), y + 10*r.Float64()}}
		if r.IntN(2) == 0 {
			o.Min[1], o.Max[1] = -1, p.Width+1
		}
		p.Obstacles = append(p.Obstacles, o)
	}
	if r.IntN(4) == 0 {
		p.MaxLength = 50 + 100*r.Float64()
	}
	return p
}

func solveRandom(t *testing.T, seed uint64) {
	p := randomProblem(rand.New(rand.NewPCG(seed, 31)))
	got, err := Solve(context.Background(), p, Settings{Effort: 1, Seed: seed, Workers: 2}, nil)
	require.NoErrorf(t, err, "seed %d", seed)
	checkResult(t, p, got)
	if len(got.Unplaced) == 0 {
		require.GreaterOrEqualf(t, got.Length, got.Bound*(1-1e-9), "seed %d", seed)
	}
}

func TestRandomProblems(t *testing.T) {
	n := uint64(60)
	if testing.Short() {
		n = 15
	}
	for seed := range n {
		solveRandom(t, seed)
	}
}

func FuzzSolve(f *testing.F) {
	for seed := range uint64(4) {
		f.Add(1000 + seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) { solveRandom(t, seed) })
}
