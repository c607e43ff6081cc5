package pack

import "github.com/paulmach/orb"

// A Problem asks for all pieces to be laid in one strip of fabric: x runs along
// the strip from 0, y across it from 0 to Width. Lengths are in any one unit
// (plyroom uses millimetres).
type Problem struct {
	// Pieces are the kinds to lay. Identical plies share one Piece.
	Pieces []Piece
	// Width is the usable width of the strip.
	Width float64
	// MaxLength is the longest x a piece may reach; 0 means unlimited.
	MaxLength float64
	// Gap is the least distance between any two pieces. It does not apply
	// towards the edges of the strip or towards obstacles.
	Gap float64
	// Obstacles are rectangles no piece may enter: flaws, the joint between
	// one roll and the next, the strip a narrower roll lacks. Pieces may
	// touch them.
	Obstacles []orb.Bound
}

// A Piece is one kind of shape to lay Count times.
type Piece struct {
	// Exterior is a simple ring, closed or not, in either direction.
	Exterior orb.Ring
	// Holes are cut-outs of the piece; other pieces may lie in them.
	Holes []orb.Ring
	// Count is how many copies are to be laid.
	Count int
	// Orientations lists what the piece may be turned to; empty means any
	// rotation, not mirrored.
	Orientations []Orientation
}

// An Orientation is an interval of allowed rotations. The piece is mirrored
// first (y to -y) where Mirrored is set, then rotated counter-clockwise about
// its origin by an angle in [From, To] degrees. From equals To for one fixed
// rotation; To - From of 360 or more means any angle.
type Orientation struct {
	Mirrored bool
	From, To float64
}

// A Placement is where one copy of a piece lies: mirrored or not, rotated
// about the piece's own origin, then moved by (X, Y).
type Placement struct {
	Piece, Copy int
	Mirrored    bool
	// Rotation is in degrees, counter-clockwise.
	Rotation float64
	X, Y     float64
}
