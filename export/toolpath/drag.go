package toolpath

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

const (
	// swingStep is the largest step of the arc a drag knife's holder makes
	// round its tip, degrees; the tip strays by offset·(1 - cos(step/2)).
	swingStep = 10
	// swingLeast is the change of direction that is not worth an arc, degrees.
	swingLeast = 0.5
)

// drag cuts with a blade whose tip trails the holder by the blade offset. The
// holder goes ahead of the tip by the offset; at a corner it swings round the
// tip. It is lowered with the blade as the last cut left it and swings into
// the first direction on the spot, so that no scar stays.
func (k *knife) drag(c *Cut) {
	b := k.m.BladeOffset
	line := c.Points
	if c.Closed {
		line = append(line[:len(line):len(line)], line[0])
		line = append(line, ahead(line, k.m.Overcut)...)
	}
	tip, segs := segments(line, c.Closed && k.m.Overcut == 0, k.m.ArcTolerance)
	h := k.heading
	k.goTo(offset(tip, h, b), h)
	k.lower()
	for _, s := range short(tip, segs) {
		k.swing(tip, h, s.heading(tip), b)
		h = s.endHeading(tip)
		// Round an arc the holder keeps to a circle about the same centre.
		k.add(Move{Op: Draw, To: offset(s.To, h, b), Heading: h, Centre: s.Centre, Sweep: s.Sweep})
		tip = s.To
	}
	k.lift()
}

// swing draws the arc of the holder round the tip from one heading to another.
func (k *knife) swing(tip orb.Point, from, to, b float64) {
	turn := normal(to - from)
	arc := k.m.ArcTolerance > 0
	if b == 0 || math.Abs(turn) < swingLeast {
		if p := offset(tip, to, b); arc && dist(k.at, p) > 1e-9 {
			k.add(Move{Op: Draw, To: p, Heading: to}) // where the arc to come begins
		}
		return
	}
	step := float64(swingStep)
	if arc {
		step = arcPart
	}
	n := int(math.Ceil(math.Abs(turn) / step))
	for i := 1; i <= n; i++ {
		h := normal(from + turn*float64(i)/float64(n))
		m := Move{Op: Draw, To: offset(tip, h, b), Heading: h}
		if arc {
			m.Centre, m.Sweep = tip, turn/float64(n)
		}
		k.add(m)
	}
}

func offset(p orb.Point, heading, b float64) orb.Point {
	s, c := steady.SincosDegrees(heading)
	return orb.Point{p[0] + float64(b*c), p[1] + float64(b*s)}
}
