package nest

import "plyroom/shapes"

// A Layout is an arrangement of plies on one length of one or more fabrics
// cut in one pass.
type Layout struct {
	// ID is L1, L2, … in the order of the record.
	ID string `json:"id"`
	// CutOn is the day it was cut; empty for what is still to be cut, or where
	// nobody knows.
	CutOn shapes.Date `json:"cut_on,omitempty"`
	// Layers are the fabrics on the table, 1 at the bottom.
	Layers []Layer `json:"layers"`
	// Usable is the rectangle plies may lie in: lower left and upper right.
	Usable [2]Point `json:"usable"`
	// Length is what is cut from the roll, both end allowances included, mm.
	Length float64 `json:"length"`
	// Width is the whole width on the table, mm.
	Width float64 `json:"width"`
	// BoundLength is a length, both end allowances included, that no
	// arrangement of these plies could beat, mm.
	BoundLength float64 `json:"bound_length"`
	// Flaws are stretches of x that are not used, in this layout's
	// coordinates.
	Flaws []Flaw `json:"flaws,omitempty"`
	// RollEnd is the length left on the roll behind this layout that is too
	// short to keep, mm; 0 where the rest goes back on the rack.
	RollEnd float64 `json:"roll_end,omitempty"`
	// Placed are the plies, each once per layer.
	Placed []Placed `json:"placed"`
}

// A Flaw is a stretch of a layout where nothing may lie.
type Flaw struct {
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

// A Layer is one fabric on the table.
type Layer struct {
	// Layer counts from 1 at the bottom.
	Layer  int    `json:"layer"`
	Fabric string `json:"fabric"`
	// Roll and Lot are empty where no roll is named.
	Roll string `json:"roll"`
	Lot  string `json:"lot"`
	// RollFrom is where the layout begins on the roll, mm from the free end.
	RollFrom float64 `json:"roll_from"`
	// Face is "up" or "down" as the fabric lies on the table.
	Face string `json:"face"`
	// RollEnd is Layout.RollEnd for this layer's roll alone, mm. Layouts of
	// several layers use it, since their rolls end apart.
	RollEnd float64 `json:"roll_end,omitempty"`
	// Skipped is the length of the roll before this layout that is passed over,
	// mm: what lies before a flaw and is too short for any ply, and the flaw.
	Skipped float64 `json:"skipped,omitempty"`
}

// Draws is the length of a layer's roll that a layout uses up, mm: its own, what
// is passed over before it, and a rest behind it that is too short to keep.
func (l *Layout) Draws(layer *Layer) float64 {
	return layer.Skipped + l.Length + l.RollEnd + layer.RollEnd
}

// A Placed is one piece in its final position.
type Placed struct {
	Part   string `json:"part"`
	Unit   int    `json:"unit"`
	Ply    string `json:"ply"`
	Order  int    `json:"order"`
	Copy   int    `json:"copy"`
	Layer  int    `json:"layer"`
	Fabric string `json:"fabric"`
	// RotationDeg is in [-180, 180), about the shape's origin, after any
	// mirroring.
	RotationDeg float64 `json:"rotation_deg"`
	// TurnedOver says that the piece is cut face down and must be turned over
	// before it is laid.
	TurnedOver   bool `json:"turned_over"`
	OppositeHand bool `json:"opposite_hand"`
	// X and Y are where the shape's origin lies.
	X float64 `json:"x"`
	Y float64 `json:"y"`
	// LaidDeg is the warp's angle as laid, in (-90, 90] where the fabric
	// repeats every 180°; DeviationDeg is laid minus the nearest equivalent of
	// what was asked.
	LaidDeg      float64 `json:"laid_deg"`
	DeviationDeg float64 `json:"deviation_deg"`
	// Outline and Holes are the cut lines in layout coordinates.
	Outline Ring   `json:"outline"`
	Holes   []Ring `json:"holes"`
}

// Key identifies the piece placed.
func (p *Placed) Key() Key { return Key{p.Part, p.Unit, p.Ply, p.Copy} }
