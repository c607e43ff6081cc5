package geom

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// blade is an L-shaped foot with a notch:
//
//	(0,6)----(2,6)
//	  |        |
//	  |        (2,2)----(8,2)
//	  |                   |
//	(0,0)--------------(8,0)
var blade = orb.Ring{{0, 0}, {8, 0}, {8, 2}, {2, 2}, {2, 6}, {0, 6}}

func TestContains(t *testing.T) {
	for _, c := range []struct {
		p    orb.Point
		want Position
	}{
		{orb.Point{1, 1}, Inside},
		{orb.Point{1, 2}, Inside},
		{orb.Point{7, 1}, Inside},
		{orb.Point{3, 3}, Outside},
		{orb.Point{-1, 2}, Outside},
		{orb.Point{-1, 0}, Outside},
		{orb.Point{9, 0}, Outside},
		{orb.Point{9, 2}, Outside},
		{orb.Point{0, 0}, OnBoundary},
		{orb.Point{5, 2}, OnBoundary},
		{orb.Point{2, 4}, OnBoundary},
		{orb.Point{0, 3}, OnBoundary},
		{orb.Point{math.Nextafter(8, 9), 1}, Outside},
		{orb.Point{math.Nextafter(8, 7), 1}, Inside},
	} {
		assert.Equal(t, c.want, Contains(blade, c.p), "%v", c.p)
		assert.Equal(t, c.want, Contains(Reversed(blade), c.p), "reversed, %v", c.p)
	}
	hole := orb.Ring{{0.5, 0.5}, {0.5, 1.5}, {1.5, 1.5}, {1.5, 0.5}}
	assert.Equal(t, Outside, PointInPolygon(blade, []orb.Ring{hole}, orb.Point{1, 1}))
	assert.Equal(t, OnBoundary, PointInPolygon(blade, []orb.Ring{hole}, orb.Point{0.5, 1}))
	assert.Equal(t, Inside, PointInPolygon(blade, []orb.Ring{hole}, orb.Point{1, 3}))
}

func TestOrientIsExact(t *testing.T) {
	// Neighbouring floats about (0.5, 0.5) against the diagonal.
	for i := -8; i <= 8; i++ {
		for j := -8; j <= 8; j++ {
			p := orb.Point{0.5 + float64(i)*0x1p-53, 0.5 + float64(j)*0x1p-53}
			want := 0
			if p[1] > p[0] {
				want = 1
			} else if p[1] < p[0] {
				want = -1
			}
			a, b := orb.Point{12, 12}, orb.Point{24, 24}
			require.Equal(t, want, Orient(a, b, p))
			require.Equal(t, -want, Orient(b, a, p))
			require.Equal(t, want, Orient(p, a, b))
		}
	}
}

// meetsBrute compares every pair of edges.
func meetsBrute(r orb.Ring) bool {
	r = distinct(r)
	n := len(r)
	if n == 2 {
		return true
	}
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			a, b, c, d := r[i], r[(i+1)%n], r[j], r[(j+1)%n]
			switch {
			case j == i+1:
				if Orient(a, b, d) == 0 && (a[0]-b[0])*(d[0]-b[0])+(a[1]-b[1])*(d[1]-b[1]) > 0 {
					return true
				}
			case (j+1)%n == i:
				if Orient(a, b, c) == 0 && (b[0]-a[0])*(c[0]-a[0])+(b[1]-a[1])*(c[1]-a[1]) > 0 {
					return true
				}
			default:
				if _, ok := SegmentsMeet(a, b, c, d); ok {
					return true
				}
			}
		}
	}
	return false
}

func TestSelfIntersectionAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// A small lattice gives touches, overlaps and upright edges often.
		size := rapid.SampledFrom([]int{3, 6, 50, 1000}).Draw(t, "size")
		n := rapid.IntRange(3, 9).Draw(t, "n")
		r := make(orb.Ring, n)
		for i := range r {
			r[i] = orb.Point{float64(rapid.IntRange(0, size).Draw(t, "x")), float64(rapid.IntRange(0, size).Draw(t, "y"))}
		}
		at, got := SelfIntersection(r)
		if len(distinct(r)) < 2 {
			return
		}
		if want := meetsBrute(r); got != want {
			t.Fatalf("%v: found %v, want %v", r, got, want)
		}
		if got && RingDistance(r, at) > 1e-9*float64(size) {
			t.Fatalf("%v: meeting place %v is off the ring", r, at)
		}
	})
}

// comb is a simple ring of n teeth, each as tall as the ring is.
func comb(n int) orb.Ring {
	var r orb.Ring
	for i := 0; i < n; i++ {
		r = append(r, orb.Point{float64(4 * i), 0}, orb.Point{float64(4*i + 1), 1000}, orb.Point{float64(4*i + 2), 1000}, orb.Point{float64(4*i + 3), 0})
	}
	return append(r, orb.Point{float64(4 * n), -10}, orb.Point{-1, -10})
}

func TestSelfIntersectionLarge(t *testing.T) {
	r := comb(30000)
	_, found := SelfIntersection(r)
	require.False(t, found)
	r[60001][0] += 5
	_, found = SelfIntersection(r)
	require.True(t, found)
}

func BenchmarkSelfIntersection(b *testing.B) {
	r := comb(25000)
	for b.Loop() {
		if _, found := SelfIntersection(r); found {
			b.Fatal("a comb is simple")
		}
	}
}
