package verify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// A panelSet is the panels of one ply that was divided, as demanded.
type panelSet []*nest.Demand

// panels checks rule 10 for every divided ply: the panels are complete and none
// is too narrow, each keeps to its field between the seams, where two fields
// meet both sides have the same width along the seam, lap included, save where
// the record says that a butted seam runs along an edge of the ply, and together
// they make up the whole. Seams of consecutive plies are staggered.
func (c *checker) panels() {
	type key struct {
		part, ply  string
		unit, copy int
	}
	sets := map[key]panelSet{}
	var order []key
	for i := range c.record.Demand {
		d := &c.record.Demand[i]
		if d.Panel == nil {
			continue
		}
		k := key{d.Part, d.Panel.Ply, d.Unit, d.Copy}
		if sets[k] == nil {
			order = append(order, k)
		}
		sets[k] = append(sets[k], d)
	}
	// Units and copies share their shapes: the seams of a ply are looked at
	// once.
	seen := map[string]bool{}
	var sound []panelSet
	for _, k := range order {
		s := sets[k]
		if !c.panelsComplete(s) || !c.seamsAllowed(s) {
			continue
		}
		sound = append(sound, s)
		ids := ""
		for _, d := range s {
			ids += d.Shape + "\x00"
		}
		if !seen[ids] {
			seen[ids] = true
			before := len(c.found)
			c.panelWidths(s)
			c.panelFields(s)
			if len(c.found) == before {
				c.panelsCover(s)
			}
		}
	}
	c.staggers(sound)
}

func (c *checker) panelFault(d *nest.Demand, format string, args ...any) {
	c.add(Violation{Rule: RulePanel, Plies: []nest.Key{d.Key()}, Message: fmt.Sprintf(format, args...)})
}

// panelsComplete checks that the panels are numbered 1 to n, each once, and
// that all say the same about the ply and its seams.
func (c *checker) panelsComplete(s panelSet) bool {
	before := len(c.found)
	first := s[0]
	seen := map[int]bool{}
	for _, d := range s {
		p, q := d.Panel, first.Panel
		switch {
		case p.Number < 1 || p.Number > p.Of || seen[p.Number]:
			c.panelFault(d, "it is numbered panel %d of %d, outside the count or twice", p.Number, p.Of)
		case p.Of != len(s):
			c.panelFault(d, "it is one of %d panels of ply %s; %d are demanded", p.Of, p.Ply, len(s))
		case d.Fabric != first.Fabric || d.Order != first.Order || d.OppositeHand != first.OppositeHand ||
			d.DirectionDeg != first.DirectionDeg || d.ToleranceDeg != first.ToleranceDeg:
			c.panelFault(d, "the panels of ply %s differ in fabric, order, hand, direction or tolerance", p.Ply)
		case p.Whole != q.Whole || p.OnPurpose != q.OnPurpose || p.LeastWidth != q.LeastWidth || p.Stagger != q.Stagger:
			c.panelFault(d, "the panels of ply %s differ in the whole they make up, in why they are divided, or in narrowest panel or stagger", p.Ply)
		case p.Joint != q.Joint || p.Overlap != q.Overlap || p.AxisDeg != q.AxisDeg ||
			!slices.Equal(p.Seams, q.Seams) || !slices.Equal(p.CrossSeams, q.CrossSeams) || !slices.Equal(p.Free, q.Free):
			c.panelFault(d, "the panels of ply %s differ in their seams", p.Ply)
		}
		seen[p.Number] = true
	}
	return len(c.found) == before
}

