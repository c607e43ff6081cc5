package drawing

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes"
)

// join makes loops and open chains of pieces of one role.
//
// Ends within the joining tolerance are one node. Near ends that nothing else
// touches are bridged up to the gap limit; a bridge is kept, and reported, only
// where it closes a loop. Tails are set aside, and what is left is walked:
// straight on where two lines meet, and round the smallest faces where more
// do.
func (s *sheet) join(pieces []*piece, r role) (loops []*loop, open []*chain) {
	var loose []*piece
	for _, p := range pieces {
		gap := distance(p.start(), p.end())
		switch {
		case p.closed && len(p.curves) == 1 && gap > s.opt.Join && !curved(p.curves):
			loose = append(loose, p) // there and back
		case gap <= s.opt.Join && p.length() > 3*s.opt.Join, p.closed:
			loops = append(loops, &loop{curves: closeRun(p.curves, s.opt.Join), from: p.from, first: p.order})
		default:
			loose = append(loose, p)
		}
	}
	loose = s.mergeLines(loose)
	n := newNetwork(loose, s.opt.Join)
	if s.opt.Gap > 0 && r != roleMark && r != roleDatum {
		n.bridge(s.opt.Gap)
	}
	n.prune()
	for _, walk := range n.walks() {
		if n.sliver(walk, s.opt.Gap) {
			continue
		}
		l := &loop{first: math.MaxInt}
		var bridges []int // places in l.curves
		var gaps []int32
		for _, st := range walk {
			e := &n.edges[st.edge]
			e.used = true
			if e.piece == nil {
				gaps = append(gaps, st.edge)
				bridges = append(bridges, len(l.curves))
			} else if e.piece.order < l.first {
				l.first, l.from = e.piece.order, e.piece.from
			}
			l.curves = append(l.curves, e.walk(st.reverse, n)...)
		}
		for _, g := range gaps {
			a := n.at[n.edges[g].node[0]]
			s.problem(shapes.Repair, l.from, &a, fmt.Sprintf("a gap of %.3g mm was closed", n.edges[g].gap), "")
		}
		l.curves = closeRun(s.carryOn(l.curves, bridges), s.opt.Join)
		loops = append(loops, l)
	}
	if n.shared > 0 {
		at := n.sharedAt
		s.problem(shapes.Doubt, nil, &at, fmt.Sprintf("%d lines are shared by two outlines", n.shared), "check that both outlines are plies")
	}
	for _, run := range n.tails() {
		c := &chain{role: r}
		for _, st := range run {
			e := &n.edges[st.edge]
			if c.from == nil {
				c.from = e.piece.from
			}
			c.curves = append(c.curves, e.walk(st.reverse, n)...)
		}
		c.curves = snapRun(c.curves)
		open = append(open, c)
	}
	slices.SortStableFunc(loops, func(a, b *loop) int { return a.first - b.first })
	return loops, open
}

// carryOn replaces bridges between two straight lines by the corner where the
// lines meet when carried on or cut back, where that is no further off than the
// gap limit.
func (s *sheet) carryOn(cs []curve, bridges []int) []curve {
	n := len(cs)
	drop := map[int]bool{}
	for _, i := range bridges {
		h, k := (i+n-1)%n, (i+1)%n
		a, ok1 := cs[h].(lineCurve)
		b, ok2 := cs[k].(lineCurve)
		if !ok1 || !ok2 || h == k {
			continue
		}
		u, v := sub(a.b, a.a), sub(b.b, b.a)
		w := cross(u, v)
		if math.Abs(w) < 0.05*length(u)*length(v) {
			continue // nearly in line
		}
		x := add(a.a, mulPoint(u, cross(sub(b.a, a.a), v)/w))
		if distance(x, a.b) > s.opt.Gap || distance(x, b.a) > s.opt.Gap {
			continue
		}
		cs[h], cs[k] = lineCurve{a.a, x}, lineCurve{x, b.b}
		drop[i] = true
	}
	out := cs[:0:0]
	for i, c := range cs {
		if !drop[i] {
			out = append(out, c)
		}
	}
	return out
}

// snapRun makes each curve start where the one before ended.
func snapRun(cs []curve) []curve {
	out := make([]curve, 0, len(cs))
	for _, c := range cs {
		if n := len(out); n > 0 && out[n-1].end() != c.start() {
			a := out[n-1].end()
			if k, ok := stretched(c, a, c.end()); ok {
				c = k
			} else if k, ok := stretched(out[n-1], out[n-1].start(), c.start()); ok {
				out[n-1] = k
			} else {
				out = append(out, lineCurve{a, c.start()})
			}
		}
		out = append(out, c)
	}
	return out
}

// closeRun is snapRun for a loop. A last gap wider than tol gets a line.
func closeRun(cs []curve, tol float64) []curve {
	cs = snapRun(cs)
	last := len(cs) - 1
	a, b := cs[last].end(), cs[0].start()
	switch {
	case a == b:
		return cs
	case distance(a, b) <= tol && last > 0:
		if k, ok := stretched(cs[0], a, cs[0].end()); ok {
			cs[0] = k
			return cs
		}
		if k, ok := stretched(cs[last], cs[last].start(), b); ok {
			cs[last] = k
			return cs
		}
	}
	return append(cs, lineCurve{a, b})
}

// stretched turns and scales a curve a little so that its ends come to lie
// where they are wanted; ok is false for curves too short for that.
func stretched(c curve, start, end orb.Point) (k curve, ok bool) {
	was, is := sub(c.end(), c.start()), sub(end, start)
	off := math.Max(distance(c.start(), start), distance(c.end(), end))
	l := dot(was, was)
	if l < 400*off*off || l == 0 {
		return c, false
	}
	if _, straight := c.(lineCurve); straight {
		return lineCurve{start, end}, true
	}
	// As complex numbers, is/was.
	m := affine{a: dot(was, is) / l, b: cross(was, is) / l}
	m.c, m.d = -m.b, m.a
	m = translation(start[0], start[1]).mul(m).mul(translation(-c.start()[0], -c.start()[1]))
	k = c.mapped(m)
	switch q := k.(type) {
	case arcCurve:
		q.p0, q.p1 = start, end
		k = q
	case bezier:
		q.p[0], q.p[len(q.p)-1] = start, end
	}
	return k, true
}
