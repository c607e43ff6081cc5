package demand

import (
	"cmp"
	"math"
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

// Kinds groups the pieces of one fabric. An opposite hand that may be turned
// over and a first hand that may not be told from it on the table fall into
// one kind.
func Kinds(pieces []nest.Demand, f *shapes.Fabric, angleTolerance float64) []Kind {
	var kinds []Kind
	for i, d := range pieces {
		if d.Fabric != f.Name {
			continue
		}
		turns := Turns(f, d, angleTolerance)
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

// Turns lists the rotations in which a piece may be cut so that it is laid
// within the smaller of its own tolerance and the layout's share. From a roll
// that unrolls face down, it is the pieces not turned over that are laid face
// down.
func Turns(f *shapes.Fabric, d nest.Demand, angleTolerance float64) []Turn {
	slack := math.Min(d.ToleranceDeg, angleTolerance)
	var out []Turn
	rollDown, _ := f.FaceDown()
	for _, w := range f.WarpAngles(d.DirectionDeg, d.OppositeHand) {
		turned := w.TurnedOver != rollDown
		t := Turn{Mirrored: turned != d.OppositeHand, Any: w.Any}
		if !w.Any {
			t.Rotation, t.Slack = shapes.RotationFor(w.Angle, turned), slack
		}
		out = append(out, t)
	}
	slices.SortFunc(out, func(a, b Turn) int {
		if a.Mirrored != b.Mirrored {
			if a.Mirrored {
				return 1
			}
			return -1
		}
		return cmp.Compare(a.Rotation, b.Rotation)
	})
	return out
}
