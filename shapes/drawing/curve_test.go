package drawing

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ellipseLength is the circumference by the arithmetic-geometric mean, after
// Gauss.
func ellipseLength(a, b float64) float64 {
	x, y, sum, power := a, b, (a*a+b*b)/2, 0.5
	for i := 0; i < 40 && math.Abs(x-y) > 1e-15*x; i++ {
		c := (x - y) / 2
		x, y = (x+y)/2, math.Sqrt(x*y)
		power *= 2
		sum -= power * c * c
	}
	return 2 * math.Pi * sum / x
}

func TestLengths(t *testing.T) {
	for _, b := range []float64{100, 99, 50, 10, 1} {
		e := newArc(orb.Point{3, 4}, orb.Point{100, 0}, orb.Point{0, b}, 0, 2*math.Pi)
		assert.InEpsilon(t, ellipseLength(100, b), e.length(), 1e-8, "half axes 100 and %g", b)
		assert.InEpsilon(t, 2*math.Pi*100*b, e.sweep(orb.Point{1e3, 1e3}), 1e-12)
	}
	q := bezier{p: []orb.Point{{100, 0}, {100, 100}, {0, 100}}, w: []float64{1, math.Sqrt2 / 2, 1}}
	assert.InEpsilon(t, math.Pi*50, q.length(), 1e-9, "a quarter of a circle as a rational quadratic")
	assert.InEpsilon(t, math.Pi*5000, q.sweep(orb.Point{}), 1e-9)
	// A parabola y = x²/2 from 0 to 1 in closed form.
	p := bezier{p: []orb.Point{{0, 0}, {0.5, 0}, {1, 0.5}}}
	assert.InEpsilon(t, (math.Sqrt2+math.Asinh(1))/2, p.length(), 1e-9)
}

// Any affine map of a curve is the curve of the mapped points, the area follows
// the determinant, and reversing changes the sign alone.
func TestCurvesUnderMaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := rapid.Float64Range(-50, 50)
		pt := func() orb.Point { return orb.Point{num.Draw(t, "x"), num.Draw(t, "y")} }
		var c curve
		switch rapid.IntRange(0, 2).Draw(t, "kind") {
		case 0:
			c = newArc(pt(), pt(), pt(), rapid.Float64Range(-3, 3).Draw(t, "t0"), rapid.Float64Range(-3, 3).Draw(t, "t1"))
		case 1:
			c = bezier{p: []orb.Point{pt(), pt(), pt(), pt()}}
		case 2:
			c = bezier{p: []orb.Point{pt(), pt(), pt()}, w: []float64{1, rapid.Float64Range(0.2, 5).Draw(t, "w"), 2}}
		}
		m := affine{num.Draw(t, "a"), num.Draw(t, "b"), num.Draw(t, "c"), num.Draw(t, "d"), 0, 0}
		k := c.mapped(m)
		tol := 1e-7 * (1 + math.Abs(c.sweep(orb.Point{}))*math.Abs(m.det()) + 1e6)
		if got, want := k.sweep(orb.Point{}), m.det()*c.sweep(orb.Point{}); math.Abs(got-want) > tol {
			t.Fatalf("mapped sweep %g, want %g", got, want)
		}
		if got := c.reversed().sweep(orb.Point{}); math.Abs(got+c.sweep(orb.Point{})) > 1e-6 {
			t.Fatalf("reversed sweep %g of %g", got, c.sweep(orb.Point{}))
		}
		if math.Abs(c.reversed().length()-c.length()) > 1e-6 {
			t.Fatal("reversing changes the length")
		}
	})
}

func TestTransformLists(t *testing.T) {
	for _, c := range []struct {
		s    string
		want orb.Point // of (1, 2)
	}{
		{"translate(3 4)", orb.Point{4, 6}},
		{"translate(3)", orb.Point{4, 2}},
		{"rotate(90)", orb.Point{-2, 1}},
		{"rotate(90 1 2)", orb.Point{1, 2}},
		{"scale(2) translate(1,0)", orb.Point{4, 4}},
		{"translate(1,0) scale(2)", orb.Point{3, 4}},
		{"skewX(45)", orb.Point{3, 2}},
		{"skewY(45)", orb.Point{1, 3}},
		{"matrix(1,2,3,4,5,6)", orb.Point{12, 16}},
		{"rotate(0.25turn)", orb.Point{-2, 1}},
		{"", orb.Point{1, 2}},
	} {
		m, err := parseTransform(c.s)
		require.NoError(t, err, c.s)
		p := m.point(orb.Point{1, 2})
		assert.InDelta(t, c.want[0], p[0], 1e-12, c.s)
		assert.InDelta(t, c.want[1], p[1], 1e-12, c.s)
	}
	for _, s := range []string{"rotate", "rotate(", "rotate()", "rotate(1 2)", "matrix(1)", "scale(x)", "spin(3)", "scale(1e400)"} {
		_, err := parseTransform(s)
		assert.Error(t, err, s)
	}
}
