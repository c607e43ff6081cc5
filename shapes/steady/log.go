package steady

import "math"

// The natural logarithm of 2 in two parts: products of the first with the
// exponent of a number are exact.
const (
	ln2High = 0x1.62e42fefp-1
	ln2Low  = 0x1.473de6af278edp-34
)

// logSeries has the series of artanh from the third power on: up to 0.172, what
// is left out is below 1e-18 of the result.
var logSeries = [...]float64{
	1.0 / 23, 1.0 / 21, 1.0 / 19, 1.0 / 17, 1.0 / 15, 1.0 / 13,
	1.0 / 11, 1.0 / 9, 1.0 / 7, 1.0 / 5, 1.0 / 3,
}

// Log returns the natural logarithm.
func Log(x float64) float64 {
	switch {
	case math.IsNaN(x) || x < 0:
		return math.NaN()
	case x == 0:
		return math.Inf(-1)
	case math.IsInf(x, 1):
		return x
	}
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m *= 2
		e--
	}
	// log m = 2 artanh s = f - s (f - 2 s² (1/3 + s²/5 + ...)), f being m - 1.
	f := m - 1
	s := f / (m + 1)
	z := float64(s * s)
	p := 0.0
	for _, c := range logSeries {
		p = float64(p*z) + c
	}
	k := float64(e)
	rest := float64(s*(f-float64(2*z*p))) - float64(k*ln2Low)
	return float64(k*ln2High) + (f - rest)
}
