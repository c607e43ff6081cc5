package polish

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// touching is how deep, relative to its coordinates, an outline may cross itself
// where it is meant to touch itself and rounding came between.
const touching = 1e-13

// A Shape is an outline prepared for polishing, in its final rotation. Prepare
// each distinct shape once and use the same pointer for all pieces that have
// it. A Shape does not change and may be used by several goroutines.
type Shape struct {
	bound orb.Bound
	parts []part
	// reach is the largest absolute coordinate.
	reach float64
}

// A part is a convex polygon, counter-clockwise, without three vertices on one
// line. The parts of a shape cover it exactly: their vertices are vertices of
// the shape.
type part struct {
	pts   []orb.Point
	bound orb.Bound
}

// NewShape prepares a polygon. The rings may be closed or not and run in either
// direction; repeated vertices, vertices within straight edges, spikes and
// holes without area do no harm. A polygon that crosses itself, or is without
// area, is an error that wraps ErrShape.
func NewShape(exterior orb.Ring, holes []orb.Ring) (*Shape, error) {
	outer, err := cleanRing(exterior, false)
	if err != nil {
		return nil, err
	}
	if outer == nil {
		return nil, fmt.Errorf("%w: its area is zero", ErrShape)
	}
	var inner [][]orb.Point
	for i, h := range holes {
		ring, err := cleanRing(h, true)
		if err != nil {
			return nil, fmt.Errorf("hole %d: %w", i, err)
		}
		if ring != nil {
			inner = append(inner, ring)
		}
	}
	tol := float64(touching * largestOf(outer))
	if err := checkSimple(tol, append(inner, outer)...); err != nil {
		return nil, err
	}
	triangles, err := triangulate(outer, inner, tol)
	if err != nil {
		return nil, err
	}
	if len(triangles) == 0 {
		return nil, fmt.Errorf("%w: its holes leave no area", ErrShape)
	}
	parts := mergeConvex(triangles)
	for _, p := range parts {
		if !isConvex(p) {
			return nil, fmt.Errorf("%w: its outline overlaps itself near (%v, %v)", ErrShape, p[0][0], p[0][1])
		}
	}
	return newShape(parts), nil
}

func newShape(parts [][]orb.Point) *Shape {
	s := &Shape{bound: orb.MultiPoint(parts[0]).Bound()}
	for _, pts := range parts {
		b := orb.MultiPoint(pts).Bound()
		s.parts = append(s.parts, part{pts, b})
		s.bound = s.bound.Union(b)
	}
	s.reach = max(math.Abs(s.bound.Min[0]), math.Abs(s.bound.Min[1]),
		math.Abs(s.bound.Max[0]), math.Abs(s.bound.Max[1]))
	return s
}

// boxShape is a rectangle, as obstacles are.
func boxShape(b orb.Bound) *Shape {
	return newShape([][]orb.Point{{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}})
}

// Bound returns the shape's bounding box before it is moved.
func (s *Shape) Bound() orb.Bound { return s.bound }

// largestOf returns the largest absolute coordinate.
func largestOf(pts []orb.Point) float64 {
	size := 0.0
	for _, p := range pts {
		size = max(size, math.Abs(p[0]), math.Abs(p[1]))
	}
	return size
}
