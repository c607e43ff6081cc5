package polish

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// escapeEdges bounds the edges, nearest first, whose crossings are tried.
const escapeEdges = 240

// escaper finds how two overlapping bodies can be taken apart by the shortest
// move of one. Their parts' sums cover a region, the bodies' no-fit polygon;
// the nearest point out of it lies square from an edge of a sum, or where two
// edges cross. Taking each pair of parts apart by its own shortest way would
// not do: a part that lies deep within the other body would be pushed further
// in.
type escaper struct {
	lines []line
	tries []try
}

// line is the boundary normal·x = least of a half-plane, at a distance from the
// present position.
type line struct {
	normal   orb.Point
	least    float64
	distance float64
}

type try struct {
	at       orb.Point
	distance float64
}

// find returns the point nearest to r, no further than reach in x and y, at
// which all sums are at least the gap away.
func (e *escaper) find(near []nearSum, r orb.Point, gap, tol, reach float64) (orb.Point, bool) {
	e.lines, e.tries = e.lines[:0], e.tries[:0]
	for _, s := range near {
		for k, n := range s.normal {
			least := s.support[k] + gap
			d := least - dot(n, r)
			if math.Abs(d) <= 1.5*reach {
				e.lines = append(e.lines, line{n, least, math.Abs(d)})
			}
		}
	}
	slices.SortStableFunc(e.lines, func(a, b line) int { return compareFloats(a.distance, b.distance) })
	// Parts that share an edge bring its line several times.
	e.lines = slices.CompactFunc(e.lines, func(a, b line) bool { return a == b })
	for _, n := range e.lines {
		e.tries = append(e.tries, try{plus(r, scaled(n.normal, n.least-dot(n.normal, r))), n.distance})
	}
	best, ok := e.first(near, r, gap, tol, reach)
	limit := reach * 2
	if ok {
		limit = norm(minus(best, r))
	}
	e.tries = e.tries[:0]
	lines := e.lines[:min(len(e.lines), escapeEdges)]
	for i, a := range lines {
		if a.distance >= limit {
			break
		}
		for _, b := range lines[:i] {
			det := float64(a.normal[0]*b.normal[1]) - float64(a.normal[1]*b.normal[0])
			if math.Abs(det) < 1e-9 {
				continue
			}
			at := orb.Point{
				(float64(a.least*b.normal[1]) - float64(b.least*a.normal[1])) / det,
				(float64(a.normal[0]*b.least) - float64(b.normal[0]*a.least)) / det,
			}
			if d := norm(minus(at, r)); d < limit {
				e.tries = append(e.tries, try{at, d})
			}
		}
	}
	slices.SortStableFunc(e.tries, func(a, b try) int { return compareFloats(a.distance, b.distance) })
	if crossing, found := e.first(near, r, gap, tol, reach); found {
		return crossing, true
	}
	return best, ok
}

// first returns the first of the tries at which no sum is too near.
func (e *escaper) first(near []nearSum, r orb.Point, gap, tol, reach float64) (orb.Point, bool) {
next:
	for _, t := range e.tries {
		if math.Abs(t.at[0]-r[0]) > reach || math.Abs(t.at[1]-r[1]) > reach {
			continue
		}
		for _, s := range near {
			if apart, _ := s.separation(t.at); apart < gap-float64(10*tol) {
				continue next
			}
		}
		return t.at, true
	}
	return orb.Point{}, false
}

func compareFloats(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	default:
		return 0
	}
}
