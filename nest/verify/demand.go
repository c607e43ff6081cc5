package verify

import (
	"fmt"

	"plyroom/nest"
)

// demand checks rule 2: every demanded piece is placed once, nothing else is,
// and each is of the fabric, order and hand asked for and lies in a layer of
// its fabric.
func (c *checker) demand() {
	type place struct {
		layout string
		index  int
	}
	found := map[nest.Key][]place{}
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for i := range lay.Placed {
			p := &lay.Placed[i]
			found[p.Key()] = append(found[p.Key()], place{lay.ID, i})
			c.asDemanded(lay, i)
			c.inLayer(lay, i)
		}
	}
	short := c.shortKits()
	for i := range c.record.Demand {
		k := c.record.Demand[i].Key()
		at := found[k]
		switch {
		case short[k] && len(at) > 0:
			c.add(Violation{Rule: RuleDemand, Layout: at[0].layout, Items: []int{at[0].index}, Plies: []nest.Key{k},
				Message: "the piece is listed as missing and is placed"})
		case short[k]:
		case len(at) == 0:
			c.add(Violation{Rule: RuleDemand, Plies: []nest.Key{k}, Measured: 0, Limit: 1, Unit: "pieces",
				Message: "the piece is demanded and not placed"})
		case len(at) > 1:
			c.add(Violation{Rule: RuleDemand, Layout: at[1].layout, Items: []int{at[1].index}, Plies: []nest.Key{k},
				Measured: float64(len(at)), Limit: 1, Unit: "pieces",
				Message: fmt.Sprintf("the piece is placed %d times, first in %s", len(at), at[0].layout)})
		}
		delete(found, k) // a key demanded twice is rule 1's affair
	}
}

// asDemanded compares a placed piece with its demand.
func (c *checker) asDemanded(lay *nest.Layout, i int) {
	p := &lay.Placed[i]
	say := func(format string, args ...any) {
		c.addPly(lay, i, Violation{Rule: RuleDemand, Message: fmt.Sprintf(format, args...)})
	}
	d := c.demands[p.Key()]
	if d == nil {
		say("the piece is placed and not demanded")
		return
	}
	if p.Fabric != d.Fabric {
		say("the piece is cut from %s; %s is demanded", p.Fabric, d.Fabric)
	}
	if p.Order != d.Order {
		say("the piece has lay-up order %d; %d is demanded", p.Order, d.Order)
	}
	if p.OppositeHand != d.OppositeHand {
		say("the piece is of the %s hand; the %s is demanded", handWord(p.OppositeHand), handWord(d.OppositeHand))
	}
}

func handWord(opposite bool) string {
	if opposite {
		return "opposite"
	}
	return "first"
}

// inLayer checks that the layer of a placed piece exists and is of its fabric.
func (c *checker) inLayer(lay *nest.Layout, i int) {
	p := &lay.Placed[i]
	layer := findLayer(lay, p.Layer)
	switch {
	case layer == nil:
		c.addPly(lay, i, Violation{Rule: RuleDemand,
			Message: fmt.Sprintf("the piece lies in layer %d, which the layout does not have", p.Layer)})
	case layer.Fabric != p.Fabric:
		c.addPly(lay, i, Violation{Rule: RuleDemand,
			Message: fmt.Sprintf("the piece is listed as %s and lies in layer %d, which is %s", p.Fabric, p.Layer, layer.Fabric)})
	}
}

// findLayer finds a layer by number; nil where there is none.
func findLayer(lay *nest.Layout, number int) *nest.Layer {
	for i := range lay.Layers {
		if lay.Layers[i].Layer == number {
			return &lay.Layers[i]
		}
	}
	return nil
}
