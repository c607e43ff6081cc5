package steady

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// ulps is how far a is from b in units of b's last place.
func ulps(a, b float64) float64 {
	if a == b || math.IsNaN(a) && math.IsNaN(b) {
		return 0
	}
	return math.Abs(a-b) / (math.Nextafter(math.Abs(b), math.Inf(1)) - math.Abs(b))
}

// argument draws numbers of all sizes.
func argument(rng *rand.Rand, least, most int) float64 {
	x := math.Ldexp(1+rng.Float64(), least+rng.IntN(most-least))
	if rng.IntN(2) == 0 {
		return -x
	}
	return x
}

const draws = 200_000

// The reference is package math, whose own results are within one unit in the
// last place.
func TestFunctionsAgreeWithPackageMath(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for name, f := range map[string]struct {
		least, most int
		got, want   func(x, y float64) float64
		allowed     float64
	}{
		"sin":        {-40, 12, func(x, _ float64) float64 { return Sin(x) }, func(x, _ float64) float64 { return math.Sin(x) }, 2},
		"cos":        {-40, 12, func(x, _ float64) float64 { return Cos(x) }, func(x, _ float64) float64 { return math.Cos(x) }, 2},
		"tan":        {-40, 0, func(x, _ float64) float64 { return Tan(x) }, func(x, _ float64) float64 { return math.Sin(x) / math.Cos(x) }, 4},
		"atan2":      {-60, 60, Atan2, math.Atan2, 2.5},
		"near atan2": {-3, 3, Atan2, math.Atan2, 2.5},
		"atan":       {-40, 40, func(x, _ float64) float64 { return Atan(x) }, func(x, _ float64) float64 { return math.Atan(x) }, 2.5},
		"acos":       {-20, 0, func(x, _ float64) float64 { return Acos(x / 2) }, func(x, _ float64) float64 { return math.Acos(x / 2) }, 3},
		"asin":       {-40, 0, func(x, _ float64) float64 { return Asin(x / 2) }, func(x, _ float64) float64 { return math.Asin(x / 2) }, 3},
		"hypot":      {-1000, 1000, Hypot, math.Hypot, 2},
		"near hypot": {-10, 10, Hypot, math.Hypot, 2},
		"log":        {-1000, 1000, func(x, _ float64) float64 { return Log(math.Abs(x)) }, func(x, _ float64) float64 { return math.Log(math.Abs(x)) }, 2},
		"exp":        {-30, 9, func(x, _ float64) float64 { return Exp(x) }, func(x, _ float64) float64 { return math.Exp(x) }, 2.5},
		"near log":   {-1, 1, func(x, _ float64) float64 { return Log(math.Abs(x)) }, func(x, _ float64) float64 { return math.Log(math.Abs(x)) }, 2},
	} {
		worst, at := 0.0, [2]float64{}
		for range draws {
			x, y := argument(rng, f.least, f.most), argument(rng, f.least, f.most)
			if u := ulps(f.got(x, y), f.want(x, y)); !(u <= worst) {
				worst, at = u, [2]float64{x, y}
			}
		}
		if !(worst <= f.allowed) {
			t.Errorf("%s: %.2f units in the last place at %v", name, worst, at)
		}
	}
}

// Angles of whole degrees against the same angles in radians, and right angles
// against what they are.
func TestSincosDegrees(t *testing.T) {
	for n := -9; n <= 9; n++ {
		s, c := SincosDegrees(90 * float64(n))
		require.Equal(t, [2]float64{[]float64{0, 1, 0, -1}[n&3], []float64{1, 0, -1, 0}[n&3]}, [2]float64{s, c}, "%d right angles", n)
		require.False(t, s == 0 && math.Signbit(s) || c == 0 && math.Signbit(c), "%d right angles: a zero with a sign", n)
	}
	for d := -725.0; d <= 725; d += 0.25 {
		s, c := SincosDegrees(d)
		ws, wc := math.Sincos(d * math.Pi / 180)
		require.InDelta(t, ws, s, 1e-14, "%v degrees", d)
		require.InDelta(t, wc, c, 1e-14, "%v degrees", d)
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		s, c := SincosDegrees(x)
		require.True(t, math.IsNaN(s) && math.IsNaN(c))
	}
}

