package verify

import (
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// consistent checks rule 1 but for the geometry of shapes and plies: that the
// record means what it says.
func (c *checker) consistent() {
	r := c.record
	if r.Format != nest.Format {
		c.fault("the record has format %d; format %d is known", r.Format, nest.Format)
	}
	if r.Units != "mm" {
		c.fault("the record's units are %q; they must be mm", r.Units)
	}
	c.rules()
	c.fabrics()
	c.parts()
	c.demandList()
	c.unitsAlike()
	c.layoutList()
	c.figures()
	c.plainNames()
	c.laps()
}

// fault adds a violation of rule 1 about no layout.
func (c *checker) fault(format string, args ...any) {
	c.add(Violation{Rule: RuleRecord, Message: fmt.Sprintf(format, args...)})
}

// number faults a figure that is not finite, out of range, or below least.
func (c *checker) number(what string, v, least float64) {
	if !inRange(v) || v < least {
		c.fault("%s is %g; it must be a number of at least %g", what, v, least)
	}
}

// unique faults empty and repeated names.
func (c *checker) unique(what string, names []string) {
	seen := map[string]bool{}
	for _, n := range names {
		switch {
		case n == "":
			c.fault("%s without a name", what)
		case seen[n]:
			c.fault("%s %q is listed twice", what, n)
		}
		seen[n] = true
	}
}

func (c *checker) rules() {
	r := &c.record.Rules
	c.number("the gap", r.Gap, 0)
	c.number("the angle tolerance", r.AngleTolerance, 0)
	c.number("the end allowance", r.EndAllowance, 0)
	c.number("the number of layers cut at once", float64(r.Layers), 1)
	if t := r.Table; t != nil {
		c.number("the table's length", t.Length, 0)
		c.number("the table's width", t.Width, 0)
		if t.Kind != shapes.StaticTable && t.Kind != shapes.Conveyor {
			c.fault("the table is of kind %q; it must be static or conveyor", t.Kind)
		}
	}
	for _, g := range r.Spreads {
		for _, name := range g {
			if c.record.Fabric(name) == nil {
				c.fault("the spreads name fabric %q, which the record does not have", name)
			}
		}
	}
}

func (c *checker) fabrics() {
	var names []string
	for i := range c.record.Fabrics {
		f := &c.record.Fabrics[i]
		names = append(names, f.Name)
		if !slices.Contains(shapes.Constructions, f.Construction) {
			c.fault("fabric %s has the unknown construction %q", f.Name, f.Construction)
		}
		if f.Faces != shapes.SameFaces && f.Faces != shapes.DifferentFaces {
			c.fault("fabric %s has faces %q; they must be same or different", f.Name, f.Faces)
		}
		c.number("the width of fabric "+f.Name, f.Width, 0)
		c.number("the selvedge of fabric "+f.Name, f.Selvedge, 0)
		for _, l := range f.Layers {
			c.number("an angle in the layers of fabric "+f.Name, l.Angle, -360)
			c.number("a mass in the layers of fabric "+f.Name, l.Mass, 0)
		}
		for _, w := range f.WarpPositions {
			c.number("a warp position of fabric "+f.Name, w, -360)
		}
		var rolls []string
		for _, r := range f.Rolls {
			rolls = append(rolls, r.Name)
			c.number("the length of roll "+r.Name, r.Length, 0)
			c.number("the width of roll "+r.Name, r.Width, 0)
			for _, s := range r.Flaws {
				c.number("the beginning of a flaw of roll "+r.Name, s.From, 0)
				c.number("the end of a flaw of roll "+r.Name, s.To, s.From)
			}
		}
		c.unique("a roll of "+f.Name, rolls)
	}
	c.unique("fabric", names)
}

func (c *checker) parts() {
	var names []string
	for _, p := range c.record.Parts {
		names = append(names, p.Part)
		c.number("the number of units of part "+p.Part, float64(p.Units), 1)
	}
	c.unique("part", names)
	var ids []string
	for i := range c.record.Shapes {
		ids = append(ids, c.record.Shapes[i].ID)
	}
	c.unique("shape", ids)
}

func (c *checker) demandList() {
	units := map[string]int{}
	for _, p := range c.record.Parts {
		units[p.Part] = p.Units
	}
	seen := map[nest.Key]bool{}
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		k := d.Key()
		say := func(format string, args ...any) {
			c.add(Violation{Rule: RuleRecord, Plies: []nest.Key{k}, Message: fmt.Sprintf(format, args...)})
		}
		if seen[k] {
			say("the piece is demanded twice")
		}
		seen[k] = true
		n, known := units[d.Part]
		switch {
		case !known:
			say("the part is not listed")
		case d.Unit < 1 || d.Unit > n:
			say("unit %d is demanded; the part is made %d times", d.Unit, n)
		}
		if d.Copy < 1 {
			say("copies count from 1")
		}
		if c.record.Fabric(d.Fabric) == nil {
			say("fabric %q is not listed", d.Fabric)
		}
		if c.shapes[d.Shape] == nil {
			say("shape %q is not listed", d.Shape)
		}
		if !inRange(d.DirectionDeg) {
			say("the direction asked is %g", d.DirectionDeg)
		}
		if !inRange(d.ToleranceDeg) || d.ToleranceDeg < 0 {
			say("the tolerance is %g", d.ToleranceDeg)
		}
	}
}

