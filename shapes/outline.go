package shapes

import "github.com/paulmach/orb"

// An Outline is one net shape read from a drawing.
type Outline struct {
	// Name is how the job refers to it.
	Name string
	// Exterior is the boundary, open, counter-clockwise. Curves are flattened
	// so that the polygon contains the true shape.
	Exterior orb.Ring
	// Holes are the cut-outs, open, clockwise, flattened so that the polygon's
	// material contains the true material.
	Holes []orb.Ring
	// Marks are lines, slits, points and texts that belong to the shape.
	Marks []Mark
	// Area is the true area inside the curves less cut-outs, mm².
	Area float64
	// Perimeter is the true length of all cut lines, cut-outs included, mm.
	Perimeter float64
	// Source says where it was drawn: the file name and, where known, the
	// entity handle or element id.
	Source string
}

// MarkKind says what a mark is for.
type MarkKind string

// Kinds of marks.
const (
	// MarkLine is an open line drawn inside the ply: notch, drape line.
	MarkLine MarkKind = "line"
	// MarkDatum is the line that shows the datum axis.
	MarkDatum MarkKind = "datum"
	// MarkSlit is an open line that the knife cuts: slit or dart leg.
	MarkSlit MarkKind = "slit"
	// MarkSeam is the middle of a seam between two panels of one ply.
	MarkSeam MarkKind = "seam"
	// MarkPoint is a single point, such as a locating hole.
	MarkPoint MarkKind = "point"
	// MarkText is writing at a place.
	MarkText MarkKind = "text"
)

// A Mark is something drawn inside an outline that is no boundary.
type Mark struct {
	Kind MarkKind `json:"kind"`
	// Line has two or more vertices for lines and slits, one for points and
	// texts.
	Line orb.LineString `json:"line"`
	// Text is what a text says, or the name of a line where it has one.
	Text string `json:"text,omitempty"`
}
