package polish

import "github.com/paulmach/orb"

// Options adjust Compact and Separate. The zero value is ready to use.
type Options struct {
	// Gap is the least distance between any two pieces, in the unit of the
	// coordinates. It does not apply towards the strip's edges or obstacles.
	Gap float64
	// Fixed marks pieces that stay where they are; nil means none.
	Fixed []bool
	// Turn says how far each piece may be turned from the orientation it has;
	// nil means not at all. See Result.Turned.
	Turn []Turn
	// Reach is how far a piece may move in x and in y in one step, in the unit
	// of the coordinates. A longer reach lets pieces slide further in one
	// linear program, which grows with it. 0 means a fifth of the pieces'
	// mean diameter.
	Reach float64
	// Window is the greatest number of pieces that one linear program moves.
	// Longer layouts are polished window by window, without turning pieces and
	// a little less thoroughly, in time that grows with their length. 0 means
	// 200.
	Window int
	// MaxSteps limits the number of linear programs; 0 means 1000, or ten for
	// each piece if that is more.
	MaxSteps int
	// MinGain is the gain in length, relative to the length, below which a step
	// counts as none. 0 means 1e-7.
	MinGain float64
}

// Turn is the interval of angles in degrees, counter-clockwise, by which a piece
// may be turned. From is at most 0, To at least 0.
type Turn struct{ From, To float64 }

// Status says how polishing ended.
type Status int

const (
	// Converged: no relation between neighbours could be changed for a gain.
	Converged Status = iota
	// Limited: the greatest number of steps was reached.
	Limited
	// Cancelled: the context ended first. The result is the best so far.
	Cancelled
)

// String returns the status in one lower-case word.
func (s Status) String() string {
	switch s {
	case Converged:
		return "converged"
	case Limited:
		return "limited"
	case Cancelled:
		return "cancelled"
	}
	return "unknown"
}

// A Result is a layout after polishing.
type Result struct {
	// At are the pieces' positions, in the order they were given.
	At []orb.Point
	// Turned is by how many degrees, counter-clockwise about its origin, each
	// piece was turned before it was moved to its position; nil if none was
	// allowed to turn. See Shape.Turned.
	Turned []float64
	// Length is the greatest x of any piece.
	Length float64
	// Overlap is the deepest that two pieces still overlap, or come nearer than
	// the gap, or that a piece lies outside the strip. It is measured between
	// the convex parts of the pieces, in the unit of the coordinates. Rounding
	// alone leaves some 1e-13 of the largest coordinate.
	Overlap float64
	// Valid is whether Overlap is but rounding and Length is within the
	// strip's greatest length, or for Separate within the one asked for.
	Valid bool
	// Status is how polishing ended.
	Status Status
	// Steps counts the linear programs solved.
	Steps int
}
