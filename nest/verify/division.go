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
	type ply struct {
		part, ply string
		panels    int
	}
	panels := map[ply]*nest.DividedPly{}
	fabric := map[ply]string{}
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		if d.Panel == nil || !d.Panel.OnPurpose {
			continue
		}
		k := ply{d.Part, d.Panel.Ply, d.Panel.Of}
		if panels[k] == nil {
			panels[k] = &nest.DividedPly{}
			fabric[k] = d.Fabric
		}
		if d.Panel.Number == 1 {
			panels[k].Pieces++
		}
		if s := c.shapes[d.Shape]; s != nil {
			panels[k].LapArea += s.LapArea
		}
	}
	said := map[ply]*nest.DividedPly{}
	var order []ply
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
			k := ply{p.Part, p.Ply, p.Panels}
			if panels[k] == nil {
				say("%s, ply %s is said to be divided on purpose in %d panels; none such is demanded", p.Part, p.Ply, p.Panels)
				continue
			}
			if fabric[k] != d.Fabric {
				say("%s, ply %s is of fabric %q, not %q", p.Part, p.Ply, fabric[k], d.Fabric)
			}
			if said[k] == nil {
				said[k] = &nest.DividedPly{}
				order = append(order, k)
			}
			said[k].Pieces += p.Pieces
			said[k].LapArea += p.LapArea
		}
	}
	for _, k := range order {
		have, p := panels[k], said[k]
		if have.Pieces != p.Pieces {
			say("%s, ply %s is said to be divided in %d panels %d times; demanded are %d", k.part, k.ply, k.panels, p.Pieces, have.Pieces)
		} else if !(math.Abs(have.LapArea-p.LapArea) <= 1) {
			say("%s, ply %s is said to double %.1f mm² by its laps; its panels double %.1f mm²", k.part, k.ply, p.LapArea, have.LapArea)
		}
		delete(panels, k)
	}
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		if d.Panel == nil {
			continue
		}
		if k := (ply{d.Part, d.Panel.Ply, d.Panel.Of}); panels[k] != nil {
			c.panelFault(d, "ply %s is divided on purpose, and the record does not say what that saves", d.Panel.Ply)
			delete(panels, k)
		}
	}
}
