package leastlength

import "math"

// Beside bounds the length by which plies can lie beside each other across the
// strip. Replace each ply by a rectangle w × h inside it. The vertical line at x
// meets the rectangles whose stretch along the strip holds x; they lie one above
// the other in a strip of width W, each two a gap g apart, so that the sum of
// h + g is at most W + g there. Let f be a dual feasible function: whenever
// numbers sum to at most 1, so do their images (Johnson 1973; for packing,
// Fekete and Schepers 2001). Then the sum of f((h+g)/(W+g)) over these
// rectangles is at most 1 at every x, and integrating over x from 0 to L gives
//
//	Σ w · f((h+g)/(W+g)) ≤ L.
//
// The rectangle may be chosen anew for every f and every pose; over the poses
// the least must be taken. A ply that may turn holds, however it is turned, the
// square in its largest circle.
//
// For f with threshold e ≤ 1/2: f(x) = 1 where x > 1-e, x between, 0 where
// x < e. It is dual feasible: a number above 1-e leaves room only for numbers
// below e, which count 0; without such a number images do not exceed numbers.
//
// For f with a whole number k ≥ 1: f(x) = x where (k+1)x is whole, else
// floor((k+1)x)/k. It is dual feasible (Fekete and Schepers 2001, theorem 1):
// let S sum to at most 1 and T be those of S for which (k+1)x is not whole.
// If T is empty, images equal numbers. Otherwise (k+1)·(sum of S) =
// (k+1)·(sum outside T) + (sum over T of (k+1)x), and the sum over T of
// floor((k+1)x) is less than (k+1)(1 - s), with s the sum outside T, for which
// (k+1)s is whole; so it is at most (k+1)(1-s) - 1 = k - (k+1)s. Divided by k
// and with s added, the images sum to at most 1 - s/k ≤ 1.
func Beside(s *Strip) float64 {
	options := make([][][]rectangle, len(s.Plies))
	for i, p := range s.Plies {
		for _, b := range p.Poses {
			options[i] = append(options[i], rectanglesIn(b))
		}
		if len(p.Poses) == 0 && len(p.Shape.Poles) > 0 {
			side := p.Shape.Poles[0].R * math.Sqrt2
			options[i] = [][]rectangle{{{side, side}}}
		}
	}
	best := 0.0
	try := func(f func(x float64) float64) {
		sum := 0.0
		for i, p := range s.Plies {
			if p.Count == 0 || len(options[i]) == 0 {
				continue
			}
			least := math.Inf(1)
			for _, pose := range options[i] {
				most := 0.0
				for _, r := range pose {
					most = math.Max(most, r.w*f((r.h+s.Gap)/(s.Width+s.Gap)))
				}
				least = math.Min(least, most)
			}
			sum += float64(p.Count) * least
		}
		best = math.Max(best, sum)
	}
	for k := 1; k <= 8; k++ {
		try(func(x float64) float64 { return rounded(x, float64(k)) })
	}
	for k := 0; k <= 20; k++ {
		e := 0.5 * float64(k) / 20
		try(func(x float64) float64 { return threshold(x, e) })
	}
	// A little less for the rounding of sums.
	return best * (1 - 1e-9)
}

// nearStep is how near to a step of f a number counts as on the side that claims
// less: the rounding of a height over a width.
const nearStep = 1e-9

func threshold(x, e float64) float64 {
	switch {
	case x > 1-e+nearStep:
		return 1
	case x < e+nearStep:
		return 0
	}
	return x
}

func rounded(x, k float64) float64 {
	v := (k + 1) * x
	if n := math.Round(v); math.Abs(v-n) <= nearStep*(k+1) {
		return math.Min(n/(k+1), x)
	}
	return math.Floor(v) / k
}
