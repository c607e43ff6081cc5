package verify

import (
	"fmt"
	"slices"
)

// bound checks rule 9: what no arrangement can beat, this one does not beat,
// for each layout and for all fabric of a kind.
func (c *checker) bound() {
	drawn := map[string]float64{}
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		if lay.BoundLength > lay.Length+LengthTolerance {
			c.add(Violation{Rule: RuleBound, Layout: lay.ID, Measured: lay.BoundLength, Limit: lay.Length, Unit: "mm",
				Message: fmt.Sprintf("the bound of %.6f mm is longer than the layout, %.6f mm", lay.BoundLength, lay.Length)})
		}
		for _, layer := range lay.Layers {
			drawn[layer.Fabric] += lay.Length
		}
	}
	var names []string
	for _, b := range c.record.FabricBounds {
		names = append(names, b.Fabric)
		if c.record.Fabric(b.Fabric) == nil {
			c.fault("a bound is stated for fabric %q, which is not listed", b.Fabric)
		}
		c.number("the bound for fabric "+b.Fabric, b.Length, 0)
		// Each of many layouts is rounded by itself.
		if most := drawn[b.Fabric]; b.Length > most+float64(LengthTolerance*float64(1+len(c.record.Layouts))) {
			c.add(Violation{Rule: RuleBound, Measured: b.Length, Limit: most, Unit: "mm",
				Message: fmt.Sprintf("the bound of %.6f mm for %s is longer than all its layouts, %.6f mm", b.Length, b.Fabric, most)})
		}
	}
	c.unique("a bound for fabric", names)
	// The layout of one piece cut again states none.
	if len(names) == 0 && len(c.record.Demand) < 2 {
		return
	}
	for i := range c.record.Fabrics {
		if f := c.record.Fabrics[i].Name; drawn[f] > 0 && !slices.Contains(names, f) {
			c.add(Violation{Rule: RuleBound, Message: fmt.Sprintf("no bound is stated for fabric %s, which is drawn", f)})
		}
	}
}
