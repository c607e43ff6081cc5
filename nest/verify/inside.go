package verify

import (
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// usable is the rectangle plies may lie in, on the lattice.
type usable struct{ box }

// outside returns a violation for every side of the rectangle that p passes.
// The rectangle is convex, so vertices decide.
func (u usable) outside(p *polygon) []Violation {
	var out []Violation
	for _, s := range []struct {
		name string
		past int64
		at   func(point) bool
	}{
		{"start", u.x0 - p.box.x0, func(v point) bool { return v.x == p.box.x0 }},
		{"end", p.box.x1 - u.x1, func(v point) bool { return v.x == p.box.x1 }},
		{"lower edge", u.y0 - p.box.y0, func(v point) bool { return v.y == p.box.y0 }},
		{"upper edge", p.box.y1 - u.y1, func(v point) bool { return v.y == p.box.y1 }},
	} {
		if s.past <= int64(allowance) {
			continue
		}
		mm := float64(s.past) / unitsPerMM
		out = append(out, Violation{
			Rule: RuleInside, At: firstVertex(p, s.at), Measured: mm, Limit: RoundingAllowance, Unit: "mm",
			Message: fmt.Sprintf("the ply reaches %.6g mm past the %s of the usable area", mm, s.name),
		})
	}
	return out
}

func firstVertex(p *polygon, at func(point) bool) *nest.Point {
	for _, r := range p.rings {
		for _, v := range r {
			if at(v) {
				mm := v.mm()
				return &mm
			}
		}
	}
	return nil
}

// inside checks rule 6 for every layout: the usable area follows from fabric,
// rolls and rules, the table holds the layout, and the plies lie in the area
// and off the flaws.
func (c *checker) inside() {
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		c.area(lay)
		c.table(lay)
		c.plyPlaces(lay, c.polys[l])
		c.lengthNeeded(lay, c.polys[l])
	}
}

// area checks the usable rectangle and the width. Layers are aligned at their
// lower edges, so the usable strip is what their usable strips share.
func (c *checker) area(lay *nest.Layout) {
	r := &c.record.Rules
	if len(lay.Layers) == 0 {
		return // rule 1 says so
	}
	lower, upper, whole := math.Inf(-1), math.Inf(1), 0.0
	for i := range lay.Layers {
		f := c.record.Fabric(lay.Layers[i].Fabric)
		if f == nil {
			return // rule 1 says so
		}
		width, selvedge := f.Width, f.Selvedge
		if roll := findRoll(f, lay.Layers[i].Roll); roll != nil {
			if roll.Width > 0 {
				width = roll.Width
			}
			if roll.Piece != nil {
				selvedge = roll.Piece.Selvedge
			}
		}
		lower = max(lower, selvedge)
		upper = min(upper, width-selvedge)
		whole = max(whole, width)
	}
	for _, s := range []struct {
		name      string
		got, want float64
	}{
		{"usable area begins at x", lay.Usable[0][0], r.EndAllowance},
		{"usable area begins at y", lay.Usable[0][1], lower},
		{"usable area ends at x", lay.Usable[1][0], lay.Length - r.EndAllowance},
		{"usable area ends at y", lay.Usable[1][1], upper},
		{"layout's width is", lay.Width, whole},
	} {
		if !equalLength(s.got, s.want) {
			c.add(Violation{Rule: RuleInside, Layout: lay.ID, Measured: s.got, Limit: s.want, Unit: "mm",
				Message: fmt.Sprintf("the %s %.6f mm; fabric, selvedge, end allowance and length make it %.6f mm", s.name, s.got, s.want)})
		}
	}
}

// table checks that the cutting table holds the layout.
func (c *checker) table(lay *nest.Layout) {
	t := c.record.Rules.Table
	if t == nil {
		return
	}
	if t.Width > 0 && lay.Width > t.Width+LengthTolerance {
		c.add(Violation{Rule: RuleInside, Layout: lay.ID, Measured: lay.Width, Limit: t.Width, Unit: "mm",
			Message: fmt.Sprintf("the layout is %.6g mm wide, the table %.6g mm", lay.Width, t.Width)})
	}
	if t.Kind == "static" && t.Length > 0 && lay.Length > t.Length+LengthTolerance {
		c.add(Violation{Rule: RuleInside, Layout: lay.ID, Measured: lay.Length, Limit: t.Length, Unit: "mm",
			Message: fmt.Sprintf("the layout is %.6g mm long, the static table %.6g mm", lay.Length, t.Length)})
	}
}

