package verify

import (
	"fmt"
	"strings"

	"plyroom/nest"
)

// A Violation is one breach of one rule: what, where, and by how much.
type Violation struct {
	Rule Rule
	// Layout is the ID of the layout concerned, or empty.
	Layout string
	// Plies are the pieces concerned: none, one, or two.
	Plies []nest.Key
	// Items are the places of the plies concerned in the layout's list, or in
	// the list given to Strip.
	Items []int
	// At is a place in the layout's coordinates, or in the shape's where no
	// layout is named; nil where there is none.
	At *nest.Point
	// Measured is what was found and Limit what the rule allows, in Unit;
	// both mean nothing where Unit is empty.
	Measured, Limit float64
	// Unit is "mm", "deg", or a plain count's noun.
	Unit string
	// Message says what is wrong in one sentence, without capital or full
	// stop, and without repeating layout, plies and place.
	Message string
}

// String writes the violation on one line:
// rule 4 (overlap), L1: ply and ply, at (x, y): message.
func (v Violation) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "rule %d (%s)", int(v.Rule), v.Rule)
	if v.Layout != "" {
		fmt.Fprintf(&b, ", %s", v.Layout)
	}
	b.WriteString(": ")
	for i, k := range v.Plies {
		if i > 0 {
			b.WriteString(" and ")
		}
		b.WriteString(k.String())
	}
	if len(v.Plies) > 0 {
		b.WriteString(": ")
	}
	b.WriteString(v.Message)
	if v.At != nil {
		fmt.Fprintf(&b, ", at (%.6g, %.6g)", v.At[0], v.At[1])
	}
	return b.String()
}
