package demand

import (
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// A Layer is one fabric on the table as a spread needs it.
type Layer struct {
	Fabric string
	// Lot, where it is not empty, is the only lot the layer may come from.
	Lot string
	// FaceDown says which side lies up.
	FaceDown bool
}

// A Cut is what one stroke of the knife makes: the places in the demand of one
// piece per layer, bottom up.
type Cut []int

// A CutKind is a set of cuts that are interchangeable on the table.
type CutKind struct {
	// Shape is the ID of the shape of the lowest piece; the others have the
	// same outline as cut.
	Shape string
	// Turns are the rotations that every layer allows.
	Turns []Turn
	Cuts  []Cut
}

// A Stack is one or more layers of fabric and what is cut from them together.
type Stack struct {
	Layers []Layer // bottom up
	Kinds  []CutKind
}

// Pieces counts the single pieces of a stack.
func (s *Stack) Pieces() int {
	n := 0
	for _, k := range s.Kinds {
		n += len(k.Cuts)
	}
	return n * len(s.Layers)
}

// Single is the stack of one layer that cuts the given pieces, all of its
// fabric.
func Single(pieces []nest.Demand, of []int, f *shapes.Fabric, layer Layer, angleTolerance float64) Stack {
	s := Stack{Layers: []Layer{layer}}
	for _, k := range Kinds(pieces, of, f, angleTolerance, layer.FaceDown) {
		ck := CutKind{Shape: k.Shape, Turns: k.Turns}
		for _, i := range k.Pieces {
			ck.Cuts = append(ck.Cuts, Cut{i})
		}
		s.Kinds = append(s.Kinds, ck)
	}
	return s
}

// classes numbers the shapes so that shapes with the same outline and slits as
// cut have the same number, whatever their names and nets.
func classes(table []nest.Shape) map[string]int {
	out := map[string]int{}
	for i := range table {
		at := slices.IndexFunc(table[:i], func(s nest.Shape) bool {
			return samePolygon(s.Cut, table[i].Cut) && slices.EqualFunc(slits(s.Marks), slits(table[i].Marks), slices.Equal[orb.LineString])
		})
		if at < 0 {
			at = i
		}
		out[table[i].ID] = at
	}
	return out
}

func samePolygon(a, b nest.Polygon) bool {
	return slices.Equal(a.Outline, b.Outline) && slices.EqualFunc(a.Holes, b.Holes, func(x, y nest.Ring) bool { return slices.Equal(x, y) })
}

// slits are the lines inside a shape that the knife cuts.
func slits(marks []shapes.Mark) []orb.LineString {
	var out []orb.LineString
	for _, m := range marks {
		if m.Kind == shapes.MarkSlit {
			out = append(out, m.Line)
		}
	}
	return out
}
