package polish

import (
	"math"

	"github.com/paulmach/orb"
)

// direction is a way to keep two parts apart: across a line square to normal.
type direction struct {
	normal orb.Point // of length 1
	// support is what normal·r must come to for the parts to be apart.
	support float64
	// apart is how far apart they are along the normal, negative where they
	// overlap.
	apart float64
	edge  int // of the sum, or -1 for the line between two corners
}

// direction returns the direction that keeps the parts best apart at r. Where
// they are apart but nearer than a gap, corner to corner, that is the line
// between the corners.
func (s *sum) direction(r orb.Point, gap float64) direction {
	apart, edge := s.separation(r)
	best := direction{s.normal[edge], s.support[edge], apart, edge}
	if gap <= 0 || apart < 0 || apart >= gap {
		return best
	}
	nearest, corner := math.Inf(1), 0
	for k, v := range s.vertex {
		if d := squaredDistance(r, v); d < nearest {
			nearest, corner = d, k
		}
	}
	n, ok := unit(minus(r, s.vertex[corner]))
	if !ok {
		return best
	}
	high := math.Inf(-1)
	for _, v := range s.vertex {
		high = max(high, dot(n, v))
	}
	if d := dot(n, r) - high; d > apart {
		return direction{n, high, d, -1}
	}
	return best
}

// distance returns how far apart the parts are at r, negative where they
// overlap; exact only where that matters for the gap.
func (s *sum) distance(r orb.Point, gap float64) float64 {
	return s.direction(r, gap).apart
}
