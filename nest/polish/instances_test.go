package polish

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// instance is a published strip packing instance, every copy of an item with
// its first allowed rotation.
type instance struct {
	width  float64
	shapes []*Shape
	rings  []orb.Ring
}

// loadInstance reads a published instance from the directory that
// PLYROOM_BENCHMARK names, or from shared/benchmark beside the repository. It
// skips the test where there is none.
func loadInstance(tb testing.TB, name string) instance {
	tb.Helper()
	dir := os.Getenv("PLYROOM_BENCHMARK")
	if dir == "" {
		dir = filepath.Join("..", "..", "..", "shared", "benchmark")
	}
	data, err := os.ReadFile(filepath.Join(dir, "instances", name+".json"))
	if err != nil {
		tb.Skipf("published instances are not at hand: %v", err)
	}
	var file struct {
		Width float64 `json:"strip_width"`
		Items []struct {
			Quantity int
			Outline  []orb.Point
		}
	}
	require.NoError(tb, json.Unmarshal(data, &file))
	in := instance{width: file.Width}
	for _, item := range file.Items {
		s, err := NewShape(orb.Ring(item.Outline), nil)
		require.NoError(tb, err)
		for range item.Quantity {
			in.shapes = append(in.shapes, s)
			in.rings = append(in.rings, orb.Ring(item.Outline))
		}
	}
	return in
}

// leftmost returns a layout without overlap: the pieces one after another, in
// a random order, each as far to the start as it goes at the best of some
// heights.
func leftmost(in instance, heights int, rng *rand.Rand) []orb.Point {
	at := make([]orb.Point, len(in.shapes))
	var placed []int
	sums := map[[2]*Shape][]*sum{}
	between := func(a, b *Shape) []*sum {
		key := [2]*Shape{a, b}
		if sums[key] == nil {
			for p := range a.parts {
				for q := range b.parts {
					sums[key] = append(sums[key], newSum(&a.parts[p], &b.parts[q]))
				}
			}
		}
		return sums[key]
	}
	order := rng.Perm(len(in.shapes))
	slices.SortStableFunc(order, func(a, b int) int {
		sa, sb := in.shapes[a].bound, in.shapes[b].bound
		return compareFloats(
			(sb.Max[0]-sb.Min[0])*(sb.Max[1]-sb.Min[1])*(1+rng.Float64()/10),
			(sa.Max[0]-sa.Min[0])*(sa.Max[1]-sa.Min[1])*(1+rng.Float64()/10))
	})
	for _, i := range order {
		b := in.shapes[i].bound
		best := orb.Point{math.Inf(1), 0}
		for h := range heights {
			free := in.width - (b.Max[1] - b.Min[1])
			y := free*float64(h)/float64(heights-1) - b.Min[1]
			type span struct{ from, to float64 }
			var taken []span
			for _, j := range placed {
				for _, s := range between(in.shapes[j], in.shapes[i]) {
					from, to := math.Inf(-1), math.Inf(1)
					ry := y - at[j][1]
					for k, n := range s.normal {
						// n·r < support inside
						switch rest := s.support[k] - n[1]*ry; {
						case n[0] > 1e-12:
							to = min(to, rest/n[0])
						case n[0] < -1e-12:
							from = max(from, rest/n[0])
						case rest < 1e-9:
							from = math.Inf(1)
						}
					}
					if from < to-1e-12 {
						taken = append(taken, span{from + at[j][0], to + at[j][0]})
					}
				}
			}
			slices.SortFunc(taken, func(a, b span) int { return compareFloats(a.from, b.from) })
			x := -b.Min[0]
			for _, s := range taken {
				if s.from < x-1e-12 {
					x = max(x, s.to)
				}
			}
			if x+b.Max[0] < best[0]+b.Max[0] {
				best = orb.Point{x, y}
			}
		}
		at[i] = best
		placed = append(placed, i)
	}
	return at
}

// solveJigsaw finds positions, on whole coordinates, at which the pieces fill
// the square of the strip's width.
func solveJigsaw(in instance) []orb.Point {
	type sample struct{ p orb.Point }
	var samples []sample
	for y := 0.37; y < in.width; y++ {
		for x := 0.41; x < in.width; x++ {
			samples = append(samples, sample{orb.Point{x, y}})
		}
	}
	covers := func(i int, at, p orb.Point) bool {
		p = minus(p, at)
		for _, part := range in.shapes[i].parts {
			inside := true
			for k, a := range part.pts {
				if orientation(a, part.pts[(k+1)%len(part.pts)], p) < 0 {
					inside = false
					break
				}
			}
			if inside {
				return true
			}
		}
		return false
	}
	at := make([]orb.Point, len(in.shapes))
	used := make([]bool, len(in.shapes))
	corners := []orb.Point{{0, 0}, {0, in.width}}
	l, _ := newLayout(Strip{Width: in.width}, in.shapes, at, Options{})
	overlaps := func(i, j int) bool {
		r := minus(at[j], at[i])
		for _, s := range l.nearSums(nil, i, j, r, 0) {
			if apart, _ := s.separation(r); apart < -1e-9 {
				return true
			}
		}
		return false
	}
	var place func(done, from int) bool
	place = func(done, from int) bool {
		for ; from < len(samples); from++ {
			covered := false
			for i := range at {
				if used[i] && covers(i, at[i], samples[from].p) {
					covered = true
					break
				}
			}
			if !covered {
				break
			}
		}
		if from == len(samples) {
			return done == len(at)
		}
		for i := range at {
			if used[i] {
				continue
			}
			for _, c := range slices.Clone(corners) {
				for _, v := range in.rings[i] {
					at[i] = minus(c, v)
					b := in.shapes[i].bound
					if at[i][0]+b.Min[0] < 0 || at[i][1]+b.Min[1] < 0 ||
						at[i][0]+b.Max[0] > in.width || at[i][1]+b.Max[1] > in.width ||
						!covers(i, at[i], samples[from].p) {
						continue
					}
					free := true
					for j := range at {
						if used[j] && overlaps(j, i) {
							free = false
							break
						}
					}
					if !free {
						continue
					}
					used[i] = true
					before := len(corners)
					for _, w := range in.rings[i] {
						corners = append(corners, plus(at[i], w))
					}
					if place(done+1, from) {
						return true
					}
					corners = corners[:before]
					used[i] = false
				}
			}
		}
		return false
	}
	if !place(0, 0) {
		return nil
	}
	return at
}
