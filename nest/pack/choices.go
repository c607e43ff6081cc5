package pack

import (
	"math"

	"plyroom/nest/collide"
	"plyroom/nest/lattice"
	"plyroom/shapes/steady"
)

// patternChoices is the most choices of one or two poses tried for a kind.
const patternChoices = 12

// choices are the single poses and the pairs of poses of a kind that patterns
// are looked for with. A choice turned by half a turn gives the same patterns
// upside down, so only one of both is listed. Pairs half a turn apart come
// first, which for convex plies are hard to beat.
func (k *kind) choices(shape *collide.Shape, gap, width float64, stop func(int) bool) [][]*collide.Body {
	c := chooser{k: k, shape: shape, gap: gap, width: width, stop: stop}
	var base []turnTo
	if !k.turns {
		for _, b := range k.variants {
			base = append(base, turnTo{b.Mirrored, b.Degrees})
		}
	} else {
		base = c.freeTurns()
	}
	for _, t := range base {
		c.pair(t, turnTo{t.mirrored, t.degrees + 180})
	}
	for _, t := range base {
		c.single(t)
	}
	for i, t := range base {
		for _, o := range base[:i] {
			c.pair(o, t)
		}
	}
	return c.out
}

// A turnTo is a way to turn a ply.
type turnTo struct {
	mirrored bool
	degrees  float64
}

type chooser struct {
	k          *kind
	shape      *collide.Shape
	gap, width float64
	stop       func(work int) bool
	out        [][]*collide.Body
}

// allowed finds the kind's own words for a way to turn it.
func (c *chooser) allowed(t turnTo) (turnTo, bool) {
	const eps = 1e-9
	if !c.k.turns {
		for _, v := range c.k.variants {
			if v.Mirrored == t.mirrored && math.Abs(fullTurn(t.degrees-v.Degrees+180)-180) < eps {
				return turnTo{v.Mirrored, v.Degrees}, true
			}
		}
		return t, false
	}
	for _, o := range c.k.spans {
		if d := fullTurn(t.degrees - o.From + eps); o.Mirrored == t.mirrored && d <= o.To-o.From+2*eps {
			return turnTo{t.mirrored, max(o.From, min(o.From+d-eps, o.To))}, true
		}
	}
	return t, false
}

func (c *chooser) body(t turnTo) *collide.Body {
	t, ok := c.allowed(t)
	if !ok {
		return nil
	}
	b := collide.NewBody(c.shape, t.mirrored, t.degrees)
	if b.Box.Height() > c.width {
		return nil
	}
	return b
}

func (c *chooser) single(t turnTo) { c.add(c.body(t)) }

func (c *chooser) pair(t, u turnTo) {
	a, b := c.body(t), c.body(u)
	if a == nil || b == nil || samePoints(a, b) {
		return
	}
	c.add(a, b)
}

// add keeps a choice unless it, or it turned by half a turn, is there already.
func (c *chooser) add(bs ...*collide.Body) {
	if len(c.out) >= patternChoices {
		return
	}
	for _, b := range bs {
		if b == nil {
			return
		}
	}
	for _, o := range c.out {
		if len(o) == len(bs) && (sameChoice(o, bs, 0) || sameChoice(o, bs, 180)) {
			return
		}
	}
	c.out = append(c.out, bs)
}

func sameChoice(a, b []*collide.Body, by float64) bool {
	same := func(p, q *collide.Body) bool {
		return p.Mirrored == q.Mirrored && math.Abs(fullTurn(p.Degrees+by-q.Degrees+180)-180) < 1e-9
	}
	if len(a) == 1 {
		return same(a[0], b[0])
	}
	return same(a[0], b[0]) && same(a[1], b[1]) || same(a[0], b[1]) && same(a[1], b[0])
}

// freeTurns are angles worth trying for a kind that turns: those at which a
// translation of its densest lattice runs along the strip or across it, and
// some at which its outline lies along the strip.
func (c *chooser) freeTurns() []turnTo {
	var out []turnTo
	for _, mirrored := range [2]bool{false, true} {
		free := false
		for _, o := range c.k.spans {
			free = free || o.Mirrored == mirrored && o.To-o.From >= 180
		}
		if !free {
			continue
		}
		a, b := collide.NewBody(c.shape, mirrored, 0), collide.NewBody(c.shape, mirrored, 180)
		if p := lattice.Plane(c.gap, []*collide.Body{a, b}, c.stop); p != nil {
			for _, v := range [][2]float64{p.U, p.V, {p.U[0] - p.V[0], p.U[1] - p.V[1]}} {
				along := float64(-steady.Atan2(v[1], v[0]) * (180 / math.Pi))
				out = append(out, turnTo{mirrored, along}, turnTo{mirrored, along + 90})
			}
		}
	}
	for _, b := range c.k.variants[:min(3, len(c.k.variants))] {
		out = append(out, turnTo{b.Mirrored, b.Degrees})
	}
	return out
}
