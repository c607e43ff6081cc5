package steady

import "math"

// Exp returns e to the power of x. Results below the least normal number are
// rounded twice.
func Exp(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x > 710:
		return math.Inf(1)
	case x < -746:
		return 0
	}
	// x = n ln 2 + r, and the Taylor series of r: up to ln(2)/2, what is left out
	// is below 1e-17 of the result.
	n := math.Round(x * (1 / math.Ln2))
	r := x - float64(n*ln2High)
	low := float64(n * ln2Low)
	r -= low
	p := float64(r*(1.0/6227020800)) + 1.0/479001600
	p = float64(p*r) + 1.0/39916800
	p = float64(p*r) + 1.0/3628800
	p = float64(p*r) + 1.0/362880
	p = float64(p*r) + 1.0/40320
	p = float64(p*r) + 1.0/5040
	p = float64(p*r) + 1.0/720
	p = float64(p*r) + 1.0/120
	p = float64(p*r) + 1.0/24
	p = float64(p*r) + 1.0/6
	p = float64(p*r) + 0.5
	return math.Ldexp(1+(r+float64(float64(r*r)*p)), int(n))
}
