package pack

import (
	"math"

	"plyroom/nest/collide"
)

// A heading is a direction in which a ply moves and turns, or a slope of its
// cost: along x, along y, and turning, measured at the rim of the ply's circle
// so that all three are of one kind.
type heading [3]float64

func (h *heading) size() float64 {
	return math.Sqrt(float64(h[0]*h[0]) + float64(h[1]*h[1]) + float64(h[2]*h[2]))
}

// between is the shortest heading on the straight line from a to b: the way
// straight down its opposite lowers both costs of which a and b are the slopes.
func between(a, b *heading) heading {
	var along, sq float64
	for k := range a {
		d := b[k] - a[k]
		along -= float64(a[k] * d)
		sq += float64(d * d)
	}
	if sq == 0 {
		return *a
	}
	t := max(0, min(1, along/sq))
	var out heading
	for k := range a {
		out[k] = a[k] + float64(t*(b[k]-a[k]))
	}
	return out
}

// Steps of a slide grow and shrink by these.
const (
	slideGrows   = 1.5
	slideShrinks = 0.6
	// slideEnds is the share of a slope's size below which two slopes cancel
	// out: the ply lies in a notch.
	slideEnds = 1e-3
	// slideMost ends a slide that gains next to nothing for ever.
	slideMost = 200
)

// slide improves a candidate by going down the slope of its cost, with steps
// from one length down to another. Where that meets something, the slope there
// and the one here between them give the way along it (a bundle of two
// subgradients, after Lemaréchal 1975).
func (s *state) slide(i int32, k *kind, c *candidate, from, to float64) {
	rim := 0.0
	if k.turns {
		rim = k.shape.Radius
	}
	b := s.bodyAt(i, &c.pose)
	s.gather(i, b, c.pose.x, c.pose.y, slideReach*from)
	v, here := s.slopeNear(b, c.pose.x, c.pose.y, rim, math.Inf(1))
	c.cost = v // a pair may have got its table since
	walls := s.walls(k, &c.pose, b)
	walls.hold(&here)
	there := here
	for step, n := from, 0; c.cost > 0 && step > to && n < slideMost && !s.halted(); n++ {
		way := between(&here, &there)
		size := way.size()
		if size <= slideEnds*here.size() {
			if there == here {
				return // flat
			}
			there = here
			step *= 0.5
			continue
		}
		p := c.pose
		p.x -= float64(step / size * way[0])
		p.y -= float64(step / size * way[1])
		if way[2] != 0 {
			turn := float64(step / size * way[2] / rim * (180 / math.Pi))
			p.degrees = k.clampAngle(p.mirrored, p.degrees-turn, p.degrees)
		}
		b = s.bodyAt(i, &p)
		if !s.clamp(&p, b) || p == c.pose {
			step *= 0.5
			continue
		}
		v, slope := s.slopeNear(b, p.x, p.y, rim, c.cost)
		if v < c.cost {
			c.pose, c.cost = p, v
			walls = s.walls(k, &p, b)
			walls.hold(&slope)
			here, there = slope, slope
			step *= slideGrows
			continue
		}
		walls.hold(&slope)
		there = slope
		step *= slideShrinks
	}
}

// slideReach is how far a slide usually gets, in first steps.
const slideReach = 1.5

// walls say which ways are barred, per entry of a heading: at the strip's edges,
// and at the ends of the angles a ply may turn to.
type walls struct{ below, above [3]bool }

// walls are those of a pose, in which the ply is b.
func (s *state) walls(k *kind, p *pose, b *collide.Body) walls {
	var w walls
	w.below[0], w.above[0] = p.x <= -b.Box.MinX, p.x >= s.length-b.Box.MaxX
	w.below[1], w.above[1] = p.y <= -b.Box.MinY, p.y >= s.w.width-b.Box.MaxY
	if !k.turns {
		return w
	}
	if o, ok := k.span(p.mirrored, p.degrees); ok && o.To-o.From < 360 {
		w.below[2], w.above[2] = p.degrees == o.From, p.degrees == o.To
	}
	return w
}

// hold takes out of a slope what it would be no use to follow down.
func (w *walls) hold(g *heading) {
	for k := range g {
		if w.below[k] && g[k] > 0 || w.above[k] && g[k] < 0 {
			g[k] = 0
		}
	}
}