// plyPlaces checks that every ply lies in the usable area and off the flaws.
func (c *checker) plyPlaces(lay *nest.Layout, polys []*polygon) {
	for _, p := range lay.Usable {
		if !inRange(p[0]) || !inRange(p[1]) {
			return // rule 1 says so
		}
	}
	lo, hi := snapPoint(lay.Usable[0]), snapPoint(lay.Usable[1])
	area := usable{box{lo.x, lo.y, hi.x, hi.y}}
	flaws := append(append([]nest.Flaw(nil), lay.Flaws...), c.rollFlaws(lay)...)
	for i, p := range polys {
		if p == nil {
			continue
		}
		for _, v := range area.outside(p) {
			c.addPly(lay, i, v)
		}
		if v, bad := onFlaw(p, flaws); bad {
			c.addPly(lay, i, v)
		}
	}
}

// onFlaw reports the flaw a ply lies on deepest. A flaw runs across the whole
// width and a ply is in one piece: it lies on the flaw where the two share a
// stretch of x.
func onFlaw(p *polygon, flaws []nest.Flaw) (Violation, bool) {
	var worst Violation
	for _, f := range flaws {
		if !inRange(f.From) || !inRange(f.To) {
			continue
		}
		from, to := max(p.box.x0, snapLength(f.From)), min(p.box.x1, snapLength(f.To))
		if to-from <= int64(allowance) {
			continue
		}
		mm := float64(to-from) / unitsPerMM
		if mm <= worst.Measured {
			continue
		}
		worst = Violation{
			Rule: RuleInside, Measured: mm, Limit: RoundingAllowance, Unit: "mm",
			At:      firstVertex(p, func(v point) bool { return v.x == p.box.x0 }),
			Message: fmt.Sprintf("the ply lies on the flaw from %.6g to %.6g mm along the layout, %.6g mm of it", f.From, f.To, mm),
		}
	}
	return worst, worst.Measured > 0
}

// lengthNeeded checks that the layout is no longer than its plies need. On a
// roll with flaws a layout that another one follows may be: the place of the
// next one is then fixed by the flaws.
func (c *checker) lengthNeeded(lay *nest.Layout, polys []*polygon) {
	end := math.Inf(-1)
	for _, p := range polys {
		if p != nil {
			end = max(end, float64(p.box.x1)/unitsPerMM)
		}
	}
	need := end + c.record.Rules.EndAllowance
	if len(lay.Placed) == 0 || !(lay.Length > need+LengthSlack) || math.IsInf(need, 0) || c.followedOnFlawedRoll(lay) {
		return
	}
	c.add(Violation{Rule: RuleInside, Layout: lay.ID, Measured: lay.Length, Limit: need, Unit: "mm",
		Message: fmt.Sprintf("the layout is %.6f mm long, its plies and end allowances need %.6f mm", lay.Length, need)})
}

// equalLength compares two lengths of a record.
func equalLength(a, b float64) bool { return math.Abs(a-b) <= LengthTolerance }

// followedOnFlawedRoll reports whether another layout begins where this one
// ends, on a roll that lists flaws.
func (c *checker) followedOnFlawedRoll(lay *nest.Layout) bool {
	for _, ly := range lay.Layers {
		f := c.record.Fabric(ly.Fabric)
		if f == nil || !slices.ContainsFunc(f.Rolls, func(r shapes.Roll) bool { return r.Name == ly.Roll && len(r.Flaws) > 0 }) {
			continue
		}
		end := ly.RollFrom + lay.Length
		for i := range c.record.Layouts {
			for _, o := range c.record.Layouts[i].Layers {
				if o.Fabric == ly.Fabric && o.Roll == ly.Roll && math.Abs(o.RollFrom-end) <= LengthTolerance {
					return true
				}
			}
		}
	}
	return false
}
