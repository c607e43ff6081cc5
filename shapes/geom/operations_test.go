package geom

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// star is a simple ring of n vertices round (cx, cy).
func star(t *rapid.T, cx, cy float64) orb.Ring {
	n := rapid.IntRange(3, 40).Draw(t, "n")
	r := make(orb.Ring, n)
	for i := range r {
		d := rapid.Float64Range(20, 200).Draw(t, "r")
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		r[i] = orb.Point{cx + d*c, cy + d*s}
	}
	return r
}

func TestOffsetSquare(t *testing.T) {
	square := orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
	hole := orb.Ring{{40, 40}, {40, 60}, {60, 60}, {60, 40}}
	got, err := Offset(square, []orb.Ring{hole}, 5, 0.01)
	require.NoError(t, err)
	require.Len(t, got, 1)
	require.Len(t, got[0].Holes, 1)
	// 100² + 4·100·5 + π·5², less the cut-out of 10².
	want := 12000 + 25*math.Pi - 100
	assert.GreaterOrEqual(t, got[0].Area(), want)
	assert.InDelta(t, want, got[0].Area(), 5)

	got, err = Offset(square, []orb.Ring{hole}, 10.5, 0.01)
	require.NoError(t, err)
	assert.Empty(t, got[0].Holes, "a cut-out of 20 mm vanishes at 10.5 mm")

	got, err = Offset(square, nil, -10, 0.01)
	require.NoError(t, err)
	assert.InDelta(t, 6400, got[0].Area(), 1)
	assert.GreaterOrEqual(t, got[0].Area(), 6400.0)

	got, err = Offset(square, nil, -51, 0.01)
	require.NoError(t, err)
	assert.Empty(t, got)
}

func TestOffsetRefuses(t *testing.T) {
	for _, r := range []orb.Ring{
		{{0, 0}, {math.NaN(), 0}, {1, 1}},
		{{0, 0}, {1e9, 0}, {1, 1}},
		{{0, 0}, {math.Inf(1), 0}, {1, 1}},
		{{0, 0}, {10, 0}, {20, 0}},
		{},
	} {
		_, err := Offset(r, nil, 3, 0)
		assert.ErrorIs(t, err, ErrOffset, "%v", r)
	}
	_, err := Offset(orb.Ring{{0, 0}, {1, 0}, {1, 1}}, nil, math.NaN(), 0)
	assert.ErrorIs(t, err, ErrOffset)
}

// Every vertex of the result stands off the original by at least the distance,
// and by no more than the chord tolerance besides.
func TestOffsetContainsTheTrueOffset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 5000, -3000)
		d := rapid.Float64Range(0.5, 60).Draw(t, "d")
		const tol = 0.05
		got, err := Offset(r, nil, d, tol)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range got {
			for _, ring := range append([]orb.Ring{p.Exterior}, p.Holes...) {
				for i, a := range ring {
					b := ring[(i+1)%len(ring)]
					for _, f := range []float64{0, 0.25, 0.5} {
						x := orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
						e := RingDistance(r, x)
						if e < d-1e-9 || Contains(r, x) != Outside {
							t.Fatalf("%v lies %g off, want at least %g", x, e, d)
						}
						if f == 0 && e > d+tol+6*Grid {
							t.Fatalf("%v lies %g off, want at most %g", x, e, d+tol)
						}
					}
				}
			}
		}
	})
}

func TestPole(t *testing.T) {
	c, r := Pole(orb.Ring{{0, 0}, {100, 0}, {100, 40}, {0, 40}}, nil, 0.01)
	assert.InDelta(t, 20, r, 0.01)
	assert.InDelta(t, 20, c[1], 0.02)
	c, r = Pole(blade, nil, 0.001)
	// In the corner of the L: the circle touches x = 0, y = 0 and (2, 2).
	want := 2 / (1 + 1/math.Sqrt2)
	assert.InDelta(t, want, r, 0.001)
	assert.InDelta(t, want, c[0], 0.01)
	hole := orb.Ring{{30, 10}, {30, 30}, {70, 30}, {70, 10}}
	_, r = Pole(orb.Ring{{0, 0}, {100, 0}, {100, 40}, {0, 40}}, []orb.Ring{hole}, 0.01)
	// Beside the cut-out, touching three sides and two of its corners:
	// 30 - r - r... the free width is 30, so the circle has radius 15 or, where
	// it may reach past the corner, a little more.
	assert.Greater(t, r, 14.99)
	assert.Less(t, r, 20.0)
	_, r = Pole(orb.Ring{{0, 0}, {1e5, 0}, {1e5, 1}, {0, 1}}, nil, 0.01)
	assert.InDelta(t, 0.5, r, 0.01, "a very long strip")
	_, r = Pole(orb.Ring{{0, 0}, {10, 0}}, nil, 0)
	assert.Zero(t, r)
	_, r = Pole(nil, nil, 0)
	assert.Zero(t, r)
}

func TestPoleIsInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ring := star(t, 0, 0)
		c, r := Pole(ring, nil, 0.5)
		if Contains(ring, c) != Inside {
			t.Fatalf("%v is not inside", c)
		}
		if d := RingDistance(ring, c); math.Abs(d-r) > 1e-9 {
			t.Fatalf("radius %g, distance %g", r, d)
		}
	})
}

func TestSimplifyOuterNeverCuts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 0, 0)
		if rapid.Bool().Draw(t, "hole") {
			r = Reversed(r)
		}
		tol := rapid.Float64Range(0.1, 30).Draw(t, "tol")
		out := SimplifyOuter(r, tol)
		if _, crossed := SelfIntersection(out); crossed {
			t.Fatalf("%v crosses itself", out)
		}
		bad := Outside
		if SignedArea(r) < 0 {
			bad = Inside
		}
		for i, a := range r {
			b := r[(i+1)%len(r)]
			for _, p := range []orb.Point{a, {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}} {
				if Contains(out, p) == bad && RingDistance(out, p) > 1e-9 {
					t.Fatalf("%v is cut away", p)
				}
			}
		}
		for i, a := range out {
			b := out[(i+1)%len(out)]
			for f := 0.0; f < 1; f += 0.1 {
				p := orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
				if d := RingDistance(r, p); d > tol+1e-6 {
					t.Fatalf("%v stands off by %g, allowed %g", p, d, tol)
				}
			}
		}
	})
}

func TestSimplifyOuterCircle(t *testing.T) {
	const n = 2000
	r := make(orb.Ring, n)
	for i := range r {
		s, c := math.Sincos(2 * math.Pi * float64(i) / n)
		r[i] = orb.Point{300 * c, 300 * s}
	}
	out := SimplifyOuter(r, 0.5)
	assert.Less(t, len(out), 200)
	assert.Greater(t, Area(out), Area(r))
	out = SimplifyOuter(Reversed(r), 0.5)
	assert.Less(t, len(out), 200)
	assert.Less(t, Area(out), Area(r))
}

// Points of the material deeper than the distance stay, whatever the cut-outs;
// points clearly shallower go.
func TestOffsetInwardKeepsTheTrueInset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := star(t, 0, 0)
		hole := orb.Ring{{-5, -5}, {-5, 5}, {5, 5}, {5, -5}}
		d := rapid.Float64Range(0.5, 30).Draw(t, "d")
		const tol = 0.05
		got, err := Offset(r, []orb.Ring{hole}, -d, tol)
		if err != nil {
			t.Fatal(err)
		}
		for range 40 {
			p := orb.Point{rapid.Float64Range(-200, 200).Draw(t, "x"), rapid.Float64Range(-200, 200).Draw(t, "y")}
			if PointInPolygon(r, []orb.Ring{hole}, p) != Inside {
				continue
			}
			depth := math.Min(RingDistance(r, p), RingDistance(hole, p))
			kept := false
			for _, g := range got {
				kept = kept || PointInPolygon(g.Exterior, g.Holes, p) != Outside
			}
			if depth >= d && !kept {
				t.Fatalf("%v lies %g deep and was lost at %g", p, depth, d)
			}
			if depth < d-tol-6*Grid && kept {
				t.Fatalf("%v lies %g deep and was kept at %g", p, depth, d)
			}
		}
	})
}

// TestTransformBound pins that the box of a transformed ring is the box of the
// ring it makes.
func TestTransformBound(t *testing.T) {
	r := orb.Ring{{3, 1}, {7, -2}, {9, 4}, {5, 8}}
	for _, mirror := range []bool{false, true} {
		for _, deg := range []float64{0, 33.3, 90, 180, -71} {
			f := Transform{Mirror: mirror, Rotation: deg, X: 2, Y: -5}
			require.Equal(t, Bound(f.Ring(r)), f.Bound(r))
		}
	}
	require.Equal(t, orb.Bound{}, Transform{}.Bound(nil))
}
