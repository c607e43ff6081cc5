package steady

import "math"

// arcs are the arc tangents of sixteenths.
var arcs = [...]float64{
	0,
	0.062418809995957348473979112986,
	0.124354994546761435031354849164,
	0.185347949995694764886025961229,
	0.244978663126864154172082481211,
	0.302884868374971405560556094506,
	0.358770670270572220395920063926,
	0.412410441597387306899791289667,
	0.463647609000806116214256231461,
	0.512389460310737706666601020584,
	0.558599315343562435971508216402,
	0.602287346134964181682122694204,
	0.643501108793284386802809228717,
	0.682316554874748078256429981711,
	0.718829999621624505417014151526,
	0.753151280962194389524739370269,
	0.785398163397448309615660845820,
}

// arcSeries has the Taylor series of the arc tangent from the third power on: up
// to 1/32, what is left out is below 1e-21 of the result.
var arcSeries = [...]float64{1.0 / 13, -1.0 / 11, 1.0 / 9, -1.0 / 7, 1.0 / 5, -1.0 / 3}

// atan returns the arc tangent of y/x for 0 <= y <= x, x > 0.
func atan(y, x float64) float64 {
	t := y / x
	k := math.Round(16 * t)
	if k > 0 {
		// The angle between (x, y) and (16, k).
		t = (float64(16*t) - k) / (16 + float64(k*t))
	}
	z := float64(t * t)
	p := 0.0
	for _, c := range arcSeries {
		p = float64(p*z) + c
	}
	return arcs[int(k)] + (t + float64(float64(t*z)*p))
}

// Atan2 returns the angle of (x, y) from the x axis in radians, from -Pi to Pi.
func Atan2(y, x float64) float64 {
	if math.IsNaN(x) || math.IsNaN(y) {
		return math.NaN()
	}
	ax, ay := math.Abs(x), math.Abs(y)
	if math.IsInf(ax, 1) && math.IsInf(ay, 1) {
		ax, ay = 1, 1
	}
	var a float64
	switch {
	case ay == 0:
		a = 0
	case ay <= ax:
		a = atan(ay, ax)
	default:
		a = math.Pi/2 - atan(ax, ay)
	}
	if math.Signbit(x) {
		a = math.Pi - a
	}
	return math.Copysign(a, y)
}

// Atan returns the arc tangent in radians.
func Atan(x float64) float64 { return Atan2(x, 1) }

// Acos returns the arc cosine in radians; outside -1..1 there is none.
func Acos(x float64) float64 { return Atan2(beside(x), x) }

// Asin returns the arc sine in radians; outside -1..1 there is none.
func Asin(x float64) float64 { return Atan2(x, beside(x)) }

// beside is the other leg of a right triangle with a leg x and the hypotenuse 1.
func beside(x float64) float64 { return math.Sqrt((1 - x) * (1 + x)) }
