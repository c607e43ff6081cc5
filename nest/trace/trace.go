package trace

import (
	"encoding/json"
	"io"
	"math"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// Format is the version of the trail this package writes.
const Format = 1

// A Trail is where every piece of one run came from and went to.
type Trail struct {
	Format   int         `json:"format"`
	Job      string      `json:"job"`
	Revision string      `json:"revision"`
	Date     shapes.Date `json:"date,omitempty"`
	// Pieces are those that are placed, each once, by kit and lay-up order.
	Pieces []Piece `json:"pieces"`
	// Missing are demanded pieces that were not cut, in the same order.
	Missing []Piece `json:"missing"`
}

// A Piece is one ply, or panel of a ply, of one unit. Where it is missing,
// what it would be cut from is empty.
type Piece struct {
	// Run is the folder or file it was read from; empty in a trail of one run.
	Run string `json:"run,omitempty"`
	// Kit counts the kits of the run from 1, Bag the bags of the kit. BagName is
	// what the job calls the bag; empty where it has no name.
	Kit  int    `json:"kit"`
	Part string `json:"part"`
	// PartRevision is that of the part's drawings.
	PartRevision string `json:"part_revision"`
	Unit         int    `json:"unit"`
	Bag          int    `json:"bag"`
	BagName      string `json:"bag_name,omitempty"`
	Order        int    `json:"order"`
	Ply          string `json:"ply"`
	Copy         int    `json:"copy"`
	// Panel and Panels say which panel of how many; 0 where the ply is whole.
	Panel        int    `json:"panel,omitempty"`
	Panels       int    `json:"panels,omitempty"`
	OppositeHand bool   `json:"opposite_hand"`
	Fabric       string `json:"fabric"`
	// Roll and Lot are empty where no roll is named.
	Roll   string `json:"roll"`
	Lot    string `json:"lot"`
	Layout string `json:"layout"`
	// Layer counts from 1 at the bottom; Position is the place in the order off
	// the table, 0 where that was not asked for.
	Layer    int `json:"layer"`
	Position int `json:"position,omitempty"`
	// RollFrom and RollTo are the stretch of the roll it was cut from, mm from
	// the roll's free end before this run.
	RollFrom float64 `json:"roll_from"`
	RollTo   float64 `json:"roll_to"`
	// LaidDeg is the warp's angle as laid.
	LaidDeg float64 `json:"laid_deg"`
	// CutAgain says that it was cut again, as Layout, after a spoiled one.
	CutAgain bool `json:"cut_again,omitempty"`
}

// Of follows the pieces of a record's kits, which must be those of the record.
func Of(r *nest.Record, kits []kit.Kit) *Trail {
	t := &Trail{Format: Format, Job: r.Job, Revision: r.Revision, Date: r.Date, Pieces: []Piece{}, Missing: []Piece{}}
	for i := range kits {
		k := &kits[i]
		for j := range k.Lines {
			l := &k.Lines[j]
			p := Piece{
				Kit: k.Number, Part: k.Part, PartRevision: k.PartRevision, Unit: k.Unit, Bag: l.Bag, BagName: l.Demand.Bag,
				Order: l.Demand.Order, Ply: l.Demand.Ply, Copy: l.Demand.Copy,
				OppositeHand: l.Demand.OppositeHand, Fabric: l.Demand.Fabric,
			}
			if q := l.Demand.Panel; q != nil {
				p.Panel, p.Panels = q.Number, q.Of
			}
			if l.Place == nil {
				t.Missing = append(t.Missing, p)
				continue
			}
			p.Roll, p.Lot, p.Layout = l.Place.Roll, l.Place.Lot, l.Place.Layout
			p.Layer, p.Position, p.LaidDeg = l.Place.Layer, l.Place.Position, l.Place.Placed.LaidDeg
			p.CutAgain = l.Place.CutAgain
			from := l.Place.RollFrom
			left, right := math.Inf(1), math.Inf(-1)
			for _, v := range l.Place.Placed.Outline {
				left, right = min(left, v[0]), max(right, v[0])
			}
			p.RollFrom, p.RollTo = nest.Round(from+left), nest.Round(from+right)
			t.Pieces = append(t.Pieces, p)
		}
	}
	return t
}

// Write writes the trail as indented JSON.
func (t *Trail) Write(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(t)
}
