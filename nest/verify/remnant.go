package verify

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/shapes"
)

// remnants checks rule 6 for rolls that are remnants: the outline, where there
// is one, is a simple ring that spans the length and width stated, and every
// ply cut from the remnant lies inside it, flaws and ends apart.
func (c *checker) remnants() {
	outside := map[*shapes.Roll]*nest.Polygon{}
	for i := range c.record.Fabrics {
		f := &c.record.Fabrics[i]
		for k := range f.Rolls {
			roll := &f.Rolls[k]
			if roll.Piece == nil {
				continue
			}
			if why := pieceFault(roll); why != "" {
				c.fault("remnant %s %s", roll.Name, why)
				continue
			}
			if len(roll.Piece.Outline) > 0 {
				outside[roll] = around(roll)
			}
		}
	}
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for i := range lay.Placed {
			p := &lay.Placed[i]
			layer := findLayer(lay, p.Layer)
			f := c.record.Fabric(p.Fabric)
			if layer == nil || f == nil || !inRange(layer.RollFrom) {
				continue // rules 1 and 2 say so
			}
			roll := findRoll(f, layer.Roll)
			if roll == nil || outside[roll] == nil {
				continue
			}
			at, depth, bad := Overlap(shifted(nest.Polygon{Outline: p.Outline, Holes: p.Holes}, layer.RollFrom), *outside[roll])
			if bad {
				at[0] -= layer.RollFrom
				c.addPly(lay, i, Violation{Rule: RuleInside, At: &at, Measured: depth, Limit: RoundingAllowance, Unit: "mm",
					Message: fmt.Sprintf("the ply reaches %.6g mm out of remnant %s", depth, roll.Name)})
			}
		}
	}
}

// pieceFault says what is wrong with a remnant's figures; nothing where they
// are sound.
func pieceFault(r *shapes.Roll) string {
	if !inRange(r.Piece.Selvedge) || r.Piece.Selvedge < 0 {
		return fmt.Sprintf("has a selvedge of %g mm", r.Piece.Selvedge)
	}
	if !(r.Length > 0) || !(r.Width > 0) {
		return fmt.Sprintf("is %g mm long and %g mm wide", r.Length, r.Width)
	}
	if len(r.Piece.Outline) == 0 {
		return ""
	}
	if faults := saneFaults(nest.Polygon{Outline: r.Piece.Outline}); len(faults) > 0 {
		return faults[0].message
	}
	box := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, v := range r.Piece.Outline {
		box = [4]float64{min(box[0], v[0]), min(box[1], v[1]), max(box[2], v[0]), max(box[3], v[1])}
	}
	if !equalLength(box[0], 0) || !equalLength(box[1], 0) || !equalLength(box[2], r.Length) || !equalLength(box[3], r.Width) {
		return fmt.Sprintf("spans (%.6g, %.6g) to (%.6g, %.6g), not its %.6g by %.6g mm", box[0], box[1], box[2], box[3], r.Length, r.Width)
	}
	return ""
}

// around is what lies about a remnant and is no fabric.
func around(r *shapes.Roll) *nest.Polygon {
	margin := max(r.Length, r.Width)
	hole := make(nest.Ring, len(r.Piece.Outline))
	for i, v := range r.Piece.Outline {
		hole[len(hole)-1-i] = v
	}
	return &nest.Polygon{Holes: []nest.Ring{hole}, Outline: nest.Ring{
		{-margin, -margin}, {r.Length + margin, -margin}, {r.Length + margin, r.Width + margin}, {-margin, r.Width + margin}}}
}

func shifted(p nest.Polygon, dx float64) nest.Polygon {
	move := func(r nest.Ring) nest.Ring {
		out := make(nest.Ring, len(r))
		for i, v := range r {
			out[i] = nest.Point{nest.Round(v[0] + dx), v[1]}
		}
		return out
	}
	out := nest.Polygon{Outline: move(p.Outline)}
	for _, h := range p.Holes {
		out.Holes = append(out.Holes, move(h))
	}
	return out
}
