package pack

import "fmt"

// Settings steer Solve. The zero value searches until the context ends, on one
// worker.
type Settings struct {
	// Effort is the amount of work: one unit is about a thousand moves of one
	// ply. With Effort above 0 the result depends on the problem, the seed
	// and the effort alone, whatever the machine's load and number of
	// processors. 0 means to search until the context ends.
	Effort int
	// Seed chooses one of many equally valid searches.
	Seed uint64
	// Workers is how many goroutines search; 0 means 1. With Effort above 0
	// it changes the time taken, not the result.
	Workers int
	// NoPolish leaves out the exact finish. Meant for measuring.
	NoPolish bool
	// Cache, where given, keeps prepared outlines for later calls. It does not
	// change the result.
	Cache *Cache
	// Start, where given, is a layout of all pieces to begin with, if it is
	// shorter than the one constructed. What is no layout of the problem is
	// passed over.
	Start []Placement
	// Still lays plies that may turn as if they could not: at the middle of a
	// narrow interval of rotations, in steps of a quarter turn where it is wide.
	// Much more is tried in the same time, and a later call may begin with what
	// comes out. Where not all fit so, it is of no effect.
	Still bool
}

// Progress is what Solve tells while it runs.
type Progress struct {
	// Length is the shortest complete layout so far, in the problem's unit;
	// 0 while there is none.
	Length float64
	// Density is the share, 0 to 1, of Width × Length that plies cover.
	Density float64
	// Bound is a length no layout can beat; 0 with the first layout, before
	// it is worked out.
	Bound float64
	// Iteration counts the finished attempts at a shorter strip.
	Iteration int
	// Phase is "construct", "start", "explore", "compress" or "finish".
	Phase string
}

// Result is the best layout found.
type Result struct {
	// Placements holds one entry per copy laid, ordered by Piece and Copy.
	Placements []Placement
	// Length is the largest x any placed piece reaches; 0 without pieces.
	Length float64
	// Bound is a proved lower bound of Length for a complete layout; 0 where
	// the context ended before it was worked out.
	Bound float64
	// Unplaced lists the pieces of which copies are missing; empty when the
	// layout is complete.
	Unplaced []Unplaced
	// Status says why the search stopped.
	Status Status
}

// Unplaced says that Count copies of a piece found no room.
type Unplaced struct {
	Piece, Count int
}

// Status is why Solve stopped.
type Status int

const (
	// StatusUnknown is the zero value; Solve never returns it without error.
	StatusUnknown Status = iota
	// EffortSpent means that the stated amount of work is done.
	EffortSpent
	// ContextEnded means that time was up or the caller cancelled.
	ContextEnded
	// Optimal means that the layout is as short as the proved bound.
	Optimal
	// Partial means that there is no room for all pieces within MaxLength, or
	// that none was found; Result.Unplaced says what is missing.
	Partial
	// Trivial means that there was nothing to search: no plies.
	Trivial
)

// Early tells whether the search ended before it had done all it was asked.
func (s Status) Early() bool { return s == ContextEnded }

// String names the status in lower case.
func (s Status) String() string {
	switch s {
	case EffortSpent:
		return "effort spent"
	case ContextEnded:
		return "context ended"
	case Optimal:
		return "proved optimal"
	case Partial:
		return "not all pieces laid"
	case Trivial:
		return "nothing to lay"
	}
	return fmt.Sprintf("status %d", int(s))
}
