package polish

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// benchLayout makes a loose layout of star-shaped and other pieces of a few
// kinds.
func benchLayout(b *testing.B, pieces int) (Strip, []*Shape, []orb.Point) {
	b.Helper()
	rng := rand.New(rand.NewPCG(5, uint64(pieces)))
	in := instance{width: 400}
	var kinds []*Shape
	for range 12 {
		o := randomValid(rng, 60+60*rng.Float64())
		kinds = append(kinds, mustShape(b, o.exterior, o.holes...))
	}
	for range pieces {
		in.shapes = append(in.shapes, kinds[rng.IntN(len(kinds))])
	}
	return Strip{Width: in.width}, in.shapes, leftmost(in, 12, rng)
}

func BenchmarkCompact(b *testing.B) {
	for _, pieces := range []int{25, 50, 100, 300} {
		b.Run(fmt.Sprintf("pieces=%d", pieces), func(b *testing.B) {
			strip, shapes, at := benchLayout(b, pieces)
			b.ReportAllocs()
			var got Result
			for b.Loop() {
				var err error
				if got, err = Compact(context.Background(), strip, shapes, at, Options{}); err != nil || !got.Valid {
					b.Fatal(err, got.Overlap)
				}
			}
			b.ReportMetric(float64(got.Steps), "steps")
			b.ReportMetric(got.Length, "length")
		})
	}
}

// BenchmarkSeparate takes a dense layout apart that was shaken by a hundredth
// of its pieces' size.
func BenchmarkSeparate(b *testing.B) {
	for _, pieces := range []int{25, 100} {
		b.Run(fmt.Sprintf("pieces=%d", pieces), func(b *testing.B) {
			strip, shapes, at := benchLayout(b, pieces)
			dense, err := Compact(context.Background(), strip, shapes, at, Options{})
			if err != nil {
				b.Fatal(err)
			}
			moved := shaken(dense.At, 1, rand.New(rand.NewPCG(6, 1)))
			b.ReportAllocs()
			for b.Loop() {
				got, err := Separate(context.Background(), strip, dense.Length*1.005, shapes, moved, Options{})
				if err != nil || !got.Valid {
					b.Fatal(err, got.Overlap)
				}
			}
		})
	}
}

func BenchmarkNewShape(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		b.Run(fmt.Sprintf("vertices=%d", n), func(b *testing.B) {
			ring := wavyRing(n)
			b.ReportAllocs()
			parts := 0
			for b.Loop() {
				s, err := NewShape(ring, nil)
				if err != nil {
					b.Fatal(err)
				}
				parts = len(s.parts)
			}
			b.ReportMetric(float64(parts), "parts")
		})
	}
}
