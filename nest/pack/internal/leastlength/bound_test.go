package leastlength

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest/collide"
)

func ply(t testing.TB, count int, ring orb.Ring, angles ...float64) Ply {
	s, err := collide.NewShape(ring, nil)
	require.NoError(t, err)
	p := Ply{Count: count, Shape: s}
	for _, a := range angles {
		p.Poses = append(p.Poses, collide.NewBody(s, false, a))
	}
	return p
}

func box(w, h float64) orb.Ring { return orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}} }

// shortest is the least length for whole-numbered rectangles that may not turn,
// by trying all positions. Rectangles pushed left and down lie at whole numbers,
// so that nothing is missed.
func shortest(width int, rects [][2]int) int {
	total := 0
	for _, r := range rects {
		total += r[0]
	}
	for length := 1; ; length++ {
		used := make([][]bool, length)
		for i := range used {
			used[i] = make([]bool, width)
		}
		if fits(used, rects) || length >= total {
			return length
		}
	}
}

func fits(used [][]bool, rects [][2]int) bool {
	if len(rects) == 0 {
		return true
	}
	w, h := rects[0][0], rects[0][1]
	for x := 0; x+w <= len(used); x++ {
	next:
		for y := 0; y+h <= len(used[0]); y++ {
			for i := range w {
				for j := range h {
					if used[x+i][y+j] {
						continue next
					}
				}
			}
			set(used, x, y, w, h, true)
			if fits(used, rects[1:]) {
				set(used, x, y, w, h, false)
				return true
			}
			set(used, x, y, w, h, false)
		}
	}
	return false
}

func set(used [][]bool, x, y, w, h int, v bool) {
	for i := range w {
		for j := range h {
			used[x+i][y+j] = v
		}
	}
}

func TestNeverAboveTheOptimum(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	met := 0
	for range 300 {
		width := 2 + r.IntN(5)
		s := &Strip{Width: float64(width)}
		var rects [][2]int
		for range 1 + r.IntN(5) {
			w, h := 1+r.IntN(4), 1+r.IntN(width)
			rects = append(rects, [2]int{w, h})
			s.Plies = append(s.Plies, ply(t, 1, box(float64(w), float64(h)), 0, 180))
		}
		best := float64(shortest(width, rects))
		for name, v := range map[string]float64{"area": Area(s), "longest": Longest(s), "middle": Middle(s), "beside": Beside(s)} {
			require.LessOrEqualf(t, v, best+1e-9, "%s: width %d, %v", name, width, rects)
		}
		if Of(s) > best-1e-6 {
			met++
		}
	}
	require.Greater(t, met, 150, "the bound is met in most of these small cases")
}

func TestAreaBetweenObstacles(t *testing.T) {
	s := &Strip{Width: 10, Plies: []Ply{ply(t, 2, box(5, 10), 0)}}
	require.InDelta(t, 10, Area(s), 1e-9)
	s.Obstacles = []collide.Box{{MinX: 2, MaxX: 4, MinY: -5, MaxY: 20}, {MinX: 3, MaxX: 6, MinY: 0, MaxY: 5}}
	require.InDelta(t, 13, Area(s), 1e-9)
}

func TestMiddle(t *testing.T) {
	// Three rectangles, each higher than half the strip, in a row.
	s := &Strip{Width: 10, Gap: 1, Plies: []Ply{ply(t, 3, box(4, 6), 0)}}
	require.InDelta(t, 14, Middle(s), 1e-6)
	// A triangle of full height, point up: its section at the middle is half
	// its base.
	s = &Strip{Width: 10, Plies: []Ply{ply(t, 2, orb.Ring{{0, 0}, {4, 0}, {2, 10}}, 0)}}
	require.InDelta(t, 4, Middle(s), 1e-6)
	// If it may lie flat, nothing is certain.
	s = &Strip{Width: 10, Plies: []Ply{ply(t, 2, orb.Ring{{0, 0}, {4, 0}, {2, 10}}, 0, 90)}}
	require.Zero(t, Middle(s))
}

func TestBesideCountsWhatExcludesEachOther(t *testing.T) {
	// Heights of 0.4 of the width: two fit beside each other, not three.
	s := &Strip{Width: 10, Plies: []Ply{ply(t, 6, box(1, 4), 0)}}
	require.InDelta(t, 3, Beside(s), 1e-6)
	// With a gap, only one of height 5 fits.
	s = &Strip{Width: 10, Gap: 1, Plies: []Ply{ply(t, 6, box(1, 5), 0)}}
	require.InDelta(t, 6, Beside(s), 1e-6)
}

func TestDualFeasible(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 20000 {
		left := 1.0
		var xs []float64
		for left > 0.02 && len(xs) < 12 {
			x := r.Float64()
			if r.IntN(2) == 0 {
				x = float64(1+r.IntN(12)) / float64(1+r.IntN(12))
			}
			if x <= left {
				xs = append(xs, x)
				left -= x
			} else {
				left -= 0.01
			}
		}
		for k := 1.0; k <= 8; k++ {
			sum := 0.0
			for _, x := range xs {
				sum += rounded(x, k)
			}
			require.LessOrEqualf(t, sum, 1+1e-7, "k %v %v", k, xs)
		}
		for e := 0.0; e <= 0.5; e += 0.05 {
			sum := 0.0
			for _, x := range xs {
				sum += threshold(x, e)
			}
			require.LessOrEqualf(t, sum, 1+1e-7, "e %v %v", e, xs)
		}
	}
}

func TestSectionOfConcavePly(t *testing.T) {
	s, err := collide.NewShape(orb.Ring{{0, 0}, {6, 0}, {6, 6}, {4, 6}, {4, 2}, {2, 2}, {2, 6}, {0, 6}}, nil)
	require.NoError(t, err)
	b := collide.NewBody(s, false, 0)
	require.InDelta(t, 6, section(b, -2), 1e-9)
	require.InDelta(t, 4, section(b, 1), 1e-9)
	require.InDelta(t, 4, leastSection(b, -2.5, 2), 1e-9)
	require.False(t, math.IsInf(leastSection(b, 0, 0), 1))
}

func BenchmarkLength(b *testing.B) {
	s := &Strip{Width: 1000}
	for i := range 40 {
		s.Plies = append(s.Plies, ply(b, 5, box(50+7*float64(i), 100+11*float64(i)), 0, 180))
	}
	b.ReportAllocs()
	for b.Loop() {
		Of(s)
	}
}
