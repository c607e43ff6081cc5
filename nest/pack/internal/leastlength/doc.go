// Package leastlength computes lengths that no layout on a strip can beat. Of is
// the greatest of several bounds; each is proved in the comment above it.
//
// The bounds know only what is certain: areas, extents, rectangles that lie
// inside the plies, and where a ply must cross the middle of the strip.
package leastlength

import (
	"math"

	"plyroom/nest/collide"
)

// A Strip is what is to be laid where. All lengths are in one unit.
type Strip struct {
	// Width is the width of the strip; x runs along it from 0.
	Width float64
	// Gap is the least distance between two plies.
	Gap float64
	// Obstacles may not be entered by plies.
	Obstacles []collide.Box
	Plies     []Ply
}

// A Ply is one kind of shape to lay Count times.
type Ply struct {
	Count int
	Shape *collide.Shape
	// Poses are all the orientations allowed; none if the ply may turn.
	Poses []*collide.Body
}

// Of is a proved lower bound of the strip length that holds all plies.
func Of(s *Strip) float64 {
	return math.Max(math.Max(Area(s), Longest(s)), math.Max(Middle(s), Beside(s)))
}
