package geom

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"
)

// Orient is the exact sign of the turn a, b, c: 1 where c lies to the left of
// the line from a to b, -1 to the right, 0 on it. Coordinates must be finite.
func Orient(a, b, c orb.Point) int {
	// The explicit conversions keep the compiler from fusing multiply and add,
	// on which the error bound relies.
	l := float64((a[0] - c[0]) * (b[1] - c[1]))
	r := float64((a[1] - c[1]) * (b[0] - c[0]))
	det := l - r
	// Error bound (3+16u)u with u = 2^-53, after Shewchuk, Adaptive Precision
	// Floating-Point Arithmetic and Fast Robust Geometric Predicates. The
	// added least normal number covers underflow.
	bound := float64(3.3306690738754716e-16*(math.Abs(l)+math.Abs(r))) + 1e-307
	if det > bound {
		return 1
	}
	if det < -bound {
		return -1
	}
	return orientExact(a, b, c)
}

func orientExact(a, b, c orb.Point) int {
	if a == b || b == c || a == c {
		return 0
	}
	sub := func(x, y float64) *big.Rat {
		p, q := new(big.Rat), new(big.Rat)
		if p.SetFloat64(x) == nil || q.SetFloat64(y) == nil {
			return new(big.Rat)
		}
		return p.Sub(p, q)
	}
	l := sub(a[0], c[0])
	l.Mul(l, sub(b[1], c[1]))
	r := sub(a[1], c[1])
	r.Mul(r, sub(b[0], c[0]))
	return l.Cmp(r)
}