// unitsAlike checks that every unit of a part has the demand of its first unit:
// what one mould needs, the next does too. A ply counts as one whether it is
// whole or divided, since units may be divided in different ways; rule 10 sees
// to the panels.
func (c *checker) unitsAlike() {
	type piece struct {
		ply, fabric string
		copy, order int
		opposite    bool
	}
	like := func(d *nest.Demand) piece {
		ply := d.Ply
		if d.Panel != nil {
			ply = d.Panel.Ply
		}
		return piece{ply, d.Fabric, d.Copy, d.Order, d.OppositeHand}
	}
	units := map[string]map[int]map[piece]bool{}
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		if units[d.Part] == nil {
			units[d.Part] = map[int]map[piece]bool{}
		}
		if units[d.Part][d.Unit] == nil {
			units[d.Part][d.Unit] = map[piece]bool{}
		}
		units[d.Part][d.Unit][like(d)] = true
	}
	made := map[string]int{}
	for _, p := range c.record.Parts {
		if n := len(units[p.Part]); n != p.Units {
			c.fault("part %s is made %d times; units with pieces demanded: %d", p.Part, p.Units, n)
			continue
		}
		made[p.Part] = p.Units
	}
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		// Units are compared with the first, both ways.
		first, last := 1, 1
		if d.Unit == 1 {
			first, last = 2, made[d.Part]
		}
		for unit := first; unit <= last && made[d.Part] > 0; unit++ {
			if !units[d.Part][unit][like(d)] {
				c.add(Violation{Rule: RuleRecord, Plies: []nest.Key{d.Key()},
					Message: fmt.Sprintf("the piece is demanded for unit %d of the part and none like it for unit %d", d.Unit, unit)})
			}
		}
	}
}

func (c *checker) layoutList() {
	var ids []string
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		ids = append(ids, lay.ID)
		say := func(format string, args ...any) {
			c.add(Violation{Rule: RuleRecord, Layout: lay.ID, Message: fmt.Sprintf(format, args...)})
		}
		figure := func(what string, v float64) {
			if !inRange(v) {
				say("%s is %g", what, v)
			}
		}
		if want := fmt.Sprintf("L%d", l+1); lay.ID != want {
			say("layout %d of the record is called %q; it should be %s", l+1, lay.ID, want)
		}
		figure("the length", lay.Length)
		figure("the width", lay.Width)
		if !inRange(lay.BoundLength) || lay.BoundLength < 0 {
			say("the bound on the length is %g", lay.BoundLength)
		}
		figure("the roll end", lay.RollEnd)
		for _, p := range lay.Usable {
			figure("a corner of the usable area", p[0])
			figure("a corner of the usable area", p[1])
		}
		for _, f := range lay.Flaws {
			figure("a flaw", f.From)
			figure("a flaw", f.To)
			if f.To < f.From {
				say("a flaw runs backwards, from %g to %g", f.From, f.To)
			}
		}
		if len(lay.Layers) == 0 {
			say("the layout has no layer of fabric")
		}
		for i, layer := range lay.Layers {
			if layer.Layer != i+1 {
				say("layer %d is numbered %d", i+1, layer.Layer)
			}
			if c.record.Fabric(layer.Fabric) == nil {
				say("layer %d is of fabric %q, which is not listed", layer.Layer, layer.Fabric)
			}
			if layer.Face != "up" && layer.Face != "down" {
				say("layer %d lies face %q; it must be up or down", layer.Layer, layer.Face)
			}
			figure("where a layer begins on its roll", layer.RollFrom)
			figure("the roll end of a layer", layer.RollEnd)
		}
		if len(lay.Placed) == 0 {
			say("nothing is placed in the layout")
		}
		for i := range lay.Placed {
			c.placedFigures(lay, i)
		}
	}
	c.unique("layout", ids)
}

// placedFigures checks that the figures of a placed piece are numbers and its
// outline a polygon.
func (c *checker) placedFigures(lay *nest.Layout, i int) {
	p := &lay.Placed[i]
	say := func(format string, args ...any) {
		c.addPly(lay, i, Violation{Rule: RuleRecord, Message: fmt.Sprintf(format, args...)})
	}
	for _, f := range []struct {
		what  string
		value float64
	}{{"x", p.X}, {"y", p.Y}, {"the laid direction", p.LaidDeg}, {"the deviation", p.DeviationDeg}} {
		if !inRange(f.value) {
			say("%s is %g", f.what, f.value)
		}
	}
	if !(math.Abs(p.RotationDeg) <= 180) {
		say("the rotation is %g°; it must be in [-180°, 180°)", p.RotationDeg)
	}
	poly := nest.Polygon{Outline: p.Outline, Holes: p.Holes}
	switch {
	case !polygonInRange(poly):
		say("a coordinate of the outline is not a number within %g mm", float64(MaxCoordinate))
	case len(p.Outline) < 3:
		say("the outline has %d vertices", len(p.Outline))
	}
}
