package simplex

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// matrix is sparse, by columns.
type matrix struct {
	rows [][]int32
	vals [][]float64
}

func (m matrix) column(c int) ([]int32, []float64) { return m.rows[c], m.vals[c] }

// randomMatrix makes columns like those of a basis: single entries, and rows of
// two or four entries of size 1.
func randomMatrix(n int, rng *rand.Rand) matrix {
	m := matrix{make([][]int32, n), make([][]float64, n)}
	for c := range n {
		m.rows[c] = []int32{int32(c)}
		m.vals[c] = []float64{1}
		if rng.IntN(3) > 0 {
			for range 1 + 2*rng.IntN(2) {
				r := int32(rng.IntN(n))
				m.rows[c] = append(m.rows[c], r)
				m.vals[c] = append(m.vals[c], rng.NormFloat64())
			}
		}
		// A row once only.
		seen := map[int32]bool{}
		var rows []int32
		var vals []float64
		for e, r := range m.rows[c] {
			if !seen[r] {
				seen[r] = true
				rows, vals = append(rows, r), append(vals, m.vals[c][e])
			}
		}
		m.rows[c], m.vals[c] = rows, vals
	}
	rng.Shuffle(n, func(i, j int) {
		m.rows[i], m.rows[j] = m.rows[j], m.rows[i]
		m.vals[i], m.vals[j] = m.vals[j], m.vals[i]
	})
	return m
}

func (m matrix) times(x []float64) []float64 {
	out := make([]float64, len(x))
	for c, rows := range m.rows {
		for e, r := range rows {
			out[r] += m.vals[c][e] * x[c]
		}
	}
	return out
}

func (m matrix) transposedTimes(x []float64) []float64 {
	out := make([]float64, len(x))
	for c, rows := range m.rows {
		for e, r := range rows {
			out[c] += m.vals[c][e] * x[r]
		}
	}
	return out
}

func largest(x []float64) float64 {
	size := 0.0
	for _, v := range x {
		size = max(size, math.Abs(v))
	}
	return size
}

func TestFactorsSolve(t *testing.T) {
	solved := 0
	var f factors // used again and again, for sizes up and down
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		n := 1 + rng.IntN(60)
		m := randomMatrix(n, rng)
		if f.factor(n, m.column) < n {
			cols, rows := f.unpivoted()
			require.Equal(t, len(cols), len(rows))
			for i, c := range cols {
				m.rows[c], m.vals[c] = []int32{rows[i]}, []float64{1}
			}
			require.Equal(t, n, f.factor(n, m.column), "mended by single entries")
		}
		want := make([]float64, n)
		for i := range want {
			want[i] = rng.NormFloat64()
		}
		x := make([]float64, n)
		f.solve(append([]float64(nil), want...), x)
		size := 1 + largest(x)
		require.InDeltaSlice(t, want, m.times(x), 1e-9*size)
		f.solveTransposed(append([]float64(nil), want...), x)
		size = 1 + largest(x)
		require.InDeltaSlice(t, want, m.transposedTimes(x), 1e-9*size)
		solved++
	})
	require.Positive(t, solved)
}

func TestFactorsOfASingularMatrix(t *testing.T) {
	// The third column is the sum of the other two.
	m := matrix{
		rows: [][]int32{{0, 1}, {1, 2}, {0, 1, 2}},
		vals: [][]float64{{1, 1}, {1, 1}, {1, 2, 1}},
	}
	var f factors
	require.Equal(t, 2, f.factor(3, m.column))
	cols, rows := f.unpivoted()
	require.Len(t, cols, 1)
	require.Len(t, rows, 1)
}

func TestBasisUpdates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		n := 2 + rng.IntN(30)
		m := matrix{make([][]int32, n), make([][]float64, n)}
		for c := range n {
			m.rows[c], m.vals[c] = []int32{int32(c)}, []float64{1}
		}
		var b basis
		require.Equal(t, n, b.lu.factor(n, m.column))
		b.clearUpdates()
		alpha, w := make([]float64, n), make([]float64, n)
		for range 20 {
			fresh := randomMatrix(n, rng)
			clear(w)
			for e, r := range fresh.rows[0] {
				w[r] = fresh.vals[0][e]
			}
			b.solve(w, alpha)
			at := rng.IntN(n)
			if math.Abs(alpha[at]) < 0.1 {
				continue
			}
			b.replace(at, alpha)
			m.rows[at], m.vals[at] = fresh.rows[0], fresh.vals[0]
		}
		want := make([]float64, n)
		for i := range want {
			want[i] = rng.NormFloat64()
		}
		x := make([]float64, n)
		b.solve(append(w[:0:0], want...), x)
		require.InDeltaSlice(t, want, m.times(x), 1e-7*(1+largest(x)))
		b.solveTransposed(append(w[:0:0], want...), x)
		require.InDeltaSlice(t, want, m.transposedTimes(x), 1e-7*(1+largest(x)))
	})
}
