package collide

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// benchPairs are pairs of plies with 30 vertices at translations of which about
// half overlap.
func benchPairs(b *testing.B) (a, c *Body, at [][2]float64, overlaps int) {
	r := rand.New(rand.NewPCG(4, 5))
	sa, err := NewShape(star(r, 30, 0.4, 0), nil)
	require.NoError(b, err)
	sc, err := NewShape(star(r, 30, 0.4, 0), nil)
	require.NoError(b, err)
	a, c = NewBody(sa, false, 10), NewBody(sc, false, 200)
	for range 256 {
		p := [2]float64{(r.Float64() - 0.5) * 36, (r.Float64() - 0.5) * 36}
		at = append(at, p)
		if Overlap(a, c, p[0], p[1], 0, 1e-9) {
			overlaps++
		}
	}
	return a, c, at, overlaps
}

func BenchmarkOverlap(b *testing.B) {
	a, c, at, want := benchPairs(b)
	b.ReportAllocs()
	for b.Loop() {
		got := 0
		for _, p := range at {
			if Overlap(a, c, p[0], p[1], 0, 1e-9) {
				got++
			}
		}
		if got != want {
			b.Fatal("the answer changed")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(at)), "ns/pair")
}

func BenchmarkMeasure(b *testing.B) {
	a, c, at, want := benchPairs(b)
	b.ReportAllocs()
	for b.Loop() {
		got := 0
		for _, p := range at {
			if Measure(a, c, p[0], p[1], 0, 1e-9, math.Inf(1)) > 0 {
				got++
			}
		}
		if got != want {
			b.Fatal("the answer changed")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(at)), "ns/pair")
}

func BenchmarkTableMeasure(b *testing.B) {
	a, c, at, want := benchPairs(b)
	t := NewTable(a, c, 0, 1e-9, 0, 32)
	b.ReportAllocs()
	for b.Loop() {
		got := 0
		for _, p := range at {
			if t.Measure(p[0], p[1], false) > 0 {
				got++
			}
		}
		if got != want {
			b.Fatal("the answer changed")
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(at)), "ns/pair")
	b.ReportMetric(float64(t.Bytes()), "table-bytes")
}

func BenchmarkNewTable(b *testing.B) {
	a, c, _, _ := benchPairs(b)
	b.ReportAllocs()
	for b.Loop() {
		NewTable(a, c, 0, 1e-9, 0, 32)
	}
}

func BenchmarkTurn(b *testing.B) {
	a, _, _, _ := benchPairs(b)
	b.ReportAllocs()
	deg := 0.0
	for b.Loop() {
		deg += 1 + a.Box.MaxX*1e-9
		a.Set(a.Shape, false, deg)
	}
}
