package polish

import (
	"context"
	"fmt"
	"testing"
	"time"
)

func TestTryLarge(t *testing.T) {
	for _, c := range []struct {
		name        string
		times, wide int
	}{{"shirts", 100, 4}, {"swim", 10, 1}} {
		strip, shapes, all := replicate(t, c.name, c.times, c.wide)
		for _, w := range []int{60, 150, 400, 5000} {
			if w == 5000 && len(all) > 500 {
				continue
			}
			l, _ := newLayout(strip, shapes, all, Options{})
			ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
			t0 := time.Now()
			s, err := Compact(ctx, strip, shapes, all, Options{Window: w})
			cancel()
			fmt.Printf("%v %d window %d: %.4f -> %.4f steps %d %v %v %v %v\n", c, len(all), w, l.length(), s.Length, s.Steps, s.Status, s.Valid, time.Since(t0), err)
		}
	}
}
