package polish

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

func TestTryJitter(t *testing.T) {
	tryLayouts(t, 2, func(name string, in instance, at []orb.Point, before float64) {
		strip := Strip{Width: in.width}
		base, _ := Compact(context.Background(), strip, in.shapes, at, Options{})
		l, _ := newLayout(strip, in.shapes, at, Options{})
		for _, amp := range []float64{0.002, 0.01, 0.03} {
			okS, okC, ratio, n := 0, 0, 0.0, 5
			var ts, tc time.Duration
			worst := 0.0
			for k := range n {
				rng := rand.New(rand.NewPCG(uint64(k), 9))
				j := make([]orb.Point, len(at))
				for i := range j {
					j[i] = plus(base.At[i], orb.Point{(rng.Float64()*2 - 1) * amp * l.size, (rng.Float64()*2 - 1) * amp * l.size})
				}
				t0 := time.Now()
				s, err := Separate(context.Background(), strip, base.Length*1.0005, in.shapes, j, Options{})
				ts += time.Since(t0)
				if err != nil {
					t.Fatal(err)
				}
				if s.Valid {
					okS++
				}
				t0 = time.Now()
				c, _ := Compact(context.Background(), strip, in.shapes, j, Options{})
				tc += time.Since(t0)
				if c.Valid {
					okC++
				}
				ratio += c.Length / base.Length / float64(n)
				worst = max(worst, c.Length/base.Length)
			}
			fmt.Printf("%-9s %.3f: separate %d/%d %v  compact %d/%d ratio %.5f worst %.5f %v\n", name, amp, okS, n, (ts / time.Duration(n)).Round(10*time.Microsecond), okC, n, ratio, worst, (tc / time.Duration(n)).Round(10*time.Microsecond))
		}
	})
}
