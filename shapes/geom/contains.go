package geom

import (
	"math"

	"github.com/paulmach/orb"
)

// A Position says where a point lies relative to a ring or polygon.
type Position int

// Outside is off the material, OnBoundary exactly on an edge or vertex, Inside
// in the material.
const (
	Outside Position = iota
	OnBoundary
	Inside
)

// String names the position in lower case.
func (p Position) String() string {
	return [...]string{"outside", "on the boundary", "inside"}[p]
}

// Contains says where p lies relative to a ring, open or closed, in either
// direction. The answer is exact: no tolerance is used. For a ring that
// crosses itself, inside means an odd number of crossings.
func Contains(r orb.Ring, p orb.Point) Position {
	in := false
	for i := range r {
		j := i + 1
		if j == len(r) {
			j = 0
		}
		a, b := r[i], r[j]
		if a == p {
			return OnBoundary
		}
		if a[1] > b[1] {
			a, b = b, a
		}
		if p[1] < a[1] || p[1] > b[1] {
			continue
		}
		if a[1] == b[1] {
			if p[0] >= math.Min(a[0], b[0]) && p[0] <= math.Max(a[0], b[0]) {
				return OnBoundary
			}
			continue
		}
		if p[0] > a[0] && p[0] > b[0] {
			continue
		}
		side := Orient(a, b, p)
		if side == 0 {
			return OnBoundary
		}
		// Half-open in y, so that a vertex counts for one of its edges.
		if side > 0 && p[1] != b[1] {
			in = !in
		}
	}
	if in {
		return Inside
	}
	return Outside
}

// PointInPolygon says where p lies relative to an exterior with cut-outs.
func PointInPolygon(exterior orb.Ring, holes []orb.Ring, p orb.Point) Position {
	at := Contains(exterior, p)
	if at != Inside {
		return at
	}
	for _, h := range holes {
		switch Contains(h, p) {
		case OnBoundary:
			return OnBoundary
		case Inside:
			return Outside
		}
	}
	return Inside
}
