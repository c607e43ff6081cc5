package polish

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

func TestTryLarge(t *testing.T) {
	for _, name := range []string{"shirts", "swim", "trousers"} {
		for _, times := range []int{1, 3, 10, 30} {
			for _, wide := range []float64{1, 4} {
				in := loadInstance(t, name)
				rng := rand.New(rand.NewPCG(1, 1))
				at := leftmost(in, 40, rng)
				before := 0.0
				for i := range at {
					before = max(before, at[i][0]+in.shapes[i].bound.Max[0])
				}
				var shapes []*Shape
				var all []orb.Point
				for k := range times {
					shapes = append(shapes, in.shapes...)
					col, row := k/int(wide), k%int(wide)
					for _, p := range at {
						all = append(all, plus(p, orb.Point{before * float64(col), in.width * float64(row)}))
					}
				}
				if wide > 1 && times < 10 {
					continue
				}
				l, _ := newLayout(Strip{Width: in.width * wide}, shapes, all, Options{})
				p := newPolisher(l, Options{}, goal{end: 1e9, shorten: true})
				t0 := time.Now()
				l0 := l.length()
				p.once(context.Background())
				fmt.Printf("%s pieces %d wide %v: first step %v rows %d relations %d", name, len(all), wide, time.Since(t0), p.step.lp.Rows(), len(p.step.relations))
				ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
				t0 = time.Now()
				s := p.run(ctx)
				cancel()
				fmt.Printf(" %.4f -> %.4f steps %d %v %v %v\n", l0, s.Length, s.Steps, s.Status, s.Valid, time.Since(t0))
			}
		}
	}
}
