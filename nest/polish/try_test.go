package polish

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

var tryNames = []string{"albano", "fu", "jakobs1", "marques", "shapes0", "shirts", "swim", "trousers"}

func tryLayouts(t testing.TB, seeds uint64, f func(name string, in instance, at []orb.Point, before float64)) {
	for _, name := range tryNames {
		in := loadInstance(t, name)
		for seed := range seeds {
			rng := rand.New(rand.NewPCG(seed, 1))
			at := leftmost(in, 40, rng)
			before := 0.0
			for i := range at {
				before = max(before, at[i][0]+in.shapes[i].bound.Max[0])
			}
			f(name, in, at, before)
		}
	}
}

func TestTryReach(t *testing.T) {
	type acc struct {
		d     float64
		steps int
		time  time.Duration
	}
	reaches := []float64{0.1, 0.2, 0.4}
	res := map[string][]acc{}
	base := map[string]float64{}
	const seeds = 6
	tryLayouts(t, seeds, func(name string, in instance, at []orb.Point, before float64) {
		if res[name] == nil {
			res[name] = make([]acc, len(reaches))
		}
		base[name] += in.area() / in.width * 100 / before / seeds
		for k, r := range reaches {
			l, _ := newLayout(Strip{Width: in.width}, in.shapes, at, Options{})
			t0 := time.Now()
			got, err := Compact(context.Background(), Strip{Width: in.width}, in.shapes, at, Options{Reach: r * l.size})
			if err != nil || !got.Valid {
				t.Error(name, err, got.Overlap)
			}
			res[name][k].d += in.area() / in.width * 100 / got.Length / seeds
			res[name][k].steps += got.Steps
			res[name][k].time += time.Since(t0)
		}
	})
	for _, n := range tryNames {
		fmt.Printf("%-9s %.2f:", n, base[n])
		for k := range reaches {
			fmt.Printf("  %.2f (%d, %v)", res[n][k].d, res[n][k].steps/seeds, (res[n][k].time / seeds).Round(10*time.Microsecond))
		}
		fmt.Println()
	}
}
