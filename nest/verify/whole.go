package verify

import (
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
)

// panelsCover checks that the panels of a ply make up the whole ply of the
// record, the laps exactly doubled: in each field between seams, grown by half
// a lap over every seam, lies what the whole ply has there, no more and no
// less. Net shapes are compared, since a panel that would be nothing but trim
// is not cut; as cut a panel may not reach outside the whole ply as cut.
//
// Both are polygons, so between two neighbouring levels at which either has a
// corner or a field ends, all sides are straight. What only one of them covers
// is measured along the lines just inside each such band and summed up as an
// area.
func (c *checker) panelsCover(s panelSet) {
	p := s[0].Panel
	whole := c.shapes[p.Whole]
	if whole == nil {
		c.panelFault(s[0], "the record does not hold the whole of ply %s, shape %q", p.Ply, p.Whole)
		return
	}
	if !polygonInRange(whole.Net) || !polygonInRange(whole.Cut) || len(whole.Net.Outline) == 0 || len(whole.Cut.Outline) == 0 {
		return // rule 1 says so
	}
	if len(p.Seams)+len(p.CrossSeams) == 0 {
		c.panelFault(s[0], "ply %s has %d panels and no seam", p.Ply, len(s))
		return
	}
	in := make([]panelRing, len(s))
	cut := make([][]nest.Ring, len(s))
	for i, d := range s {
		shape := c.shapes[d.Shape]
		if shape == nil || !polygonInRange(shape.Net) || !polygonInRange(shape.Cut) || len(shape.Net.Outline) == 0 {
			return
		}
		in[i].rings, cut[i] = turned(shape.Net, p.AxisDeg), turned(shape.Cut, p.AxisDeg)
		for axis, seams := range [2][]float64{p.CrossSeams, p.Seams} {
			in[i].field[axis], _ = fieldOf(in[i].rings[0], axis, seams, p.Overlap/2)
		}
	}
	net := turned(whole.Net, p.AxisDeg)
	if area := coverFault(net, in, p); area > areaAllowed(net, p) {
		c.add(Violation{Rule: RulePanel, Plies: []nest.Key{s[0].Key()}, Measured: area, Limit: areaAllowed(net, p), Unit: "mm2",
			Message: fmt.Sprintf("the panels of ply %s, laps apart, are not the whole ply: %.1f mm² are missing, or are there and should not be", p.Ply, area)})
		return
	}
	all := turned(whole.Cut, p.AxisDeg)
	for i, d := range s {
		if area := outsideArea(cut[i], all); area > areaAllowed(all, p) {
			c.add(Violation{Rule: RulePanel, Plies: []nest.Key{d.Key()}, Measured: area, Limit: areaAllowed(all, p), Unit: "mm2",
				Message: fmt.Sprintf("the panel as cut reaches outside the whole of ply %s by %.1f mm²", p.Ply, area)})
		}
	}
}

// areaAllowed is how much of a ply its panels may differ from it, mm²: each is
// clipped on a lattice of 10⁻⁴ mm at best, along every edge and both sides of
// every seam.
func areaAllowed(whole []nest.Ring, p *nest.Panel) float64 {
	length := 0.0
	for _, r := range whole {
		for i, a := range r {
			length += distance(a, r[(i+1)%len(r)])
		}
	}
	// A seam is no longer than half the way round.
	length += float64(length / 2 * float64(2*(len(p.Seams)+len(p.CrossSeams))))
	return max(1, length*PanelTolerance)
}

func turned(p nest.Polygon, axis float64) []nest.Ring {
	var out []nest.Ring
	for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
		out = append(out, turnRing(r, -axis))
	}
	return out
}

// coverFault is the area in which some field between the seams of a panel set,
// laps included, differs from the whole.
func coverFault(whole []nest.Ring, in []panelRing, p *nest.Panel) float64 {
	half := float64(p.Overlap / 2)
	polys := [][]nest.Ring{whole}
	for _, r := range in {
		polys = append(polys, r.rings)
	}
	var ends []float64
	for _, at := range p.Seams {
		ends = append(ends, at-half, at+half)
	}
	sum := 0.0
	bands(polys, ends, func(y, thick float64) {
		have := chords([][]nest.Ring{whole}, 1, y)
		for row := range len(p.Seams) + 1 {
			if lo, hi := field(p.Seams, row, half); y < lo || y > hi {
				continue
			}
			for column := range len(p.CrossSeams) + 1 {
				var here [][]nest.Ring
				for _, r := range in {
					if r.field == [2]int{column, row} {
						here = append(here, r.rings)
					}
				}
				lo, hi := field(p.CrossSeams, column, half)
				sum += float64(thick * difference(chords(here, 1, y), clipped(have, lo, hi)))
			}
		}
	})
	return sum
}

// outsideArea is the area of one polygon outside another.
func outsideArea(inner, outer []nest.Ring) float64 {
	sum := 0.0
	bands([][]nest.Ring{inner, outer}, nil, func(y, thick float64) {
		a, b := chords([][]nest.Ring{inner}, 1, y), chords([][]nest.Ring{outer}, 1, y)
		both := covered(a) + covered(b) - difference(a, b)
		sum += float64(thick * (covered(a) - float64(both/2)))
	})
	return sum
}

// bands calls f with two levels of every band in which no polygon has a corner,
// each with half the thickness of the band, mm.
func bands(polys [][]nest.Ring, ends []float64, f func(y, thick float64)) {
	levels := slices.Clone(ends)
	for _, rings := range polys {
		for _, r := range rings {
			for _, v := range r {
				levels = append(levels, v[1])
			}
		}
	}
	slices.Sort(levels)
	levels = slices.Compact(levels)
	for i := 0; i+1 < len(levels); i++ {
		lo, hi := levels[i], levels[i+1]
		// A band thinner than the grid is a rounding.
		if hi-lo <= Grid {
			continue
		}
		f(lo+(hi-lo)/8, (hi-lo)/2)
		f(hi-(hi-lo)/8, (hi-lo)/2)
	}
}

// field is where a field between seams begins and ends, half a lap beyond its
// seams.
func field(seams []float64, n int, half float64) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	if n > 0 {
		lo = seams[n-1] - half
	}
	if n < len(seams) {
		hi = seams[n] + half
	}
	return lo, hi
}

func clipped(s []interval, lo, hi float64) []interval {
	var out []interval
	for _, iv := range s {
		if iv = (interval{max(iv.lo, lo), min(iv.hi, hi)}); iv.hi > iv.lo {
			out = append(out, iv)
		}
	}
	return out
}
