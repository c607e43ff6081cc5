package verify

import (
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
)

// TogetherTolerance is how far the stretches of two kits may run into each
// other, mm: as much as a gap may fall short.
const TogetherTolerance = GapTolerance

// together checks rule 12: on each layout, the stretch of x from the first ply
// to the last of a kit that is kept together is that kit's alone, whatever the
// layers. A ply that is cut in one pass with another kit's shares its stretch,
// so it breaks the rule as well.
func (c *checker) together() {
	kept := map[string]bool{}
	for _, name := range c.record.Rules.KeepTogether {
		switch {
		case kept[name]:
			c.fault("the rules keep part %q together twice", name)
		case !slices.ContainsFunc(c.record.Parts, func(p nest.Part) bool { return p.Part == name }):
			c.fault("the rules keep part %q together, which is no part of the job", name)
		}
		kept[name] = true
	}
	for l := range c.record.Layouts {
		c.stretches(&c.record.Layouts[l], kept)
	}
}

// stretches checks one layout.
func (c *checker) stretches(lay *nest.Layout, kept map[string]bool) {
	type kit struct {
		part string
		unit int
	}
	type stretch struct {
		from, to float64
		last     int // the ply that reaches furthest
	}
	own := map[kit]*stretch{}
	var kits []kit
	span := make([][2]float64, len(lay.Placed))
	for i := range lay.Placed {
		p := &lay.Placed[i]
		span[i] = [2]float64{math.Inf(1), math.Inf(-1)}
		for _, v := range p.Outline {
			span[i][0], span[i][1] = min(span[i][0], v[0]), max(span[i][1], v[0])
		}
		if !kept[p.Part] || !(span[i][0] <= span[i][1]) {
			continue
		}
		k := kit{p.Part, p.Unit}
		s := own[k]
		if s == nil {
			s = &stretch{from: span[i][0], to: span[i][1], last: i}
			own[k] = s
			kits = append(kits, k)
		}
		s.from = min(s.from, span[i][0])
		if span[i][1] > s.to {
			s.to, s.last = span[i][1], i
		}
	}
	for _, k := range kits {
		s := own[k]
		for i := range lay.Placed {
			p := &lay.Placed[i]
			if p.Part == k.part && p.Unit == k.unit {
				continue
			}
			if into := min(s.to, span[i][1]) - max(s.from, span[i][0]); into > TogetherTolerance {
				c.add(Violation{Rule: RuleTogether, Layout: lay.ID, Items: []int{i, s.last}, Plies: []nest.Key{p.Key(), lay.Placed[s.last].Key()},
					Measured: into, Limit: 0, Unit: "mm",
					Message: fmt.Sprintf("the first ply reaches %.3f mm into the stretch that %s, unit %d has to itself", into, k.part, k.unit)})
				break
			}
		}
	}
}
