package lattice

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
	"plyroom/shapes/steady"
)

// Numbers of the search in the plane: directions of the first translation over
// half a turn, places of the second ply along each outline, and candidates
// looked at closely.
const (
	directions = 45
	places     = 20
	candidates = 6
)

// A try is a lattice in the plane as a search sees it: the direction of the
// first translation and, for two plies, how the second touches the first.
type try struct {
	angle float64
	side  int
	u     float64
	score float64 // less is better
}

// plane is the densest lattice of one ply, or of two, that a search finds, as a
// pattern; nil if there is none.
func (s *search) plane(bodies []*collide.Body) *Pattern {
	f := newFrame(bodies, s.gap)
	two := len(bodies) == 2
	var all []try
	c := &s.cell
	for d := range directions {
		angle := math.Pi * float64(d) / directions
		g := f.turned(angle)
		s.charge(g)
		each(two, f, func(side int, u float64, r orb.Point) {
			c.set(g, two, turnedBy(r, angle))
			p := c.pitch()
			if !(p > 0) || p < leastPitch*(c.hi-c.lo) {
				return
			}
			if _, q := c.bestRise(p, 1); !math.IsInf(q, 1) {
				all = append(all, try{angle, side, u, p * q})
			}
		})
		if s.stopped() {
			return nil
		}
	}
	best := try{score: math.Inf(1)}
	for _, t := range distinct(all, candidates) {
		if t = s.refine(f, two, t, 1e-4, 1e-5); t.score < best.score {
			best = t
		}
		if s.stopped() {
			return nil
		}
	}
	if math.IsInf(best.score, 1) {
		return nil
	}
	best = s.refine(f, two, best, 1e-9, 1e-11)
	g := f.turned(best.angle)
	r := orb.Point{}
	if two {
		r, _ = f.touch(best.side, best.u)
	}
	c.set(g, two, turnedBy(r, best.angle))
	p := c.pitch()
	shift, q := c.bestRise(p, 1e-12)
	out := &Pattern{Bodies: bodies, Members: []Member{{0, orb.Point{}}}}
	if two {
		out.Members = append(out.Members, Member{1, r})
	}
	out.U = turnedBy(orb.Point{p, 0}, -best.angle)
	out.V = turnedBy(orb.Point{shift, q}, -best.angle)
	return out
}

// each calls do with the places of a second ply, once where there is none.
func each(two bool, f *frame, do func(side int, u float64, r orb.Point)) {
	if !two {
		do(0, 0, orb.Point{})
		return
	}
	for side := range sides {
		for k := range places {
			u := (float64(k) + 0.5) / places
			if r, ok := f.touch(side, u); ok {
				do(side, u, r)
			}
		}
	}
}

// turnedBy is the point seen in a frame turned by the angle.
func turnedBy(p orb.Point, angle float64) orb.Point {
	sin, cos := steady.Sincos(angle)
	return orb.Point{float64(cos*p[0]) + float64(sin*p[1]), float64(cos*p[1]) - float64(sin*p[0])}
}

// distinct are the best few tries that are not neighbours of better ones.
func distinct(all []try, most int) []try {
	slices.SortStableFunc(all, func(a, b try) int { return cmp.Compare(a.score, b.score) })
	var out []try
next:
	for _, t := range all {
		for _, o := range out {
			d := math.Abs(t.angle - o.angle)
			d = min(d, math.Pi-d)
			if t.side == o.side && math.Abs(t.u-o.u) < 1.5/places && d < 1.5*math.Pi/directions {
				continue next
			}
		}
		if out = append(out, t); len(out) == most {
			break
		}
	}
	return out
}

// leastPitch is the least first translation, as a share of the region that
// translations may not enter: a lattice with a shorter one is found as well, and
// in a fraction of the work, by the longer ones that span it too.
const leastPitch = 1.0 / 16

// mostMoves is how often a refinement moves by steps of one size.
const mostMoves = 6

// refine is a compass search about a try, in steps that halve down to the share
// to of what they begin with.
func (s *search) refine(f *frame, two bool, t try, to, share float64) try {
	score := func(t try) float64 {
		r := orb.Point{}
		if two {
			var ok bool
			if t.u <= 0 || t.u >= 1 {
				return math.Inf(1)
			}
			if r, ok = f.touch(t.side, t.u); !ok {
				return math.Inf(1)
			}
		}
		g := f.turned(t.angle)
		s.charge(g)
		c := &s.cell
		c.set(g, two, turnedBy(r, t.angle))
		p := c.pitch()
		if !(p > 0) || p < leastPitch*(c.hi-c.lo) {
			return math.Inf(1)
		}
		_, q := c.bestRise(p, share)
		return p * q
	}
	t.score = score(t)
	dirs := [][2]float64{{0, 1}, {0, -1}, {1, 0}, {-1, 0}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}}
	if !two {
		dirs = dirs[:2]
	}
	for step, moves := 0.5, 0; step > to; {
		better := false
		for _, d := range dirs {
			n := t
			n.u += d[0] * step / places
			n.angle += d[1] * step * math.Pi / directions
			if n.score = score(n); n.score < t.score {
				t, better = n, true
				break
			}
		}
		if s.stopped() {
			break
		}
		// Along a narrow valley steps of one size could go on for ever.
		if moves++; !better || moves == mostMoves {
			step, moves = step/2, 0
		}
	}
	return t
}
