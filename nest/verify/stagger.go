package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
)

// panelWidths checks that no panel of a ply is narrower, from edge or lap to
// edge or lap, than the record says the job allows.
func (c *checker) panelWidths(s panelSet) {
	p := s[0].Panel
	if !inRange(p.LeastWidth) || p.LeastWidth < 0 || !inRange(p.Stagger) || p.Stagger < 0 {
		c.panelFault(s[0], "the narrowest panel of ply %s is %g mm and its stagger %g mm", p.Ply, p.LeastWidth, p.Stagger)
		return
	}
	whole := c.shapes[p.Whole]
	if whole == nil || !polygonInRange(whole.Cut) || len(whole.Cut.Outline) == 0 {
		return // panelsCover says so
	}
	ring := turnRing(whole.Cut.Outline, -p.AxisDeg)
	for axis, seams := range [2][]float64{p.CrossSeams, p.Seams} {
		if len(seams) == 0 {
			continue
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range ring {
			lo, hi = min(lo, v[axis]), max(hi, v[axis])
		}
		for k := range len(seams) + 1 {
			from, to := field(seams, k, float64(p.Overlap/2))
			from, to = max(from, lo), min(to, hi)
			if to-from < p.LeastWidth-PanelTolerance {
				c.add(Violation{Rule: RulePanel, Plies: []nest.Key{s[0].Key()}, Measured: to - from, Limit: p.LeastWidth, Unit: "mm",
					Message: fmt.Sprintf("ply %s has a panel of %.6g mm between %.6g and %.6g, narrower than the %.6g mm allowed", p.Ply, to-from, from, to, p.LeastWidth)})
			}
		}
	}
}

// staggers checks that where two plies of one outline follow one another in
// the lay-up of a part, both divided along the same axis, no seam of the later
// lies nearer to one of the earlier than its stagger. sets are the panels of
// each ply. What is divided alike in several units or copies is looked at once.
func (c *checker) staggers(sets []panelSet) {
	type unit struct {
		part string
		unit int
	}
	type plyOf struct {
		unit
		ply string
	}
	divided := map[plyOf][]panelSet{}
	for _, s := range sets {
		k := plyOf{unit{s[0].Part, s[0].Unit}, s[0].Panel.Ply}
		alike := func(o panelSet) bool {
			return slices.Equal(o[0].Panel.Seams, s[0].Panel.Seams) && slices.Equal(o[0].Panel.CrossSeams, s[0].Panel.CrossSeams)
		}
		if !slices.ContainsFunc(divided[k], alike) {
			divided[k] = append(divided[k], s)
		}
	}
	// What is laid, by unit and order: each ply once, divided or whole.
	type laid struct {
		order int
		ply   string
	}
	layups, known := map[unit][]laid{}, map[plyOf]bool{}
	var units []unit
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		l, u := laid{d.Order, d.Ply}, unit{d.Part, d.Unit}
		if d.Panel != nil {
			l.ply = d.Panel.Ply
		}
		if layups[u] == nil {
			units = append(units, u)
		}
		if k := (plyOf{u, l.ply}); !known[k] {
			known[k] = true
			layups[u] = append(layups[u], l)
		}
	}
	seen := map[string]bool{}
	for _, u := range units {
		l := layups[u]
		slices.SortStableFunc(l, func(a, b laid) int { return cmp.Compare(a.order, b.order) })
		for i := 1; i < len(l); i++ {
			for _, before := range divided[plyOf{u, l[i-1].ply}] {
				for _, after := range divided[plyOf{u, l[i].ply}] {
					key := fmt.Sprintf("%q %q %q %v %v", u.part, l[i-1].ply, l[i].ply, *before[0].Panel, *after[0].Panel)
					if !seen[key] {
						seen[key] = true
						c.staggered(before, after)
					}
				}
			}
		}
	}
}

func (c *checker) staggered(before, after panelSet) {
	a, b := before[0].Panel, after[0].Panel
	was, is := c.shapes[a.Whole], c.shapes[b.Whole]
	if was == nil || is == nil || was.Name != is.Name || was.Source != is.Source ||
		math.Abs(wrap(a.AxisDeg-b.AxisDeg, 180)) > AngleTolerance {
		return
	}
	for axis, seams := range [2][2][]float64{{a.CrossSeams, b.CrossSeams}, {a.Seams, b.Seams}} {
		for _, x := range seams[0] {
			for _, y := range seams[1] {
				if apart := math.Abs(x - y); apart < b.Stagger-PanelTolerance {
					c.add(Violation{Rule: RulePanel, Plies: []nest.Key{after[0].Key(), before[0].Key()}, Measured: apart, Limit: b.Stagger, Unit: "mm",
						Message: fmt.Sprintf("seams of plies %s and %s%s lie %.6g mm apart; consecutive plies of one outline are staggered by %.6g mm",
							a.Ply, b.Ply, [2]string{", across the warp,", ""}[axis], apart, b.Stagger)})
				}
			}
		}
	}
}
