package demand

import (
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// A Turn is one interval of rotations in which a shape may be cut.
type Turn struct {
	// Mirrored says that the shape itself is cut mirrored (y to -y): an
	// opposite hand cut face up, or a first hand turned over.
	Mirrored bool
	// Any says that every rotation will do.
	Any bool
	// Rotation is the nominal angle and Slack how far it may be off either
	// way, degrees.
	Rotation, Slack float64
}

// A Kind is a set of pieces that are interchangeable on the table: the same
// shape from the same fabric in the same turns.
type Kind struct {
	Shape  string
	Fabric string
	Turns  []Turn
	// Pieces are indices into the demand, in its order.
	Pieces []int
}

// Kinds groups those pieces, given by their place in the demand, that are cut
// from one fabric lying face up or face down. An opposite hand that may be
// turned over and a first hand that may not be told from it on the table fall
// into one kind.
func Kinds(pieces []nest.Demand, of []int, f *shapes.Fabric, angleTolerance float64, faceDown bool) []Kind {
	var kinds []Kind
	for _, i := range of {
		d := pieces[i]
		if d.Fabric != f.Name {
			continue
		}
		turns := Turns(f, d, angleTolerance, faceDown)
		at := slices.IndexFunc(kinds, func(k Kind) bool {
			return k.Shape == d.Shape && slices.Equal(k.Turns, turns)
		})
		if at < 0 {
			at = len(kinds)
			kinds = append(kinds, Kind{Shape: d.Shape, Fabric: f.Name, Turns: turns})
		}
		kinds[at].Pieces = append(kinds[at].Pieces, i)
	}
	return kinds
}
