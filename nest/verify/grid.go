package verify

import (
	"math"
	"math/bits"

	"plyroom/nest"
)

// unitsPerMM is how many lattice units make a millimetre.
const unitsPerMM = 1e6

// A point is a vertex on the lattice, in units of Grid.
type point struct{ x, y int64 }

// snapLength rounds millimetres to the lattice. For |v| ≤ MaxCoordinate the
// product is off by less than a quarter unit, so a figure written with six
// decimals comes back as the integer it stands for.
func snapLength(v float64) int64 { return int64(math.Round(v * unitsPerMM)) }

func snapPoint(p nest.Point) point { return point{snapLength(p[0]), snapLength(p[1])} }

func (p point) mm() nest.Point {
	return nest.Point{float64(p.x) / unitsPerMM, float64(p.y) / unitsPerMM}
}

// sub returns p - q as a vector; exact.
func (p point) sub(q point) point { return point{p.x - q.x, p.y - q.y} }

// length of a vector. The components are exact as float64.
func (p point) length() float64 { return math.Hypot(float64(p.x), float64(p.y)) }

// inRange reports whether v is a finite coordinate the lattice can hold.
func inRange(v float64) bool { return math.Abs(v) <= MaxCoordinate }

// A wide is a signed 128-bit integer in two's complement.
type wide struct {
	hi int64
	lo uint64
}

// mul returns a·b; exact.
func mul(a, b int64) wide {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	h := int64(hi)
	// Mul64 is unsigned: a negative factor was read as itself plus 2⁶⁴.
	if a < 0 {
		h -= b
	}
	if b < 0 {
		h -= a
	}
	return wide{h, lo}
}

// plus returns a + b.
func (a wide) plus(b wide) wide {
	lo, carry := bits.Add64(a.lo, b.lo, 0)
	return wide{a.hi + b.hi + int64(carry), lo}
}

// minus returns a - b.
func (a wide) minus(b wide) wide {
	lo, borrow := bits.Sub64(a.lo, b.lo, 0)
	return wide{a.hi - b.hi - int64(borrow), lo}
}

// sign is -1, 0 or 1.
func (a wide) sign() int {
	switch {
	case a.hi < 0:
		return -1
	case a.hi == 0 && a.lo == 0:
		return 0
	}
	return 1
}

// float is the nearest float64 but for one rounding more.
func (a wide) float() float64 {
	if a.hi < 0 {
		return -wide{}.minus(a).float()
	}
	return float64(float64(a.hi)*(1<<64)) + float64(a.lo)
}

// cross returns the cross product of two vectors; exact.
func cross(u, v point) wide { return mul(u.x, v.y).minus(mul(u.y, v.x)) }

// dot returns the dot product of two vectors; exact.
func dot(u, v point) wide { return mul(u.x, v.x).plus(mul(u.y, v.y)) }

// side tells on which side of the line a→b the point p lies: 1 left, -1
// right, 0 on it; exact.
func side(a, b, p point) int { return cross(b.sub(a), p.sub(a)).sign() }
