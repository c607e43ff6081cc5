package kit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"plyroom/nest"
	"plyroom/nest/kit"
)

// Two kits on one layout of squares 1 m wide, their middles at 0.5, 1.5, …
//
//	| A | B | A | A | B |      A: 3 m, B: 3 m, and B once more on the next
func TestWalkOf(t *testing.T) {
	square := func(part string, at float64) nest.Placed {
		return nest.Placed{Part: part, Unit: 1, Layer: 1,
			Outline: nest.Ring{{at, 0}, {at + 1000, 0}, {at + 1000, 1000}, {at, 1000}}}
	}
	r := &nest.Record{Layouts: []nest.Layout{
		{Placed: []nest.Placed{square("A", 0), square("B", 1000), square("A", 2000), square("A", 3000), square("B", 4000)}},
		{Placed: []nest.Placed{square("B", 0)}},
	}}
	assert.Equal(t, kit.Walk{Kits: 2, Visits: 3, Metres: 6}, kit.WalkOf(r))
}
