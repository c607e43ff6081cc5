package leastlength

import (
	"cmp"
	"math"
	"slices"

	"plyroom/nest/collide"
)

// Area bounds the length by area. Interiors of plies are disjoint and lie in the
// part of [0, L] × [0, Width] that no obstacle covers. So the free area up to L
// is at least the area of all plies; it grows with L, and the least L at which
// it is large enough is the bound.
func Area(s *Strip) float64 {
	need := 0.0
	for _, p := range s.Plies {
		need += float64(p.Count) * p.Shape.Area
	}
	if need == 0 {
		return 0
	}
	// Between neighbouring ends of obstacles the free width is constant.
	ends := []float64{0}
	for _, o := range s.Obstacles {
		ends = append(ends, o.MinX, o.MaxX)
	}
	slices.Sort(ends)
	for k, from := range ends {
		if from < 0 {
			continue
		}
		to := math.Inf(1)
		if k+1 < len(ends) {
			to = ends[k+1]
		}
		if to <= from {
			continue
		}
		free := s.Width
		if !math.IsInf(to, 1) {
			free -= covered(s.Obstacles, from+(to-from)/2, s.Width)
		}
		if free > 0 && need <= free*(to-from) {
			return from + need/free
		}
		need -= free * (to - from)
	}
	return 0 // cannot be: the last stretch has no end
}

// covered is how much of the width obstacles cover at x.
func covered(obstacles []collide.Box, x, width float64) float64 {
	type span struct{ from, to float64 }
	var spans []span
	for _, o := range obstacles {
		if o.MinX < x && x < o.MaxX {
			spans = append(spans, span{math.Max(0, o.MinY), math.Min(width, o.MaxY)})
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	sum, at := 0.0, 0.0
	for _, v := range spans {
		from := math.Max(at, v.from)
		if v.to > from {
			sum += v.to - from
			at = v.to
		}
	}
	return sum
}

// Longest is the greatest of the least extents along the strip: the strip is as
// long as any ply on it. A ply that may turn is as long as its largest inscribed
// circle is wide.
func Longest(s *Strip) float64 {
	longest := 0.0
	for _, p := range s.Plies {
		if p.Count == 0 {
			continue
		}
		least := math.Inf(1)
		for _, b := range p.Poses {
			least = math.Min(least, b.Box.Width())
		}
		if len(p.Poses) == 0 {
			least = 0
			if len(p.Shape.Poles) > 0 {
				least = 2 * p.Shape.Poles[0].R
			}
		}
		longest = math.Max(longest, least)
	}
	return longest
}
