package toolpath

import "github.com/paulmach/orb"

// Op is what the head does in one move.
type Op int

// Operations.
const (
	// Begin opens a cut or, with Cut -1, a label; nothing moves.
	Begin Op = iota
	// Tool takes up tool or pen number Tool, raised.
	Tool
	// Travel goes to To with the knife up.
	Travel
	// Turn turns the raised knife to Heading on the spot.
	Turn
	// Lower lowers the knife.
	Lower
	// Draw goes to To with the knife down, straight or, where Sweep is not 0,
	// along an arc.
	Draw
	// Lift raises the knife.
	Lift
	// Write writes label number Label with a pen.
	Write
	// Advance draws the fabric on by Length mm; what lay at x then lies at x -
	// Length on the table. To stays in layout coordinates.
	Advance
)

// Chords are points along a drawn move, the end last, whose chords stand off it
// by tol at most, mm. For a straight move that is the end.
func (m *Move) Chords(tol float64) orb.LineString {
	return chords(m.To, m.Centre, m.Sweep, tol)
}

// A Move is one step of the head.
type Move struct {
	Op Op
	// To is where Travel and Draw end, in layout coordinates. For a drag knife
	// it is where the holder goes, not the tip.
	To orb.Point
	// Heading is the knife's direction at the end of the move, degrees
	// counter-clockwise from the layout's x axis, in (-180, 180].
	Heading float64
	// Centre and Sweep are those of an arc, as of a Segment.
	Centre orb.Point
	Sweep  float64
	// Cut is the index into Path.Cuts, or -1.
	Cut int
	// Label is the index into Path.Labels where a label is drawn, or -1.
	Label int
	// Tool is the number of the tool in hand.
	Tool int
	// Window is the index of the window at work.
	Window int
	// Length is how far an Advance goes, mm.
	Length float64
}