// What is at the edge of the numbers is as in package math, to the bit.
func TestEdges(t *testing.T) {
	inf, nan, zero, minus := math.Inf(1), math.NaN(), 0.0, math.Copysign(0, -1)
	edge := []float64{zero, minus, 1, -1, inf, -inf, nan, math.MaxFloat64, math.SmallestNonzeroFloat64}
	same := func(what string, a, b float64, args ...float64) {
		require.True(t, math.Float64bits(a) == math.Float64bits(b) || math.IsNaN(a) && math.IsNaN(b),
			"%s%v: %v, not %v", what, args, a, b)
	}
	for _, x := range edge {
		for _, y := range edge {
			same("atan2", Atan2(y, x), math.Atan2(y, x), y, x)
			if !math.IsNaN(x) && !math.IsNaN(y) {
				require.LessOrEqual(t, ulps(Hypot(x, y), math.Hypot(x, y)), 1.0)
			}
		}
		if x != math.SmallestNonzeroFloat64 {
			same("log", Log(x), math.Log(x), x)
		}
		if math.Abs(x) <= 1 || math.IsNaN(x) {
			same("acos", Acos(x), math.Acos(x), x)
			same("asin", Asin(x), math.Asin(x), x)
		}
		if e := math.Exp(x); e == 0 || e == 1 || !(e < math.MaxFloat64) {
			same("exp", Exp(x), e, x)
		}
		s, c := Sincos(x)
		if math.Abs(x) < 2 {
			ws, wc := math.Sincos(x)
			same("sin", s, ws, x)
			same("cos", c, wc, x)
		} else {
			require.True(t, math.IsInf(x, 0) == math.IsNaN(s) || math.IsNaN(x))
		}
	}
	require.Equal(t, -1074*math.Ln2, Log(math.SmallestNonzeroFloat64))
	require.True(t, math.IsNaN(Acos(1.1)) && math.IsNaN(Asin(-1.1)))
}

// Large angles are still angles.
func TestSincosOfLargeAngles(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range draws {
		s, c := Sincos(argument(rng, 10, 200))
		require.InDelta(t, 1, s*s+c*c, 1e-14)
	}
}

// The same bits everywhere: a digest of many results, to be met on every machine.
func TestSameBitsOnEveryMachine(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	h := fnv.New64a()
	put := func(v ...float64) {
		for _, x := range v {
			fmt.Fprintf(h, "%x ", math.Float64bits(x))
		}
	}
	for range 20_000 {
		x, y := argument(rng, -30, 8), argument(rng, -30, 8)
		s, c := Sincos(x)
		put(s, c, Tan(y), Atan2(x, y), Atan(x), Acos(math.Mod(x, 1)), Asin(math.Mod(y, 1)), Hypot(x, y), Log(math.Abs(x)), Exp(math.Mod(x, 50)))
		s, c = SincosDegrees(y)
		put(s, c)
	}
	require.Equal(t, "197426d3ef221a01", fmt.Sprintf("%x", h.Sum64()))
}

func BenchmarkSincosDegrees(b *testing.B) {
	sum := 0.0
	for i := range b.N {
		s, c := SincosDegrees(float64(i) * 0.37)
		sum += s + c
	}
	if math.IsNaN(sum) {
		b.Fatal()
	}
}

func BenchmarkSincosOfMath(b *testing.B) {
	sum := 0.0
	for i := range b.N {
		s, c := math.Sincos(float64(i) * 0.37 * math.Pi / 180)
		sum += s + c
	}
	if math.IsNaN(sum) {
		b.Fatal()
	}
}
