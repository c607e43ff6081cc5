package drawing

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
)

// Nodes and weights of the Gauss-Legendre rule of eight points on [-1, 1].
var (
	gaussNode   = [4]float64{0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}
	gaussWeight = [4]float64{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}
)

func gauss(f func(float64) float64, a, b float64) float64 {
	m, h := float64((a+b)/2), float64((b-a)/2)
	var sum float64
	for i, x := range gaussNode {
		sum += float64(gaussWeight[i] * (f(m-float64(h*x)) + f(m+float64(h*x))))
	}
	return float64(sum * h)
}

// integrate is the integral of f from a to b by halving until a halved
// interval adds nothing new, within about 1e-10 of the size of the whole.
func integrate(f func(float64) float64, a, b float64) float64 {
	whole := gauss(f, a, b)
	scale := math.Abs(whole)
	var rec func(a, b, whole float64, depth int) float64
	rec = func(a, b, whole float64, depth int) float64 {
		m := (a + b) / 2
		l, r := gauss(f, a, m), gauss(f, m, b)
		scale = math.Max(scale, math.Abs(l+r))
		if depth == 0 || !(math.Abs(l+r-whole) > 1e-11*scale) {
			return l + r
		}
		return rec(a, m, l, depth-1) + rec(m, b, r, depth-1)
	}
	return rec(a, b, whole, 12)
}

func segmentDistance(a, b, p orb.Point) float64 { return geom.SegmentDistance(a, b, p) }
