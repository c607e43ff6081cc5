package polish

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"
)

// orientError bounds the rounding error of orientation's determinant, relative
// to the sum of the two products' sizes: each difference and product is off by
// at most one part in 2^53, the final subtraction by another; (3 + 16u)u with
// u = 2^-53 (Shewchuk, "Adaptive precision floating-point arithmetic and fast
// robust geometric predicates", 1997; from memory).
const orientError = 3.3306690738754716e-16

// orientation returns +1 where a, b, c turn counter-clockwise, -1 where they
// turn clockwise and 0 where they lie on one line, exactly.
func orientation(a, b, c orb.Point) int {
	left := float64((a[0] - c[0]) * (b[1] - c[1]))
	right := float64((a[1] - c[1]) * (b[0] - c[0]))
	det := left - right
	if limit := float64(orientError * (math.Abs(left) + math.Abs(right))); det > limit {
		return 1
	} else if det < -limit {
		return -1
	}
	return exactOrientation(a, b, c)
}

func exactOrientation(a, b, c orb.Point) int {
	sub := func(x, y float64) *big.Rat {
		var p, q big.Rat
		return p.SetFloat64(x).Sub(&p, q.SetFloat64(y))
	}
	left := sub(a[0], c[0])
	left.Mul(left, sub(b[1], c[1]))
	right := sub(a[1], c[1])
	right.Mul(right, sub(b[0], c[0]))
	return left.Cmp(right)
}

// inTriangle reports whether p lies in the counter-clockwise triangle a, b, c
// or on its boundary.
func inTriangle(p, a, b, c orb.Point) bool {
	return orientation(a, b, p) >= 0 && orientation(b, c, p) >= 0 && orientation(c, a, p) >= 0
}
