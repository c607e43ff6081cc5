package pack

import (
	"context"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// manyPlies is n plies of 40 kinds with 30 vertices, as a big job has.
func manyPlies(n int) *Problem {
	r := rand.New(rand.NewPCG(11, 12))
	p := &Problem{Width: 1500, Gap: 2}
	for i := range 40 {
		p.Pieces = append(p.Pieces, Piece{
			Exterior:     blob(r, 30, 100+700*r.Float64()*r.Float64()),
			Count:        n/40 + btoi(i < n%40),
			Orientations: fixed(0, 180),
		})
	}
	return p
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// firstLayout returns the processor time is not measured: only a generous
// limit on the clock is kept, for busy machines.
func firstLayout(t testing.TB, p *Problem) (Result, time.Duration) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	start := time.Now()
	var took time.Duration
	got, err := Solve(ctx, p, Settings{}, func(g Progress) {
		if took == 0 {
			took = time.Since(start)
		}
		cancel()
	})
	require.NoError(t, err)
	t.Logf("first layout after %v, returned after %v, density %.3f", took, time.Since(start), area(p)/(p.Width*got.Length))
	return got, took
}

func area(p *Problem) float64 {
	w, _ := prepare(p, nil)
	return w.area
}

func TestThousandPlies(t *testing.T) {
	p := manyPlies(1000)
	got, _ := firstLayout(t, p)
	require.Empty(t, got.Unplaced)
	checkResult(t, p, got)
}

func TestTenThousandPlies(t *testing.T) {
	if testing.Short() {
		t.Skip("a big job takes seconds")
	}
	p := manyPlies(10000)
	got, _ := firstLayout(t, p)
	require.Empty(t, got.Unplaced)
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	t.Logf("memory %d MiB", m.Sys>>20)
	require.Less(t, m.Sys, uint64(1<<30))
}
