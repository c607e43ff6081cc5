package verify

import (
	"math"

	"plyroom/nest"
)

// Check reads a record and returns every breach of the rules, in the order of
// the rules; none means that the plan may be cut.
//
//  1. RuleRecord: format and units; numbers finite and in range; names and
//     numbers unique; fabrics, shapes, parts and layers known; shapes with
//     simple rings, exteriors counter-clockwise, cut-outs clockwise and
//     inside; the shape as cut stands off the net shape by the trim; masses,
//     prices and times possible; names printable.
//  2. RuleDemand: every demanded piece is placed exactly once, or listed as
//     missing; nothing else is placed; each has the fabric, lay-up order and
//     hand demanded and lies in a layer of its fabric.
//  3. RuleOutline: outline and cut-outs are those of the cut shape in the
//     stated hand, face, rotation and position, within VertexTolerance and
//     TurnTolerance.
//  4. RuleOverlap: plies of one layer do not overlap deeper than
//     RoundingAllowance. A ply may lie in the cut-out of another.
//  5. RuleGap: plies of one layer keep the gap, less GapTolerance.
//  6. RuleInside: the usable area follows from fabric, roll, selvedge, end
//     allowance and length; plies lie in it and off the flaws, inside the
//     outline of a remnant and clear of the selvedge it has; table and roll
//     hold the layouts; layouts on one roll are clear of one another.
//  7. RuleDirection: the face laid up is allowed, the warp is within the
//     smaller of the ply's tolerance and the rules' angle tolerance of what is
//     asked, and the recorded figures say so.
//  8. RuleSpread: layers may be stacked, each holds the same cut shapes and
//     slits, and the lower ply of a pair is laid first.
//  9. RuleBound: no bound is longer than the layouts it speaks of, and every
//     fabric drawn has one.
//  10. RulePanel: the panels of a divided ply are all demanded, agree on their
//     seams, keep to their fields and meet along the seams, state the laps they
//     have, and make up the whole ply with the laps doubled and nothing else; none
//     is narrower than the job allows; seams follow the warp, and unidirectional
//     fabric is butted and not cut across; seams of plies of one outline that
//     follow one another are staggered; what was divided though it fits whole
//     saves the fabric that the job asks for.
//  11. RuleLot: where the job asks for it, the plies of one fabric in one unit
//     of a part come from one lot.
//  12. RuleTogether: on a layout that holds plies of a kit that is kept
//     together, no other ply reaches into the stretch from its first ply to its
//     last.
//  13. RuleLife: no layout is cut from a roll after its last day or with its
//     out-life used up, unless the rules allow it.
//
// Check never panics, whatever the record holds.
func Check(r *nest.Record) []Violation {
	if r == nil {
		return []Violation{{Rule: RuleRecord, Message: "there is no record"}}
	}
	c := &checker{record: r, demands: r.DemandByKey(), shapes: r.ShapesByID()}
	c.polys = make([][]*polygon, len(r.Layouts))
	for l := range r.Layouts {
		placed := r.Layouts[l].Placed
		c.polys[l] = make([]*polygon, len(placed))
		for i := range placed {
			c.polys[l][i] = snapPolygon(nest.Polygon{Outline: placed[i].Outline, Holes: placed[i].Holes})
		}
	}
	for _, check := range checks {
		check(c)
	}
	return c.found
}

// checks are the rules in their order.
var checks = []func(*checker){
	(*checker).consistent, // 1
	(*checker).sane,
	(*checker).trims,
	(*checker).demand,      // 2
	(*checker).outlines,    // 3
	(*checker).apartLayers, // 4 and 5
	(*checker).inside,      // 6
	(*checker).rolls,
	(*checker).remnants,
	(*checker).directions, // 7
	(*checker).spreads,    // 8
	(*checker).bound,      // 9
	(*checker).panels,     // 10
	(*checker).divisions,
	(*checker).lots,     // 11
	(*checker).together, // 12
	(*checker).lives,    // 13
}

// A checker holds a record, its look-ups, and what was found.
type checker struct {
	record  *nest.Record
	demands map[nest.Key]*nest.Demand
	shapes  map[string]*nest.Shape
	// polys are the placed plies on the lattice, by layout; nil where the
	// outline is no polygon.
	polys [][]*polygon
	found []Violation
}

func (c *checker) add(v Violation) { c.found = append(c.found, v) }

// addPly adds a violation about one placed piece.
func (c *checker) addPly(lay *nest.Layout, i int, v Violation) {
	v.Layout, v.Items, v.Plies = lay.ID, []int{i}, []nest.Key{lay.Placed[i].Key()}
	c.add(v)
}

// apartLayers checks rules 4 and 5 in every layer of every layout.
func (c *checker) apartLayers() {
	gap := c.record.Rules.Gap
	if !inRange(gap) {
		gap = 0 // rule 1 says so
	}
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for _, layer := range layerNumbers(lay) {
			polys := make([]*polygon, len(lay.Placed))
			for i := range lay.Placed {
				if lay.Placed[i].Layer == layer {
					polys[i] = c.polys[l][i]
				}
			}
			for _, v := range separate(polys, gap) {
				v.Layout = lay.ID
				for _, i := range v.Items {
					v.Plies = append(v.Plies, lay.Placed[i].Key())
				}
				c.add(v)
			}
		}
	}
}

// layerNumbers lists the layers that plies name, whether they exist or not.
func layerNumbers(lay *nest.Layout) []int {
	var out []int
	seen := map[int]bool{}
	for i := range lay.Placed {
		if n := lay.Placed[i].Layer; !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	return out
}

func distance(a, b nest.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
