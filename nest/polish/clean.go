package polish

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// ErrShape is wrapped by the errors for outlines that are no simple polygon
// with an area.
var ErrShape = errors.New("not a simple polygon")

// largestCoordinate keeps products of coordinates far from overflow.
const largestCoordinate = 1e15

// cleanRing returns the ring open, in the given direction, without repeated
// vertices, vertices within a straight edge, and spikes of no width. None of
// this changes the area it encloses. It returns nil for a ring without area.
func cleanRing(ring orb.Ring, clockwise bool) ([]orb.Point, error) {
	pts := make([]orb.Point, 0, len(ring))
	for i, p := range ring {
		// Written so that NaN fails as well.
		if !(math.Abs(p[0]) <= largestCoordinate && math.Abs(p[1]) <= largestCoordinate) {
			return nil, fmt.Errorf("%w: vertex %d is (%v, %v)", ErrShape, i, p[0], p[1])
		}
		pts = append(pts, orb.Point{p[0] + 0, p[1] + 0}) // -0 + 0 is 0
	}
	for kept := 0; kept < len(pts); {
		// kept counts the vertices looked at since the last was dropped.
		n := len(pts)
		if n < 3 {
			return nil, nil
		}
		prev, p, next := pts[n-1], pts[0], pts[1]
		if p == prev || orientation(prev, p, next) == 0 {
			pts = pts[1:]
			// The vertex before may be superfluous now.
			pts = append([]orb.Point{pts[n-2]}, pts[:n-2]...)
			kept = 0
			continue
		}
		pts = append(pts[1:], p)
		kept++
	}
	area := ringArea(pts)
	if area == 0 {
		return nil, fmt.Errorf("%w: its area is zero", ErrShape)
	}
	if area > 0 == clockwise {
		slices.Reverse(pts)
	}
	return pts, nil
}

// ringArea returns the signed area of an open ring, positive when it is
// counter-clockwise.
func ringArea(pts []orb.Point) float64 {
	sum := 0.0
	for i := 2; i < len(pts); i++ {
		ax, ay := pts[i-1][0]-pts[0][0], pts[i-1][1]-pts[0][1]
		bx, by := pts[i][0]-pts[0][0], pts[i][1]-pts[0][1]
		sum += float64(ax*by) - float64(ay*bx)
	}
	return sum / 2
}
