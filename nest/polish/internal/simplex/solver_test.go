package simplex

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// layoutProgram makes a program like those of compaction: n pieces on a rough
// grid with rows between neighbours, and a length that all must stay within.
// The origin is feasible.
func layoutProgram(n, rows int, rng *rand.Rand) *Program {
	p := &Program{}
	p.Reset(2*n + 1)
	length := 2 * n
	for k := range p.Cost {
		p.Lo[k], p.Hi[k] = -rng.Float64(), rng.Float64()
		p.Cost[k] = 1e-3 / float64(n) * (1 + rng.Float64())
	}
	p.Lo[length], p.Hi[length], p.Cost[length] = -1, 1, 1
	side := int(math.Ceil(math.Sqrt(float64(n))))
	for i := range n {
		if i/side == (n-1)/side || rng.IntN(3) == 0 {
			p.Add(length, 1)
			p.Add(2*i, -1)
			p.Close(-rng.Float64() * 0.2)
		}
	}
	for range rows {
		i := rng.IntN(n)
		j := (i + [...]int{1, side, side + 1, side - 1, 2}[rng.IntN(5)]) % n
		if i == j {
			continue
		}
		sin, cos := math.Sincos(rng.Float64() * 2 * math.Pi)
		p.Add(2*j, cos)
		p.Add(2*i, -cos)
		p.Add(2*j+1, sin)
		p.Add(2*i+1, -sin)
		p.Close(-rng.Float64() * 0.3 * float64(rng.IntN(3)))
	}
	return p
}

// gonumOptimum solves the same program in standard form.
func gonumOptimum(p *Program) (float64, error) {
	n, m := p.Variables(), p.Rows()
	// Columns: z - Lo, the rows' surplus, the slack below Hi.
	a := mat.NewDense(m+n, n+m+n, nil)
	b := make([]float64, m+n)
	c := make([]float64, n+m+n)
	offset := 0.0
	for r := range m {
		b[r] = p.rhs[r]
		for e := p.start[r]; e < p.start[r+1]; e++ {
			a.Set(r, int(p.col[e]), p.val[e])
			b[r] -= p.val[e] * p.Lo[p.col[e]]
		}
		a.Set(r, n+r, -1)
	}
	for k := range n {
		a.Set(m+k, k, 1)
		a.Set(m+k, n+m+k, 1)
		b[m+k] = p.Hi[k] - p.Lo[k]
		c[k] = p.Cost[k]
		offset += p.Cost[k] * p.Lo[k]
	}
	for i, v := range b {
		if v < 0 {
			b[i] = -v
			for j := range n + m + n {
				a.Set(i, j, -a.At(i, j))
			}
		}
	}
	value, _, err := lp.Simplex(c, a, b, 0, nil)
	return value + offset, err
}

func objective(p *Program, z []float64) float64 {
	sum := 0.0
	for k, v := range z {
		sum += p.Cost[k] * v
	}
	return sum
}

// bounded returns the least that the costs can come to by the multipliers
// alone: a lower bound on every feasible objective (weak duality).
func bounded(p *Program, mult []float64) float64 {
	reduced := append([]float64(nil), p.Cost...)
	total := 0.0
	for r, y := range mult {
		total += y * p.rhs[r]
		for e := p.start[r]; e < p.start[r+1]; e++ {
			reduced[p.col[e]] -= y * p.val[e]
		}
	}
	for k, d := range reduced {
		total += min(d*p.Lo[k], d*p.Hi[k])
	}
	return total
}

func TestSolveAgreesWithGonum(t *testing.T) {
	var solver Solver
	solved := 0
	for seed := range uint64(150) {
		rng := rand.New(rand.NewPCG(seed, 1))
		n := 2 + rng.IntN(7)
		p := layoutProgram(n, 1+rng.IntN(5*n), rng)
		got := solver.Solve(context.Background(), p, nil)
		require.Equal(t, Optimal, got.Status, "seed %d", seed)
		require.LessOrEqual(t, p.Violation(got.Z), 1e-9, "seed %d", seed)
		value := objective(p, got.Z)
		require.InDelta(t, bounded(p, got.Multipliers), value, 1e-9, "seed %d: duality gap", seed)
		want, err := gonumOptimum(p)
		if err != nil {
			continue // gonum gives up on redundant rows
		}
		solved++
		require.InDelta(t, want, value, 1e-7, "seed %d", seed)
	}
	require.Greater(t, solved, 75, "gonum solved too few to compare with")
}

func TestSolveGeneralPrograms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		m := rapid.IntRange(0, 40).Draw(t, "m")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		p := &Program{}
		p.Reset(n)
		inside := make([]float64, n)
		for k := range n {
			p.Cost[k] = float64(rng.IntN(7) - 3)
			p.Lo[k] = float64(rng.IntN(5) - 4)
			p.Hi[k] = p.Lo[k] + float64(rng.IntN(4))
			inside[k] = p.Lo[k] + rng.Float64()*(p.Hi[k]-p.Lo[k])
			if rng.IntN(2) == 0 {
				inside[k] = p.Lo[k]
			}
		}
		for range m {
			activity := 0.0
			for k := range n {
				if rng.IntN(3) == 0 {
					c := float64(rng.IntN(5) - 2)
					p.Add(k, c)
					activity += c * inside[k]
				}
			}
			p.Close(activity - float64(rng.IntN(2))*rng.Float64())
		}
		var solver Solver
		got := solver.Solve(context.Background(), p, nil)
		require.Equal(t, Optimal, got.Status)
		require.LessOrEqual(t, p.Violation(got.Z), 1e-9)
		require.InDelta(t, bounded(p, got.Multipliers), objective(p, got.Z), 1e-8)
		for _, y := range got.Multipliers {
			require.GreaterOrEqual(t, y, 0.0)
		}
	})
}

