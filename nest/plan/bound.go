package plan

import (
	"math"

	"plyroom/nest/demand"
)

// lengthBound bounds the length of a strip of the widest roll for so many of
// each kind.
func (w *fabricWork) lengthBound(counts map[int]int, gap float64) float64 {
	area, longest := 0.0, 0.0
	for i, k := range w.kinds {
		if n := counts[i]; n > 0 {
			s := w.shapes[k.Shape]
			area += float64(n) * polygonArea(s.Cut)
			longest = math.Max(longest, demand.LeastAlong(demand.Extents(orbRing(s.Cut.Outline), k.Turns), w.strip.width))
		}
	}
	return math.Max(area/w.strip.width, longest)
}