// seamsAllowed checks the joint, that seams rise, that they follow the warp, and
// that unidirectional fibre is butted along the fibre and never cut across.
func (c *checker) seamsAllowed(s panelSet) bool {
	before := len(c.found)
	d := s[0]
	p := d.Panel
	switch {
	case p.Joint != shapes.JointLap && p.Joint != shapes.JointButt:
		c.panelFault(d, "the joint is %q; it must be lap or butt", p.Joint)
	case !inRange(p.Overlap) || p.Overlap < 0 || p.Joint == shapes.JointButt && p.Overlap != 0:
		c.panelFault(d, "the panels are joined by %s and overlap by %g mm", p.Joint, p.Overlap)
	case !inRange(p.AxisDeg):
		c.panelFault(d, "the axis of the seams is %g", p.AxisDeg)
	case slices.ContainsFunc(p.Free, func(f [2]nest.Point) bool {
		return !inRange(f[0][0]) || !inRange(f[0][1]) || !inRange(f[1][0]) || !inRange(f[1][1])
	}):
		c.panelFault(d, "the free stretches of its seams at %v are out of range", p.Free)
	case !rising(p.Seams) || !rising(p.CrossSeams):
		c.panelFault(d, "the seams at %v and %v are not in rising order", p.Seams, p.CrossSeams)
	}
	f := c.record.Fabric(d.Fabric)
	if f == nil || len(c.found) > before {
		return len(c.found) == before
	}
	if f.Construction == shapes.Unidirectional && (p.Overlap != 0 || len(p.CrossSeams) > 0) {
		c.panelFault(d, "unidirectional fabric is butted along the fibre; here it overlaps by %g mm and has %d seams across the fibre", p.Overlap, len(p.CrossSeams))
	}
	axis, asked := p.AxisDeg, d.DirectionDeg
	if d.OppositeHand {
		axis, asked = -axis, -asked
	}
	least := math.Inf(1)
	for _, faceDown := range [2]bool{false, true} {
		if pos, why := warpPosition(f, faceDown, d.OppositeHand); why == "" {
			for _, v := range pos.deviations(axis, asked) {
				// Seams are lines: half turns do not matter.
				least = min(least, math.Abs(wrap(v, 180)))
			}
		}
	}
	if limit := max(min(d.ToleranceDeg, c.record.Rules.AngleTolerance), 0); least > limit+AngleTolerance {
		c.add(Violation{Rule: RulePanel, Plies: []nest.Key{d.Key()}, Measured: least, Limit: limit, Unit: "deg",
			Message: fmt.Sprintf("the seams of ply %s lie %.6g° off the warp", p.Ply, least)})
	}
	return len(c.found) == before
}

func rising(v []float64) bool {
	for i := range v {
		if !inRange(v[i]) || i > 0 && v[i] <= v[i-1] {
			return false
		}
	}
	return true
}

// A panelRing is a panel's cut rings in the frame of the seams, and the field
// it lies in.
type panelRing struct {
	rings []nest.Ring
	// field counts columns (0) and rows (1) of fields.
	field [2]int
}

// panelFields checks the panels against the seams.
func (c *checker) panelFields(s panelSet) {
	p := s[0].Panel
	var in []panelRing
	for _, d := range s {
		shape := c.shapes[d.Shape]
		if shape == nil || !polygonInRange(shape.Cut) || len(shape.Cut.Outline) == 0 {
			return // rule 1 says so
		}
		r := panelRing{}
		for _, ring := range append([]nest.Ring{shape.Cut.Outline}, shape.Cut.Holes...) {
			r.rings = append(r.rings, turnRing(ring, -p.AxisDeg))
		}
		for axis, seams := range [2][]float64{p.CrossSeams, p.Seams} {
			field, over := fieldOf(r.rings[0], axis, seams, p.Overlap/2)
			if over > PanelTolerance {
				c.add(Violation{Rule: RulePanel, Plies: []nest.Key{d.Key()}, Measured: over, Limit: PanelTolerance, Unit: "mm",
					Message: fmt.Sprintf("the panel reaches %.6g mm out of its field between the seams of ply %s", over, p.Ply)})
				return
			}
			r.field[axis] = field
		}
		in = append(in, r)
		c.lapMatches(d, r.field)
	}
	c.seamsMeet(s[0], in, 1, p.Seams)
	c.seamsMeet(s[0], in, 0, p.CrossSeams)
}

func turnRing(r nest.Ring, deg float64) nest.Ring {
	sin, cos := sinCosDeg(deg)
	out := make(nest.Ring, len(r))
	for i, v := range r {
		out[i] = nest.Point{float64(cos*v[0]) - float64(sin*v[1]), float64(sin*v[0]) + float64(cos*v[1])}
	}
	return out
}

// fieldOf finds the field between seams that a ring lies in, as the one it
// passes least, and how far it passes it. half is the half lap on each side.
func fieldOf(r nest.Ring, axis int, seams []float64, half float64) (field int, over float64) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range r {
		lo, hi = min(lo, v[axis]), max(hi, v[axis])
	}
	over = math.Inf(1)
	for k := range len(seams) + 1 {
		past := 0.0
		if k > 0 {
			past = max(past, seams[k-1]-half-lo)
		}
		if k < len(seams) {
			past = max(past, hi-seams[k]-half)
		}
		if past < over {
			field, over = k, past
		}
	}
	return field, over
}

