package verify

import (
	"fmt"
	"slices"

	"plyroom/nest"
)

// spreads checks rule 8 for every layout of more than one layer.
func (c *checker) spreads() {
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		if n, most := len(lay.Layers), max(c.record.Rules.Layers, 1); n > most {
			c.add(Violation{Rule: RuleSpread, Layout: lay.ID, Measured: float64(n), Limit: float64(most), Unit: "layers",
				Message: fmt.Sprintf("the layout has %d layers; the knife cuts %d", n, most)})
		}
		if len(lay.Layers) < 2 {
			continue
		}
		c.stackable(lay)
		for k := 1; k < len(lay.Layers); k++ {
			for j := range k {
				c.cutThrough(lay, c.polys[l], lay.Layers[j].Layer, lay.Layers[k].Layer)
			}
		}
	}
}

// stackable checks that the fabrics are one, or all of one group.
func (c *checker) stackable(lay *nest.Layout) {
	all := func(in func(string) bool) bool {
		return !slices.ContainsFunc(lay.Layers, func(l nest.Layer) bool { return !in(l.Fabric) })
	}
	if all(func(f string) bool { return f == lay.Layers[0].Fabric }) {
		return
	}
	for _, group := range c.record.Rules.Spreads {
		if all(func(f string) bool { return slices.Contains(group, f) }) {
			return
		}
	}
	var names []string
	for _, l := range lay.Layers {
		names = append(names, l.Fabric)
	}
	c.add(Violation{Rule: RuleSpread, Layout: lay.ID,
		Message: fmt.Sprintf("no group of spreads allows %q to be stacked", names)})
}

// cutThrough checks that two layers hold the same cut shapes, and that in each
// pair of one part and unit the lower ply is laid first.
func (c *checker) cutThrough(lay *nest.Layout, polys []*polygon, lower, upper int) {
	var below, above []int
	for i := range lay.Placed {
		switch {
		case polys[i] == nil: // rule 1 says so
		case lay.Placed[i].Layer == lower:
			below = append(below, i)
		case lay.Placed[i].Layer == upper:
			above = append(above, i)
		}
	}
	// Nearly always the layers list their plies in the same order; else the
	// candidates are those that begin at the same x.
	free := slices.Clone(above)
	for n, i := range below {
		try := func(k int) bool {
			return k < len(free) && free[k] >= 0 && sameCut(&lay.Placed[i], &lay.Placed[free[k]])
		}
		k := n
		if !try(k) {
			for k = 0; k < len(free) && !try(k); k++ {
			}
		}
		if k == len(free) || !try(k) {
			c.addPly(lay, i, Violation{Rule: RuleSpread,
				Message: fmt.Sprintf("layer %d has no ply with this outline; the knife cuts one", upper)})
			continue
		}
		if !c.sameSlits(&lay.Placed[i], &lay.Placed[free[k]]) {
			c.addPly(lay, i, Violation{Rule: RuleSpread,
				Message: fmt.Sprintf("its pair in layer %d has other slits; the knife cuts both", upper)})
		}
		c.laidFirst(lay, i, free[k])
		free[k] = -1
	}
	for _, j := range free {
		if j >= 0 {
			c.addPly(lay, j, Violation{Rule: RuleSpread,
				Message: fmt.Sprintf("layer %d has no ply with this outline; the knife cuts one", lower)})
		}
	}
}

// sameCut reports whether one cut makes both outlines.
func sameCut(a, b *nest.Placed) bool {
	w := &pose{outline: a.Outline, holes: a.Holes}
	for _, v := range a.Outline {
		w.radius = max(w.radius, distance(v, nest.Point{a.X, a.Y}))
	}
	_, _, ok := w.matches(nest.Polygon{Outline: b.Outline, Holes: b.Holes})
	return ok
}

// laidFirst checks that a pair of one part and unit can be lifted as it is: the
// lower ply has the lower lay-up order.
func (c *checker) laidFirst(lay *nest.Layout, lower, upper int) {
	a, b := &lay.Placed[lower], &lay.Placed[upper]
	if a.Part != b.Part || a.Unit != b.Unit || a.TurnedOver || b.TurnedOver || a.Order <= b.Order {
		return
	}
	c.add(Violation{Rule: RuleSpread, Layout: lay.ID, Items: []int{lower, upper}, Plies: []nest.Key{a.Key(), b.Key()},
		Measured: float64(a.Order), Limit: float64(b.Order), Unit: "order",
		Message: fmt.Sprintf("the lower ply of the pair has lay-up order %d, the upper %d", a.Order, b.Order)})
}
