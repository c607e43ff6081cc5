package polish

import (
	"math"

	"github.com/paulmach/orb"
)

// direction returns the unit normal that keeps the parts best apart at r, how
// far apart they are along it, its support, and the edge it belongs to. Where
// the parts are apart but nearer than a gap, corner to corner, the line between
// the corners serves better than either edge; the edge is -1 then.
func (s *sum) direction(r orb.Point, gap float64) (normal orb.Point, apart, support float64, edge int) {
	apart, edge = s.separation(r)
	normal, support = s.normal[edge], s.support[edge]
	if gap <= 0 || apart < 0 || apart >= gap {
		return normal, apart, support, edge
	}
	nearest, corner := math.Inf(1), 0
	for k, v := range s.vertex {
		if d := squaredDistance(r, v); d < nearest {
			nearest, corner = d, k
		}
	}
	n, ok := unit(minus(r, s.vertex[corner]))
	if !ok {
		return normal, apart, support, edge
	}
	high := math.Inf(-1)
	for _, v := range s.vertex {
		high = max(high, dot(n, v))
	}
	if d := dot(n, r) - high; d > apart {
		return n, d, high, -1
	}
	return normal, apart, support, edge
}

// distance returns how far apart the parts are at r, negative where they
// overlap; exact only where that matters for the gap.
func (s *sum) distance(r orb.Point, gap float64) float64 {
	_, apart, _, _ := s.direction(r, gap)
	return apart
}
