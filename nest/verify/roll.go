package verify

import (
	"cmp"
	"fmt"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// findRoll finds a roll of f by name; nil where there is none or the name is
// empty.
func findRoll(f *shapes.Fabric, name string) *shapes.Roll {
	if name == "" {
		return nil
	}
	for i := range f.Rolls {
		if f.Rolls[i].Name == name {
			return &f.Rolls[i]
		}
	}
	return nil
}

// rolls checks rule 6 for the rolls: named where the fabric has any, lot and
// face as on the rack, layouts within the roll and clear of one another, and
// the flaws of each layout those of its rolls.
func (c *checker) rolls() {
	type use struct {
		layout   string
		from, to float64
	}
	type rollKey struct{ fabric, roll string }
	uses := map[rollKey][]use{}
	var keys []rollKey
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for i := range lay.Layers {
			layer := &lay.Layers[i]
			f := c.record.Fabric(layer.Fabric)
			if f == nil {
				continue // rule 1 says so
			}
			c.layerRoll(lay, layer, f)
			if findRoll(f, layer.Roll) == nil {
				continue
			}
			k := rollKey{f.Name, layer.Roll}
			if uses[k] == nil {
				keys = append(keys, k)
			}
			uses[k] = append(uses[k], use{lay.ID, layer.RollFrom, layer.RollFrom + lay.Length})
		}
		c.flawList(lay)
	}
	for _, k := range keys {
		on := uses[k]
		slices.SortStableFunc(on, func(a, b use) int { return cmp.Compare(a.from, b.from) })
		c.passedOver(k.fabric, k.roll)
		for i := 0; i+1 < len(on); i++ {
			if over := on[i].to - on[i+1].from; over > LengthTolerance {
				c.add(Violation{Rule: RuleInside, Layout: on[i+1].layout, Measured: over, Limit: 0, Unit: "mm",
					Message: fmt.Sprintf("%s and %s share %.6g mm of roll %s", on[i].layout, on[i+1].layout, over, k.roll)})
			}
		}
	}
}

// passedOver checks what layouts pass over of a roll: it is free of other
// layouts, and where a flaw lies between two layouts, or before the first, all
// between them is passed over by the second.
func (c *checker) passedOver(fabric, name string) {
	type span struct {
		layout           string
		from, to, passed float64
	}
	var on []span
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for _, ly := range lay.Layers {
			if ly.Fabric == fabric && ly.Roll == name {
				on = append(on, span{lay.ID, ly.RollFrom, ly.RollFrom + lay.Length, ly.Skipped})
			}
		}
	}
	slices.SortStableFunc(on, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	roll := findRoll(c.record.Fabric(fabric), name)
	end := 0.0
	for _, s := range on {
		gap := s.from - end
		flawed := slices.ContainsFunc(roll.Flaws, func(f shapes.Span) bool {
			return min(f.To, s.from)-max(f.From, end) > LengthTolerance
		})
		if !(s.passed >= 0) || s.passed > gap+LengthTolerance || flawed && !equalLength(s.passed, gap) {
			c.add(Violation{Rule: RuleInside, Layout: s.layout, Measured: s.passed, Limit: gap, Unit: "mm",
				Message: fmt.Sprintf("the layout passes over %.6g mm of roll %s; %.6g mm lie before it", s.passed, name, gap)})
		}
		end = max(end, s.to)
	}
}