func TestSolveInfeasible(t *testing.T) {
	p := &Program{}
	p.Reset(2)
	p.Hi[0], p.Hi[1] = 1, 1
	p.Add(0, 1)
	p.Add(1, 1)
	p.Close(2.5)
	var solver Solver
	require.Equal(t, Infeasible, solver.Solve(context.Background(), p, nil).Status)
	p.rhs[0] = 2
	require.Equal(t, Optimal, solver.Solve(context.Background(), p, nil).Status)
}

func TestSolveRepeatedRows(t *testing.T) {
	// The same row many times over, and the equality made of two.
	p := &Program{}
	p.Reset(3)
	for k := range 3 {
		p.Lo[k], p.Hi[k], p.Cost[k] = -5, 5, 1
	}
	for range 20 {
		p.Add(0, 1)
		p.Add(1, -1)
		p.Close(1)
		p.Add(0, -1)
		p.Add(1, 1)
		p.Close(-1)
		p.Add(2, 2)
		p.Close(3)
	}
	var solver Solver
	got := solver.Solve(context.Background(), p, nil)
	require.Equal(t, Optimal, got.Status)
	require.InDeltaSlice(t, []float64{-4, -5, 1.5}, got.Z, 1e-12)
}

func TestSolveCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := layoutProgram(10, 30, rand.New(rand.NewPCG(1, 1)))
	var solver Solver
	require.Equal(t, Cancelled, solver.Solve(ctx, p, nil).Status)
}

func TestSolveIsRepeatable(t *testing.T) {
	p := layoutProgram(40, 300, rand.New(rand.NewPCG(3, 1)))
	var solver Solver
	first := append([]float64(nil), solver.Solve(context.Background(), p, nil).Z...)
	solver.Solve(context.Background(), layoutProgram(7, 30, rand.New(rand.NewPCG(4, 1))), nil)
	require.Equal(t, first, solver.Solve(context.Background(), p, nil).Z)
	var other Solver
	require.Equal(t, first, other.Solve(context.Background(), p, nil).Z)
}

func BenchmarkSolve(b *testing.B) {
	for _, size := range [][2]int{{50, 1000}, {100, 1000}, {300, 3000}, {300, 10000}, {1000, 6000}} {
		b.Run(fmt.Sprintf("pieces=%d/rows=%d", size[0], size[1]), func(b *testing.B) {
			p := layoutProgram(size[0], size[1], rand.New(rand.NewPCG(7, 1)))
			var solver Solver
			b.ReportAllocs()
			pivots := 0
			for b.Loop() {
				got := solver.Solve(context.Background(), p, nil)
				if got.Status != Optimal || p.Violation(got.Z) > 1e-9 {
					b.Fatal(got.Status, p.Violation(got.Z))
				}
				pivots = got.Pivots
			}
			b.ReportMetric(float64(pivots), "pivots")
		})
	}
}

func TestSolveWithAnyHint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		n := 2 + rng.IntN(12)
		p := layoutProgram(n, 1+rng.IntN(8*n), rng)
		var solver, other Solver
		want := solver.Solve(context.Background(), p, nil)
		require.Equal(t, Optimal, want.Status)
		best := objective(p, want.Z)

		again := other.Solve(context.Background(), p, want.Basis)
		require.Equal(t, Optimal, again.Status)
		require.Zero(t, again.Pivots)

		hint := make([]int32, rng.IntN(3*n))
		for i := range hint {
			hint[i] = int32(rng.IntN(p.Variables()+p.Rows()+10) - 5)
		}
		got := other.Solve(context.Background(), p, hint)
		require.Equal(t, Optimal, got.Status)
		require.LessOrEqual(t, p.Violation(got.Z), 1e-9)
		require.InDelta(t, best, objective(p, got.Z), 1e-8)
	})
}

// Between two factorisations the point and the multipliers are updated; they
// must stay those of the basis.
func TestSolveKeepsItsInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		n := 5 + rng.IntN(30)
		p := layoutProgram(n, 8*n, rng)
		s := Solver{MaxPivots: 1 + rng.IntN(60)}
		got := s.Solve(context.Background(), p, nil)
		reduced := append([]float64(nil), p.Cost...)
		for pos, c := range got.Basis {
			variables, coefficients := s.entries(c)
			for e, k := range variables {
				reduced[k] -= s.y[pos] * coefficients[e]
			}
			require.InDelta(t, s.bound(pos), s.activity(c), 1e-9)
			if s.lo[c] < s.hi[c] {
				require.False(t, s.y[pos] < 0 && !s.upper[c], "a multiplier on the wrong side")
				require.False(t, s.y[pos] > 0 && s.upper[c], "a multiplier on the wrong side")
			}
		}
		for _, d := range reduced {
			require.InDelta(t, 0, d, 1e-9)
		}
		for r := range p.Rows() {
			require.InDelta(t, p.Activity(r, s.z)-p.rhs[r], s.slack[r], 1e-9)
		}
	})
}
