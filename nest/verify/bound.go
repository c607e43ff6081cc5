package verify

import "fmt"

// bound checks rule 9: what no arrangement can beat, this one does not beat.
func (c *checker) bound() {
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		if lay.BoundLength > lay.Length+LengthTolerance {
			c.add(Violation{Rule: RuleBound, Layout: lay.ID, Measured: lay.BoundLength, Limit: lay.Length, Unit: "mm",
				Message: fmt.Sprintf("the bound of %.6f mm is longer than the layout, %.6f mm", lay.BoundLength, lay.Length)})
		}
	}
}