// layerRoll checks one layer against its roll.
func (c *checker) layerRoll(lay *nest.Layout, layer *nest.Layer, f *shapes.Fabric) {
	say := func(measured, limit float64, unit, format string, args ...any) {
		c.add(Violation{Rule: RuleInside, Layout: lay.ID, Measured: measured, Limit: limit, Unit: unit,
			Message: fmt.Sprintf(format, args...)})
	}
	if layer.Roll == "" && layer.Skipped != 0 {
		say(layer.Skipped, 0, "mm", "layer %d passes over %.6g mm of no roll", layer.Layer, layer.Skipped)
	}
	if layer.RollFrom < -LengthTolerance {
		say(layer.RollFrom, 0, "mm", "layer %d begins %.6g mm before the roll", layer.Layer, -layer.RollFrom)
	}
	if layer.Roll == "" {
		if len(f.Rolls) > 0 {
			say(0, 0, "", "layer %d names no roll, though rolls of %s are on the rack", layer.Layer, f.Name)
		}
		return
	}
	roll := findRoll(f, layer.Roll)
	if roll == nil {
		say(0, 0, "", "layer %d is cut from roll %q, which %s does not have", layer.Layer, layer.Roll, f.Name)
		return
	}
	if layer.Lot != roll.Lot {
		say(0, 0, "", "layer %d gives roll %s the lot %q; the rack has %q", layer.Layer, roll.Name, layer.Lot, roll.Lot)
	}
	// In a spread a roll may be laid the other way round, face to face.
	if len(lay.Layers) == 1 && roll.FaceDown != (layer.Face == "down") {
		say(0, 0, "", "roll %s unrolls face %s; the layout has it face %s", roll.Name, faceWord(roll.FaceDown), layer.Face)
	}
	if end := layer.RollFrom + lay.Length; roll.Length > 0 && end > roll.Length+LengthTolerance {
		say(end, roll.Length, "mm", "layer %d ends at %.6g mm of roll %s, which has %.6g mm", layer.Layer, end, roll.Name, roll.Length)
	}
	ends := []float64{layer.RollEnd}
	if len(lay.Layers) == 1 {
		ends = append(ends, lay.RollEnd)
	}
	left := roll.Length - layer.RollFrom - lay.Length
	for _, end := range ends {
		if roll.Length > 0 && end != 0 && !equalLength(end, left) {
			say(end, left, "mm", "layer %d counts %.6g mm of roll %s as an end too short to keep; %.6g mm are left behind the layout", layer.Layer, end, roll.Name, left)
		}
	}
}

func faceWord(down bool) string {
	if down {
		return "down"
	}
	return "up"
}

// rollFlaws are the flaws of the layout's rolls in the layout's coordinates,
// clipped to it.
func (c *checker) rollFlaws(lay *nest.Layout) []nest.Flaw {
	var out []nest.Flaw
	for i := range lay.Layers {
		layer := &lay.Layers[i]
		f := c.record.Fabric(layer.Fabric)
		if f == nil {
			continue
		}
		roll := findRoll(f, layer.Roll)
		if roll == nil {
			continue
		}
		for _, s := range roll.Flaws {
			from, to := max(s.From-layer.RollFrom, 0), min(s.To-layer.RollFrom, lay.Length)
			if to-from > LengthTolerance {
				out = append(out, nest.Flaw{From: from, To: to})
			}
		}
	}
	return out
}

// flawList checks that the flaws a layout lists cover the same stretches as
// those of its rolls.
func (c *checker) flawList(lay *nest.Layout) {
	want, got := mergeFlaws(c.rollFlaws(lay)), mergeFlaws(lay.Flaws)
	same := func(a, b nest.Flaw) bool { return equalLength(a.From, b.From) && equalLength(a.To, b.To) }
	if slices.EqualFunc(want, got, same) {
		return
	}
	c.add(Violation{Rule: RuleInside, Layout: lay.ID,
		Message: fmt.Sprintf("the layout lists the flaws %s; its rolls have %s", flawWords(got), flawWords(want))})
}

// mergeFlaws sorts flaws and joins those that meet.
func mergeFlaws(flaws []nest.Flaw) []nest.Flaw {
	s := slices.Clone(flaws)
	slices.SortFunc(s, func(a, b nest.Flaw) int { return cmp.Compare(a.From, b.From) })
	var out []nest.Flaw
	for _, f := range s {
		if n := len(out); n > 0 && f.From <= out[n-1].To+LengthTolerance {
			out[n-1].To = max(out[n-1].To, f.To)
			continue
		}
		out = append(out, f)
	}
	return out
}

func flawWords(flaws []nest.Flaw) string {
	if len(flaws) == 0 {
		return "none"
	}
	s := ""
	for i, f := range flaws {
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprintf("%.6g–%.6g", f.From, f.To)
	}
	return s
}
