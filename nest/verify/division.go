package verify

import (
	"fmt"
	"math"

	"plyroom/nest"
)

// divisions checks that what the record says of plies divided on purpose
// agrees with its panels: the same plies, panels, pieces and laps; and that
// each division saves more fabric than the job asks of its seams, or lets
// pieces be laid that else find no room.
func (c *checker) divisions() {
	type ply struct{ part, ply string }
	panels := map[ply]*nest.DividedPly{}
	fabric := map[ply]string{}
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		if d.Panel == nil || !d.Panel.OnPurpose {
			continue
		}
		k := ply{d.Part, d.Panel.Ply}
		if panels[k] == nil {
			panels[k] = &nest.DividedPly{Panels: d.Panel.Of}
			fabric[k] = d.Fabric
		}
		if d.Panel.Number == 1 {
			panels[k].Pieces++
		}
		if s := c.shapes[d.Shape]; s != nil {
			panels[k].LapArea += s.LapArea
		}
	}
	say := func(format string, args ...any) {
		c.add(Violation{Rule: RulePanel, Message: fmt.Sprintf(format, args...)})
	}
	for i := range c.record.Divisions {
		d := &c.record.Divisions[i]
		for _, v := range []float64{d.WholeLength, d.WholeDrawn, d.Length, d.Drawn, d.Asked} {
			if !inRange(v/1e6) || v < 0 {
				say("the figures of the division of plies of %q are out of range", d.Fabric)
				return
			}
		}
		if d.Homeless <= 0 && d.SavedArea() < d.Asked {
			c.add(Violation{Rule: RulePanel, Measured: d.SavedArea(), Limit: d.Asked, Unit: "mm2",
				Message: fmt.Sprintf("plies of %q are divided on purpose, which saves %.0f mm²; the job asks %.0f mm² of their seams", d.Fabric, d.SavedArea(), d.Asked)})
		}
		for _, p := range d.Plies {
			k := ply{p.Part, p.Ply}
			have := panels[k]
			switch {
			case have == nil:
				say("%s, ply %s is said to be divided on purpose, once more or not at all in the demand", p.Part, p.Ply)
				continue
			case fabric[k] != d.Fabric:
				say("%s, ply %s is of fabric %q, not %q", p.Part, p.Ply, fabric[k], d.Fabric)
			case have.Panels != p.Panels || have.Pieces != p.Pieces:
				say("%s, ply %s is said to be divided in %d panels, %d times; demanded are %d, %d times", p.Part, p.Ply, p.Panels, p.Pieces, have.Panels, have.Pieces)
			case !(math.Abs(have.LapArea-p.LapArea) <= 1):
				say("%s, ply %s is said to double %.1f mm² by its laps; its panels double %.1f mm²", p.Part, p.Ply, p.LapArea, have.LapArea)
			}
			delete(panels, k)
		}
	}
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		if d.Panel != nil && panels[ply{d.Part, d.Panel.Ply}] != nil {
			c.panelFault(d, "ply %s is divided on purpose, and the record does not say what that saves", d.Panel.Ply)
			delete(panels, ply{d.Part, d.Panel.Ply})
		}
	}
}
