package toolpath

import (
	"math"

	"github.com/paulmach/orb"
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
	h := k.heading
	k.goTo(offset(line[0], h, b), h)
	k.lower()
	for i := 1; i < len(line); i++ {
		if dist(line[i-1], line[i]) < 1e-9 {
			continue
		}
		to := headingOf(line[i-1], line[i])
		k.swing(line[i-1], h, to, b)
		h = to
		k.add(Move{Op: Draw, To: offset(line[i], h, b), Heading: h})
	}
	k.lift()
}

// swing draws the arc of the holder round the tip from one heading to another.
func (k *knife) swing(tip orb.Point, from, to, b float64) {
	turn := normal(to - from)
	if b == 0 || math.Abs(turn) < swingLeast {
		return
	}
	n := int(math.Ceil(math.Abs(turn) / swingStep))
	for i := 1; i <= n; i++ {
		h := normal(from + turn*float64(i)/float64(n))
		k.add(Move{Op: Draw, To: offset(tip, h, b), Heading: h})
	}
}

func offset(p orb.Point, heading, b float64) orb.Point {
	s, c := math.Sincos(heading * math.Pi / 180)
	return orb.Point{p[0] + b*c, p[1] + b*s}
}
