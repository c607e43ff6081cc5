package kit

import (
	"fmt"

	"plyroom/nest"
	"plyroom/shapes"
)

// A Kit is everything cut for one unit of one part.
type Kit struct {
	// Number counts the kits of the record from 1; Of is how many there are.
	Number, Of int
	Job        string
	// Revision is the job's; PartRevision is the part's drawing revision, or
	// the job's where the part has none of its own.
	Revision, PartRevision string
	Part                   string
	// Unit counts from 1 to Units.
	Unit, Units int
	// Lines are in lay-up order: by order, then ply, then copy.
	Lines []Line
	// Bags are in the order the laminator opens them.
	Bags   []Bag
	Totals Totals
	// Plan is nil where the job has no laminator's figures or the kit needs
	// no resin.
	Plan *Plan
	// Minutes is how long the whole kit takes to lay at the crew's pace; 0
	// where the job states none.
	Minutes float64
	// Life is what its prepreg has left, the least of its rolls; nil where it
	// has none.
	Life *Life
}

// Serial names the unit among its like: "unit 1 of 2".
func (k *Kit) Serial() string { return fmt.Sprintf("unit %d of %d", k.Unit, k.Units) }

// Title names the kit in messages and file names: "Upper shell, unit 1 of 2".
func (k *Kit) Title() string { return k.Part + ", " + k.Serial() }

// Short returns the lines that have no ply cut for them.
func (k *Kit) Short() []*Line {
	var out []*Line
	for i := range k.Lines {
		if k.Lines[i].Place == nil {
			out = append(out, &k.Lines[i])
		}
	}
	return out
}

// A Size is a bounding box along the datum, mm.
type Size struct {
	// X is along the datum axis, Y across it.
	X, Y float64
}

// A Line is one piece of a kit.
type Line struct {
	// Number counts the lines of the kit from 1.
	Number int
	// Demand is what was asked for.
	Demand nest.Demand
	// Fabric and Shape are those of the record.
	Fabric *shapes.Fabric
	Shape  *nest.Shape
	// Place says where the piece lies; nil where the record has none, so that
	// the kit is short of it.
	Place *Place
	// AskedDeg is the warp's angle as laid that the job asks for, change of
	// hand included, in (-90, 90]. It means nothing where the fabric is
	// Directionless.
	AskedDeg float64
	// Net is the size as drawn, Cut the size as cut.
	Net, Cut Size
	// NetArea and CutArea are less cut-outs, mm².
	NetArea, CutArea float64
	// Fibres are the straight fibre directions as laid, tool side first; empty
	// where there are none.
	Fibres []shapes.FabricLayer
	// Laminate is nil for what has no fibre.
	Laminate *Laminate
	Packing  Packing
	// Bag counts the kit's bags from 1; BagLabel is what people call it.
	Bag int
	// bagTaken says that the bag has no name and another is named as its number.
	bagTaken bool
	// Set is the wet set, from 1; 0 where the kit has none.
	Set int
	// Life is what the piece inherits from its roll; nil where its fabric has
	// no out-life.
	Life *Life
}

// A Place says where a piece lies and what it is cut from.
type Place struct {
	// Layout is the layout's ID, Layer counts from 1 at the bottom, of Layers.
	Layout string
	// LayoutIndex is where the layout stands in the record, from 0; a ply that
	// was cut again stands behind all of them.
	LayoutIndex   int
	Layer, Layers int
	// Position is the place in the order off the table, from 1 in each layout.
	// Pieces cut in one pass from several layers share a position.
	Position int
	// Roll and Lot are empty where no roll is named.
	Roll, Lot string
	// RollFrom is where the layout begins on the roll, mm.
	RollFrom float64
	// CutAgain says that the ply was cut again, alone, after it was spoiled:
	// Layout is then the name of the recut.
	CutAgain bool
	// Placed is the record's entry.
	Placed *nest.Placed
	// face is "up" or "down" as the fabric lies on the table.
	face string
	// fabric has the roll of a ply that was cut again; nil for the record's.
	fabric *shapes.Fabric
}

// Before reports whether a piece comes off the table before another: layout by
// layout, position by position, the upper layer first.
func (p *Place) Before(q *Place) bool {
	if p.LayoutIndex != q.LayoutIndex {
		return p.LayoutIndex < q.LayoutIndex
	}
	if p.Position != q.Position {
		return p.Position < q.Position
	}
	return p.Layer > q.Layer
}

// Directionless reports whether every angle of the piece is as good as
// another.
func (l *Line) Directionless() bool { return l.Fabric.Construction.Directionless() }

// LaidDeg is the warp's angle as the piece will lie: the placed angle, or the
// asked one where nothing is placed.
func (l *Line) LaidDeg() float64 {
	if l.Place == nil {
		return l.AskedDeg
	}
	return l.Place.Placed.LaidDeg
}

// Words for the hand of a piece.
const (
	AsDrawn      = "AS DRAWN"
	OppositeHand = "OPPOSITE HAND"
)

// Hand says in words whether the piece is mirrored about the datum axis.
func (l *Line) Hand() string {
	if l.Demand.OppositeHand {
		return OppositeHand
	}
	return AsDrawn
}

// Words for the face of a piece as it comes off the table.
const (
	FaceUp   = "FACE UP"
	TurnOver = "TURN OVER"
)

// Face says in words how a piece goes from the table to the tool: FACE UP is
// laid with the side up that was up on the table, TURN OVER with that side
// towards the tool. It is empty where the piece is short.
func (l *Line) Face() string {
	switch {
	case l.Place == nil:
		return ""
	case l.Place.Placed.TurnedOver:
		return TurnOver
	}
	return FaceUp
}

// Totals sums up the lines of a kit.
type Totals struct {
	// Pieces is how many lines there are, Short how many of them lack a piece.
	Pieces, Short int
	// NetArea and CutArea are mm².
	NetArea, CutArea float64
	// Fibre, Resin and Mass are kg; Mass is fibre and resin together. Resin is
	// what stays in the laminate.
	Fibre, Resin, Mass float64
	// Thickness is that of all orders one on another, mm: where pieces share
	// an order they lie side by side, and the thickest counts.
	Thickness float64
}

func totals(lines []Line) Totals {
	t := Totals{Pieces: len(lines), Thickness: thickness(lines)}
	for i := range lines {
		l := &lines[i]
		if l.Place == nil {
			t.Short++
		}
		t.NetArea += l.NetArea
		t.CutArea += l.CutArea
		if m := l.Laminate; m != nil {
			t.Fibre += m.Fibre
			t.Resin += m.Resin
			t.Mass += m.Mass
		}
	}
	return t
}

// thickness is that of all orders one on another, mm, the thickest piece of
// each.
func thickness(lines []Line) float64 {
	sum, thick := 0.0, 0.0
	for i := range lines {
		if i > 0 && lines[i].Demand.Order != lines[i-1].Demand.Order {
			sum, thick = sum+thick, 0
		}
		if m := lines[i].Laminate; m != nil {
			thick = max(thick, m.Thickness)
		}
	}
	return sum + thick
}
