package steady

import "math"

// A quarter turn in three parts: products of the first two with a whole number
// below 2^20 are exact (reduction in parts: Cody and Waite, "Software Manual for
// the Elementary Functions", 1980).
const (
	quarterHigh = 0x1.921fb544p+0
	quarterMid  = 0x1.0b4611a6p-34
	quarterLow  = 0x1.3198a2e037073p-69

	mostQuarters = 1 << 20
)

// Sincos returns the sine and the cosine of an angle in radians. Beyond a million
// quarter turns it knows the angle only as well as its last bit tells it.
func Sincos(x float64) (sin, cos float64) {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return math.NaN(), math.NaN()
	}
	if x == 0 {
		return x, 1
	}
	n := math.Round(x * (2 / math.Pi))
	if math.Abs(n) >= mostQuarters {
		x = math.Mod(x, 2*math.Pi)
		n = math.Round(x * (2 / math.Pi))
	}
	r := x - float64(n*quarterHigh)
	r -= float64(n * quarterMid)
	r -= float64(n * quarterLow)
	sin, cos = near(r)
	return turned(sin, cos, int(n))
}

// Sin returns the sine of an angle in radians.
func Sin(x float64) float64 {
	s, _ := Sincos(x)
	return s
}

// Cos returns the cosine of an angle in radians.
func Cos(x float64) float64 {
	_, c := Sincos(x)
	return c
}

// Tan returns the tangent of an angle in radians.
func Tan(x float64) float64 {
	s, c := Sincos(x)
	return s / c
}

// SincosDegrees returns the sine and the cosine of an angle in degrees. They are
// exact at multiples of 90, so that a right angle stays one.
func SincosDegrees(degrees float64) (sin, cos float64) {
	d := degrees
	if !(math.Abs(d) < 90*mostQuarters) {
		d = math.Mod(d, 360)
	}
	n := math.Round(d / 90)
	r := d - float64(90*n) // exact, as both are multiples of d's last place
	if r == 0 {
		return turned(0, 1, int(n))
	}
	sin, cos = near(r * (math.Pi / 180))
	return turned(sin, cos, int(n))
}

// turned adds n quarter turns.
func turned(sin, cos float64, n int) (float64, float64) {
	switch n & 3 {
	case 1:
		return cos, 0 - sin
	case 2:
		return 0 - sin, 0 - cos
	case 3:
		return 0 - cos, sin
	}
	return sin, cos
}

// near returns sine and cosine up to an eighth of a turn by their Taylor series:
// what is left out is below 1e-19 of the result.
func near(r float64) (sin, cos float64) {
	z := float64(r * r)
	p := float64(z*(1.0/355687428096000)) - 1.0/1307674368000
	p = float64(p*z) + 1.0/6227020800
	p = float64(p*z) - 1.0/39916800
	p = float64(p*z) + 1.0/362880
	p = float64(p*z) - 1.0/5040
	p = float64(p*z) + 1.0/120
	p = float64(p*z) - 1.0/6
	sin = r + float64(float64(r*z)*p)

	q := float64(z*(-1.0/6402373705728000)) + 1.0/20922789888000
	q = float64(q*z) - 1.0/87178291200
	q = float64(q*z) + 1.0/479001600
	q = float64(q*z) - 1.0/3628800
	q = float64(q*z) + 1.0/40320
	q = float64(q*z) - 1.0/720
	q = float64(q*z) + 1.0/24
	// 1 - z/2 is rounded; what that takes away comes back with the rest.
	h := float64(0.5 * z)
	w := 1 - h
	cos = w + ((1 - w - h) + float64(float64(z*z)*q))
	return sin, cos
}
