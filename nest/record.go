package nest

import (
	"fmt"

	"plyroom/shapes"
)

// Format is the version of the record this package reads and writes.
const Format = 1

// A Record is a whole plan: the demand, the rules it answers, and the layouts
// that meet it. Its JSON form is layouts.json, described by Schema.
type Record struct {
	Format   int    `json:"format"`
	Units    string `json:"units"` // always "mm"
	Job      string `json:"job"`
	Revision string `json:"revision"`
	Currency string `json:"currency,omitempty"`
	// Date is the day the job is cut, where the job or the user says so.
	Date shapes.Date `json:"date,omitempty"`
	// Rules are the cutting rules in force.
	Rules shapes.Cutting `json:"rules"`
	// Laminating holds the laminator's figures; nil where the job has none.
	Laminating *shapes.Laminating `json:"laminating,omitempty"`
	// Fabrics are the fabrics of the job, with rolls and prices.
	Fabrics []shapes.Fabric `json:"fabrics"`
	// Parts are the parts of the job in its order.
	Parts []Part `json:"parts"`
	// Shapes are the distinct outlines, net and as cut.
	Shapes []Shape `json:"shapes"`
	// Demand lists every single piece asked for, each exactly once, by part,
	// unit, order, ply and copy.
	Demand []Demand `json:"demand"`
	// Layouts hold every demanded piece exactly once.
	Layouts []Layout `json:"layouts"`
	// FabricBounds states, per fabric, a length no plan for this demand could
	// beat.
	FabricBounds []FabricBound `json:"fabric_bounds"`
	// SpreadOptions sets the ways to spread that were weighed side by side;
	// empty where nothing could be spread.
	SpreadOptions []SpreadOption `json:"spread_options,omitempty"`
	// Together says what keeping kits together costs; nil where the rules keep
	// none together or nothing was there to compare with.
	Together *Together `json:"together,omitempty"`
	// Divisions say which plies that fit whole were divided to save fabric, and
	// what that saved, by fabric.
	Divisions []Division `json:"divisions,omitempty"`
	// Short lists the kits the stock could not complete, and what each of them
	// lacks: demanded pieces that are in no layout.
	Short []Short `json:"short,omitempty"`
	// Search says how the layouts were found.
	Search Search `json:"search"`
	// Notes are remarks for the reader of the documents.
	Notes []string `json:"notes,omitempty"`
}

// A Part names a part, how often it is made, and its revision.
type Part struct {
	Part     string `json:"part"`
	Units    int    `json:"units"`
	Revision string `json:"revision"`
	// Stops are the planned pauses of the lay-up, in its order.
	Stops []shapes.Stop `json:"stops,omitempty"`
}

// A Point is a position [x, y] in mm.
type Point = [2]float64

// A Ring is an open list of vertices.
type Ring []Point

// A Polygon is an exterior ring and its holes.
type Polygon struct {
	Outline Ring   `json:"outline"`
	Holes   []Ring `json:"holes"`
}

// A Shape is one outline in its own frame: +X is the datum axis, seen looking
// down on the tool, first hand.
type Shape struct {
	// ID is how demand refers to the shape; unique within the record.
	ID string `json:"id"`
	// Name is the outline's name in the drawing.
	Name string `json:"name"`
	// Net is the shape as drawn; Cut is the shape the knife follows, with the
	// trim added. They are equal where trim is 0.
	Net Polygon `json:"net"`
	Cut Polygon `json:"cut"`
	// Trim is what was added all round, mm.
	Trim float64 `json:"trim"`
	// LapArea is the part of Net that doubles the neighbouring panels of a
	// divided ply, half of each lap, mm².
	LapArea float64 `json:"lap_area,omitempty"`
	// Marks lie inside the net shape.
	Marks []shapes.Mark `json:"marks,omitempty"`
	// Source says where it was drawn.
	Source string `json:"source,omitempty"`
}