// seamsMeet checks every seam across one axis (1: seams along the warp, at y):
// the panels on its two sides are equally wide at the edges of the lap and in
// its middle, or share their edges where they are butted, save just where the
// record says that the seam runs along an edge of the ply.
func (c *checker) seamsMeet(d *nest.Demand, in []panelRing, axis int, seams []float64) {
	half := d.Panel.Overlap / 2
	for k, at := range seams {
		below, above := sideRings(in, axis, k), sideRings(in, axis, k+1)
		var worst float64
		if half == 0 {
			oneSided := apart(edgesOn(below, axis, at), edgesOn(above, axis, at))
			worst = difference(oneSided, freeOn(d.Panel.Free, axis, at))
		} else {
			const nudge = 2 * PanelTolerance
			for _, level := range [3]float64{at - half + 2*nudge, at, at + half - 2*nudge} {
				// A level may fall on an edge of the ply; one of three does not.
				least := math.Inf(1)
				for _, y := range [3]float64{level, level - nudge, level + nudge} {
					least = min(least, difference(chords(below, axis, y), chords(above, axis, y)))
				}
				worst = max(worst, least)
			}
		}
		if worst > SeamTolerance {
			c.add(Violation{Rule: RulePanel, Plies: []nest.Key{d.Key()}, Measured: worst, Limit: SeamTolerance, Unit: "mm",
				Message: fmt.Sprintf("the panels of ply %s do not meet along the seam at %.6g mm: %.6g mm of it has a panel on one side only", d.Panel.Ply, at, worst)})
		}
	}
}

// sideRings collects the rings of all panels in one row or column of fields.
func sideRings(in []panelRing, axis, field int) [][]nest.Ring {
	var out [][]nest.Ring
	for _, r := range in {
		if r.field[axis] == field {
			out = append(out, r.rings)
		}
	}
	return out
}

// chords lists the stretches of the line at a height that lie inside polygons,
// joined.
func chords(polys [][]nest.Ring, axis int, at float64) []interval {
	var out []interval
	for _, rings := range polys {
		var hits []float64
		for _, r := range rings {
			for i, a := range r {
				b := r[(i+1)%len(r)]
				if (a[axis] > at) == (b[axis] > at) {
					continue
				}
				s := (at - a[axis]) / (b[axis] - a[axis])
				hits = append(hits, a[1-axis]+float64(s*(b[1-axis]-a[1-axis])))
			}
		}
		slices.Sort(hits)
		for i := 0; i+1 < len(hits); i += 2 {
			out = append(out, interval{hits[i], hits[i+1]})
		}
	}
	return joined(out)
}

// edgesOn lists the stretches of the line at a height that edges run along,
// joined.
func edgesOn(polys [][]nest.Ring, axis int, at float64) []interval {
	var out []interval
	for _, rings := range polys {
		for _, r := range rings {
			for i, a := range r {
				b := r[(i+1)%len(r)]
				if math.Abs(a[axis]-at) <= PanelTolerance && math.Abs(b[axis]-at) <= PanelTolerance {
					out = append(out, interval{min(a[1-axis], b[1-axis]), max(a[1-axis], b[1-axis])})
				}
			}
		}
	}
	return joined(out)
}

// freeOn lists the stretches of a seam that the record says lie free, joined.
func freeOn(free [][2]nest.Point, axis int, at float64) []interval {
	var out []interval
	for _, f := range free {
		if math.Abs(f[0][axis]-at) <= PanelTolerance && math.Abs(f[1][axis]-at) <= PanelTolerance {
			out = append(out, interval{min(f[0][1-axis], f[1][1-axis]), max(f[0][1-axis], f[1][1-axis])})
		}
	}
	return joined(out)
}

// apart lists what only one of two joined lists covers.
func apart(a, b []interval) []interval {
	var ends []float64
	for _, iv := range slices.Concat(a, b) {
		ends = append(ends, iv.lo, iv.hi)
	}
	slices.Sort(ends)
	var out []interval
	for i := 0; i+1 < len(ends); i++ {
		middle := (ends[i] + ends[i+1]) / 2
		within := func(iv interval) bool { return iv.lo <= middle && middle <= iv.hi }
		if slices.ContainsFunc(a, within) != slices.ContainsFunc(b, within) {
			out = append(out, interval{ends[i], ends[i+1]})
		}
	}
	return joined(out)
}

func joined(s []interval) []interval {
	slices.SortFunc(s, func(a, b interval) int { return cmp.Compare(a.lo, b.lo) })
	var out []interval
	for _, iv := range s {
		if n := len(out); n > 0 && iv.lo <= out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, iv.hi)
			continue
		}
		out = append(out, iv)
	}
	return out
}

// difference is the length of what only one of two joined lists covers.
func difference(a, b []interval) float64 {
	both := 0.0
	for _, p := range a {
		for _, q := range b {
			both += max(0, min(p.hi, q.hi)-max(p.lo, q.lo))
		}
	}
	return covered(a) + covered(b) - 2*both
}

func covered(s []interval) float64 {
	sum := 0.0
	for _, iv := range s {
		sum += iv.hi - iv.lo
	}
	return sum
}
