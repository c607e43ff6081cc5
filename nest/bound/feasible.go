package bound

import (
	"math"
	"slices"
)

// A function is a dual feasible function: non-negative shares that sum to at
// most 1 have values that sum to at most 1. Every one here is superadditive as
// well: f(a)+f(b) <= f(a+b).
type function interface {
	// value is f, taken at the lower side of a jump.
	value(share float64) float64
	// area is the integral of f from 0 to share.
	area(share float64) float64
	// mean is no more than the average of f between two shares.
	mean(a, b float64) float64
}

// jump is how near to a jump of a function a share may come by rounding.
const jump = 1e-9

// mean is the average of a function between two shares, by its integral;
// shares that hardly differ take the value a little below the lower one.
func mean(f function, a, b float64) float64 {
	lo, hi := math.Min(a, b), math.Max(a, b)
	if hi-lo < 1e-4 {
		return f.value(lo - jump)
	}
	// The integrals are sums of a few terms below 1, so their difference is
	// off by less than 1e-13, and the quotient by less than jump.
	return math.Max(0, (f.area(hi)-f.area(lo))/(hi-lo)-jump)
}

// staircase rounds shares down to multiples of 1/k after multiplying by k+1:
// f(s) = floor((k+1)s)/k. Where (k+1)s is no integer this is the function u of
// Fekete and Schepers (2001): of shares that sum to at most 1, multiplied by
// k+1 and rounded down, the sum is at most k+1, and k+1 is reached only where
// no rounding took place, that is at integers alone, where value is taken one
// step lower. Rounding down is superadditive.
type staircase struct{ k float64 }

func (f staircase) value(s float64) float64 {
	return math.Max(0, math.Ceil((f.k+1)*s)-1) / f.k
}

func (f staircase) area(s float64) float64 {
	m := math.Floor((f.k + 1) * s)
	if m <= 0 {
		return 0
	}
	return (float64(m*s) - m*(m+1)/(2*(f.k+1))) / f.k
}

func (f staircase) mean(a, b float64) float64 { return mean(f, a, b) }

// cutoff ignores shares below e and takes shares above 1-e for 1, e at most
// 1/2: beside one above 1-e only shares below e have room. It is superadditive:
// where a share is above 1-e the other is below e and counts 0.
type cutoff struct{ e float64 }

func (f cutoff) value(s float64) float64 {
	switch {
	case s < f.e:
		return 0
	case s <= 1-f.e:
		return s
	}
	return 1
}

func (f cutoff) area(s float64) float64 {
	switch {
	case s < f.e:
		return 0
	case s <= 1-f.e:
		return (float64(s*s) - float64(f.e*f.e)) / 2
	}
	return (float64((1-f.e)*(1-f.e))-float64(f.e*f.e))/2 + s - (1 - f.e)
}

func (f cutoff) mean(a, b float64) float64 { return mean(f, a, b) }

// stairs and cutoffs bound how many functions are tried.
const (
	stairs  = 12
	cutoffs = 40
)

// functions lists the functions worth trying: all small staircases, and a
// cutoff just below each of the largest chords of the pieces and just below
// what each leaves of the width.
func functions(largest []float64) []function {
	var out []function
	for k := 1; k <= stairs; k++ {
		out = append(out, staircase{float64(k)})
	}
	var es []float64
	for _, s := range largest {
		for _, e := range []float64{s, 1 - s} {
			// A hair more lets a chord of exactly 1-e count as above it.
			if e += 4 * jump; e > 0 && e <= 0.5 {
				es = append(es, e)
			}
		}
	}
	slices.Sort(es)
	es = slices.CompactFunc(es, func(a, b float64) bool { return b-a < 1e-7 })
	step := 1
	if len(es) > cutoffs {
		step = (len(es) + cutoffs - 1) / cutoffs
	}
	for i := 0; i < len(es); i += step {
		out = append(out, cutoff{es[i]})
	}
	return append(out, cutoff{0.5})
}
