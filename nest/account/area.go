package account

import (
	"fmt"
	"math"

	clipper "github.com/ctessum/go.clipper"
	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes/geom"
)

// grid is the clipping grid, mm: that of the record, so that clipping moves no
// vertex, only crossings.
const grid = 1e-6

func ringArea(r nest.Ring) float64 { return geom.Area(toOrb(r)) }

func toOrb(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}

// polygonArea is exterior less holes, mm².
func polygonArea(p nest.Polygon) float64 {
	a := ringArea(p.Outline)
	for _, h := range p.Holes {
		a -= ringArea(h)
	}
	return a
}

// remainder is the area of a set of clip regions taken out of a set of subject
// regions that do not overlap, mm². Rings of one set may not be relied on to run one
// way: each set is filled by the non-zero rule after every ring is turned
// counter-clockwise.
//
// The clipping library now and then loses a region between plies that touch. What is
// taken out and what is left must make up the whole; where they do not, it is asked
// again with the axes exchanged, which has it meet the edges in another order.
func remainder(subject, clip []nest.Ring) (float64, error) {
	whole := 0.0
	for _, r := range subject {
		whole += ringArea(r)
	}
	first := 0.0
	for _, turned := range []bool{false, true} {
		left, err := clipped(clipper.CtDifference, subject, clip, turned)
		if err != nil {
			return 0, err
		}
		out, err := clipped(clipper.CtIntersection, subject, clip, turned)
		if err != nil {
			return 0, err
		}
		if math.Abs(whole-left-out) <= clippingSlack {
			return left, nil
		}
		if !turned {
			first = left
		}
	}
	return first, nil
}

// clippingSlack is how far what is taken out and what is left may be from the whole,
// mm²: far more than rounding to the grid, far less than a region worth counting.
const clippingSlack = 0.1

// clipped is the area of what an operation of the clipping library yields, mm².
func clipped(op clipper.ClipType, subject, clip []nest.Ring, turned bool) (area float64, err error) {
	defer func() {
		// The clipping library panics where coordinates leave its range.
		if r := recover(); r != nil {
			err = fmt.Errorf("clipping failed: %v", r)
		}
	}()
	c := clipper.NewClipper(clipper.IoNone)
	for _, r := range subject {
		c.AddPath(toPath(r, turned), clipper.PtSubject, true)
	}
	for _, r := range clip {
		c.AddPath(toPath(r, turned), clipper.PtClip, true)
	}
	out, ok := c.Execute1(op, clipper.PftNonZero, clipper.PftNonZero)
	if !ok {
		return 0, fmt.Errorf("clipping failed")
	}
	for _, p := range out {
		area += pathArea(p)
	}
	return area, nil
}

// toPath is a ring on the clipping grid, counter-clockwise; turned exchanges the axes.
func toPath(r nest.Ring, turned bool) clipper.Path {
	ring := toOrb(r)
	if turned {
		for i, p := range ring {
			ring[i] = orb.Point{p[1], p[0]}
		}
	}
	ring = geom.Oriented(ring, true)
	path := make(clipper.Path, len(ring))
	for i, p := range ring {
		path[i] = &clipper.IntPoint{
			X: clipper.CInt(math.Round(p[0] / grid)),
			Y: clipper.CInt(math.Round(p[1] / grid)),
		}
	}
	return path
}

// pathArea is the signed area of a clipped ring, mm²; holes count negative.
func pathArea(p clipper.Path) float64 {
	r := make(orb.Ring, len(p))
	for i, v := range p {
		r[i] = orb.Point{float64(v.X) * grid, float64(v.Y) * grid}
	}
	return geom.SignedArea(r)
}
