package study

import "math"

// quantileT is the value that Student's t with so many degrees of freedom
// stays below with probability p, for p from a half to 1.
func quantileT(p, free float64) float64 {
	lo, hi := 0.0, 1.0
	for cumulativeT(hi, free) < p {
		if hi *= 2; hi > 1e12 {
			return hi
		}
	}
	for range 200 {
		mid := (lo + hi) / 2
		if cumulativeT(mid, free) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// cumulativeT is the probability that t stays below x >= 0.
func cumulativeT(x, free float64) float64 {
	return 1 - betaShare(free/2, 0.5, free/(free+float64(x*x)))/2
}

// betaShare is the regularised incomplete beta function, by its continued
// fraction.
func betaShare(a, b, x float64) float64 {
	if x <= 0 {
		return 0
	}
	if x >= 1 {
		return 1
	}
	if x > (a+1)/(a+b+2) {
		return 1 - betaShare(b, a, 1-x)
	}
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	front := math.Exp(lab-la-lb+float64(a*math.Log(x))+float64(b*math.Log1p(-x))) / a
	// The fraction is worked from its far end; two hundred steps are more than
	// any degrees of freedom a study has need.
	f := 1.0
	for m := 200; m >= 1; m-- {
		k := float64(m)
		odd := -(a + k - 1) * (a + b + k - 1) * x / ((a + 2*k - 2) * (a + 2*k - 1))
		even := k * (b - k) * x / ((a + 2*k - 1) * (a + 2*k))
		f = 1 + odd/(1+even/f)
	}
	return front / f
}
