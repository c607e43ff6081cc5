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

// smallestProduct is a size above which a product's rounding error, some 2^53
// times smaller, is still a normal number.
const smallestProduct = 1e-280

// orientation returns +1 where a, b, c turn counter-clockwise, -1 where they
// turn clockwise and 0 where they lie on one line, exactly. Products of the
// coordinates must not overflow.
func orientation(a, b, c orb.Point) int {
	ax, ay, bx, by := a[0]-c[0], a[1]-c[1], b[0]-c[0], b[1]-c[1]
	left, right := float64(ax*by), float64(ay*bx)
	det := left - right
	if limit := float64(orientError * (math.Abs(left) + math.Abs(right))); det > limit {
		return 1
	} else if det < -limit {
		return -1
	}
	return closeOrientation(a, b, c)
}

// closeOrientation decides what rounding could have decided wrongly.
func closeOrientation(a, b, c orb.Point) int {
	ax, ay, bx, by := a[0]-c[0], a[1]-c[1], b[0]-c[0], b[1]-c[1]
	if (ax == 0 || by == 0) && (ay == 0 || bx == 0) {
		return 0 // a difference is zero only between equal numbers
	}
	if lost(a[0], c[0], ax) || lost(a[1], c[1], ay) || lost(b[0], c[0], bx) || lost(b[1], c[1], by) {
		return exactOrientation(a, b, c)
	}
	// The differences are exact; each product is the sum of two numbers.
	left, right := float64(ax*by), float64(ay*bx)
	leftTail, rightTail := math.FMA(ax, by, -left), math.FMA(ay, bx, -right)
	if left == right && math.Abs(left) > smallestProduct {
		return compareFloats(leftTail, rightTail)
	}
	return exactOrientation(a, b, c)
}

// lost reports whether d, the rounded difference of a and b, is not exact
// (Knuth's two-sum; from memory).
func lost(a, b, d float64) bool {
	fromB := a - d
	fromA := d + fromB
	return (a-fromA)+(fromB-b) != 0
}

// exactOrientation decides by rational arithmetic.
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