// A Demand is one piece to be cut.
type Demand struct {
	Part  string `json:"part"`
	Unit  int    `json:"unit"`
	Order int    `json:"order"`
	Ply   string `json:"ply"`
	// Copy counts from 1 where a unit needs the ply more than once.
	Copy   int    `json:"copy"`
	Fabric string `json:"fabric"`
	// Shape is the ID of the shape.
	Shape string `json:"shape"`
	// DirectionDeg is the warp's angle as laid that the job asks for, before
	// any change of hand.
	DirectionDeg float64 `json:"direction_deg"`
	// ToleranceDeg is the ply's whole tolerance, either way.
	ToleranceDeg float64 `json:"tolerance_deg"`
	OppositeHand bool    `json:"opposite_hand"`
	// Panel says which panel of a divided ply this is; nil where the ply is
	// whole.
	Panel *Panel `json:"panel,omitempty"`
	Bag   string `json:"bag,omitempty"`
	Note  string `json:"note,omitempty"`
}

// A Panel says which piece of a ply it is that was divided because it is too
// large for its roll or table, or because that saves fabric.
type Panel struct {
	// Ply is the name of the ply the job lists.
	Ply string `json:"ply"`
	// Number counts from 1 to Of.
	Number int `json:"number"`
	Of     int `json:"of"`
	// Whole is the ID of the shape of the whole ply.
	Whole string `json:"whole"`
	// OnPurpose says that the ply would fit whole and was divided since that
	// saves fabric.
	OnPurpose bool `json:"on_purpose,omitempty"`
	// Joint is how panels meet and Overlap the doubled width, mm.
	Joint   shapes.JointKind `json:"joint"`
	Overlap float64          `json:"overlap"`
	// LeastWidth is the narrowest panel the job allows, and Stagger the least
	// distance from the seams of the ply laid before it from the same outline,
	// mm.
	LeastWidth float64 `json:"least_width,omitempty"`
	Stagger    float64 `json:"stagger,omitempty"`
	// AxisDeg is the direction of the warp in the shape's frame. Seams are the
	// places of seams along it, CrossSeams of seams across it, mm, in the
	// shape's frame turned by -AxisDeg.
	AxisDeg    float64   `json:"axis_deg"`
	Seams      []float64 `json:"seams,omitempty"`
	CrossSeams []float64 `json:"cross_seams,omitempty"`
	// Free lists the stretches of butted seams, by their two ends in the frame
	// of the seams, that run along an edge of the whole ply: a panel lies on
	// one side of them only.
	Free [][2]Point `json:"free,omitempty"`
}

// Key identifies a piece in messages and look-ups.
func (d Demand) Key() Key { return Key{d.Part, d.Unit, d.Ply, d.Copy} }

// A Key identifies one demanded piece.
type Key struct {
	Part string
	Unit int
	Ply  string
	Copy int
}

// String writes the key as it stands in messages.
func (k Key) String() string {
	return fmt.Sprintf("%s, unit %d, ply %s, copy %d", k.Part, k.Unit, k.Ply, k.Copy)
}

// A FabricBound is a length, end allowances included, that no arrangement of
// all plies of the fabric could beat, mm.
type FabricBound struct {
	Fabric string  `json:"fabric"`
	Length float64 `json:"length"`
}

// Search says how a plan was found. It holds no clock readings, so that equal
// seed and effort give equal bytes.
type Search struct {
	Seed   uint64 `json:"seed"`
	Effort int    `json:"effort,omitempty"` // 0: limited by time
	// Status says why the search stopped.
	Status string `json:"status"`
}

// Fabric finds a fabric by name; nil where the record has none of that name.
func (r *Record) Fabric(name string) *shapes.Fabric {
	for i := range r.Fabrics {
		if r.Fabrics[i].Name == name {
			return &r.Fabrics[i]
		}
	}
	return nil
}

// ShapesByID indexes the shapes.
func (r *Record) ShapesByID() map[string]*Shape {
	m := make(map[string]*Shape, len(r.Shapes))
	for i := range r.Shapes {
		m[r.Shapes[i].ID] = &r.Shapes[i]
	}
	return m
}

// DemandByKey indexes the demand.
func (r *Record) DemandByKey() map[Key]*Demand {
	m := make(map[Key]*Demand, len(r.Demand))
	for i := range r.Demand {
		m[r.Demand[i].Key()] = &r.Demand[i]
	}
	return m
}
