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
		l := &loop{first: math.MaxInt}
		var bridges []int
		for _, st := range walk {
			e := &n.edges[st.edge]
			e.used = true
			if e.piece == nil {
				a := n.at[e.node[0]]
				s.problem(shapes.Repair, l.from, &a, fmt.Sprintf("a gap of %.3g mm was closed", e.gap), "")
				bridges = append(bridges, len(l.curves))
			} else if e.piece.order < l.first {
				l.first, l.from = e.piece.order, e.piece.from
			}
			l.curves = append(l.curves, e.walk(st.reverse, n)...)
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

// network is a graph of pieces whose ends meet in nodes.
type network struct {
	at    []orb.Point // of nodes
	edges []netEdge
	inc   [][]int32 // edges at each node; a loop edge twice
	deg   []int     // how many of inc are still there
	// shared counts edges walked by two faces, sharedAt is at one of them.
	shared   int
	sharedAt orb.Point
}

type netEdge struct {
	piece *piece // nil for a bridge
	node  [2]int32
	gap   float64 // of a bridge
	gone  bool    // pruned
	used  bool    // part of a loop
}

type step struct {
	edge    int32
	reverse bool
}

func newNetwork(pieces []*piece, tol float64) *network {
	n := &network{}
	cells := map[[2]int64][]int32{}
	find := func(p orb.Point) int32 {
		cx, cy := int64(math.Floor(p[0]/tol)), int64(math.Floor(p[1]/tol))
		best, dist := int32(-1), tol
		for x := cx - 1; x <= cx+1; x++ {
			for y := cy - 1; y <= cy+1; y++ {
				for _, i := range cells[[2]int64{x, y}] {
					if d := distance(n.at[i], p); d <= dist {
						best, dist = i, d
					}
				}
			}
		}
		if best >= 0 {
			return best
		}
		i := int32(len(n.at))
		n.at = append(n.at, p)
		n.inc = append(n.inc, nil)
		n.deg = append(n.deg, 0)
		cells[[2]int64{cx, cy}] = append(cells[[2]int64{cx, cy}], i)
		return i
	}
	for _, p := range pieces {
		n.add(netEdge{piece: p, node: [2]int32{find(p.start()), find(p.end())}})
	}
	return n
}

func (n *network) add(e netEdge) {
	i := int32(len(n.edges))
	n.edges = append(n.edges, e)
	n.inc[e.node[0]] = append(n.inc[e.node[0]], i)
	n.inc[e.node[1]] = append(n.inc[e.node[1]], i)
	n.deg[e.node[0]]++
	n.deg[e.node[1]]++
}

// bridge joins loose ends that are each other's nearest within the gap limit.
func (n *network) bridge(limit float64) {
	var ends []int32
	cells := map[[2]int64][]int32{}
	cell := func(p orb.Point) (int64, int64) {
		return int64(math.Floor(p[0] / limit)), int64(math.Floor(p[1] / limit))
	}
	for v := range n.at {
		if len(n.inc[v]) == 1 {
			ends = append(ends, int32(v))
			x, y := cell(n.at[v])
			cells[[2]int64{x, y}] = append(cells[[2]int64{x, y}], int32(v))
		}
	}
	type pair struct {
		a, b int32
		d    float64
	}
	var pairs []pair
	for _, v := range ends {
		x, y := cell(n.at[v])
		best := pair{v, -1, limit}
		for i := x - 1; i <= x+1; i++ {
			for j := y - 1; j <= y+1; j++ {
				list := cells[[2]int64{i, j}]
				if len(list) > 64 {
					list = list[:64] // a thicket of ends: no telling what meets what
				}
				for _, w := range list {
					if d := distance(n.at[v], n.at[w]); w != v && d <= best.d && !n.short(v, w, d) {
						best.b, best.d = w, d
					}
				}
			}
		}
		if best.b >= 0 {
			pairs = append(pairs, best)
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int {
		switch {
		case a.d < b.d:
			return -1
		case a.d > b.d:
			return 1
		}
		return 0
	})
	for _, p := range pairs {
		if len(n.inc[p.a]) == 1 && len(n.inc[p.b]) == 1 {
			n.add(netEdge{node: [2]int32{p.a, p.b}, gap: p.d})
		}
	}
}

// short reports whether a bridge would only close a short piece upon itself.
func (n *network) short(v, w int32, gap float64) bool {
	e := n.edges[n.inc[v][0]]
	return n.inc[v][0] == n.inc[w][0] && e.piece.length() < 10*gap
}

// prune sets aside edges that end in nothing.
func (n *network) prune() {
	var stack []int32
	for v, d := range n.deg {
		if d == 1 {
			stack = append(stack, int32(v))
		}
	}
	for len(stack) > 0 {
		v := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if n.deg[v] != 1 {
			continue
		}
		// Its list is read once: it has no edge left afterwards.
		for _, i := range n.inc[v] {
			e := &n.edges[i]
			if e.gone {
				continue
			}
			e.gone = true
			for _, w := range e.node {
				if n.deg[w]--; w != v && n.deg[w] == 1 {
					stack = append(stack, w)
				}
			}
		}
	}
}

// walks finds the loops among the edges still there: the bounded faces, each
// once, counter-clockwise.
func (n *network) walks() [][]step {
	simple := true
	for _, d := range n.deg {
		if d != 0 && d != 2 {
			simple = false
		}
	}
	var out [][]step
	if simple {
		seen := make([]bool, len(n.edges))
		for i := range n.edges {
			if n.edges[i].gone || seen[i] {
				continue
			}
			out = append(out, n.ringFrom(int32(i), seen))
		}
		return out
	}
	return n.faces()
}

// ringFrom follows edges through nodes of two.
func (n *network) ringFrom(first int32, seen []bool) []step {
	run := []step{{first, false}}
	seen[first] = true
	v := n.edges[first].node[1]
	for e := first; ; {
		next := int32(-1)
		for _, k := range n.inc[v] {
			if !n.edges[k].gone && k != e && !seen[k] {
				next = k
				break
			}
		}
		if next < 0 {
			return run
		}
		seen[next] = true
		reverse := n.edges[next].node[0] != v
		run = append(run, step{next, reverse})
		v = n.edges[next].node[1]
		if reverse {
			v = n.edges[next].node[0]
		}
		e = next
	}
}

// faces walks every half edge, turning as far left as possible at each node,
// and keeps the walks that run counter-clockwise.
func (n *network) faces() [][]step {
	// out lists the half edges that leave each node by angle: 2e forward, 2e+1
	// backward.
	type leaving struct {
		half  int32
		angle float64
	}
	order := make([][]leaving, len(n.at))
	for i := range n.edges {
		if n.edges[i].gone {
			continue
		}
		for d := range 2 {
			v := n.edges[i].node[d]
			order[v] = append(order[v], leaving{int32(2*i + d), n.leaveAngle(int32(i), d == 1)})
		}
	}
	place := map[int32]int{}
	for v := range order {
		slices.SortFunc(order[v], func(a, b leaving) int {
			switch {
			case a.angle < b.angle:
				return -1
			case a.angle > b.angle:
				return 1
			}
			return int(a.half) - int(b.half)
		})
		for k, l := range order[v] {
			place[l.half] = k
		}
	}
	seen := map[int32]bool{}
	walked := map[int32]bool{}
	var out [][]step
	for i := range n.edges {
		if n.edges[i].gone {
			continue
		}
		for d := range int32(2) {
			h := int32(2*i) + d
			if seen[h] {
				continue
			}
			var run []step
			var twice float64
			for !seen[h] {
				seen[h] = true
				e, back := h/2, h%2 == 1
				run = append(run, step{e, back})
				for _, c := range n.edges[e].walk(back, n) {
					twice += c.sweep(n.at[n.edges[i].node[0]])
				}
				to := n.edges[e].node[1-h%2]
				ring := order[to]
				// The next one clockwise from the way back.
				k := place[h^1]
				h = ring[(k+len(ring)-1)%len(ring)].half
			}
			if twice <= 0 {
				continue
			}
			for _, st := range run {
				if walked[st.edge] {
					n.shared++
					n.sharedAt = n.at[n.edges[st.edge].node[0]]
				}
				walked[st.edge] = true
			}
			out = append(out, run)
		}
	}
	return out
}

// leaveAngle is the direction in which an edge leaves its node, taken a little
// way along, so that curves with one tangent are told apart.
func (n *network) leaveAngle(e int32, back bool) float64 {
	c := n.edges[e].walk(back, n)
	line := c[0].chords([]orb.Point{c[0].start()}, 1e-3)
	d := sub(line[1], line[0])
	return math.Atan2(d[1], d[0])
}

// walk is the edge's curves in the direction given.
func (e *netEdge) walk(reverse bool, n *network) []curve {
	switch {
	case e.piece == nil && reverse:
		return []curve{lineCurve{n.at[e.node[1]], n.at[e.node[0]]}}
	case e.piece == nil:
		return []curve{lineCurve{n.at[e.node[0]], n.at[e.node[1]]}}
	case reverse:
		return reversedCurves(e.piece.curves)
	}
	return e.piece.curves
}

// tails joins the pieces that are in no loop into open runs, through nodes
// where exactly two of them meet.
func (n *network) tails() [][]step {
	free := func(e int32) bool { return !n.edges[e].used && n.edges[e].piece != nil }
	at := make([][]int32, len(n.at))
	for i := range n.edges {
		if free(int32(i)) {
			for _, v := range n.edges[i].node {
				at[v] = append(at[v], int32(i))
			}
		}
	}
	seen := make([]bool, len(n.edges))
	follow := func(e int32, reverse bool) []step {
		var run []step
		for {
			seen[e] = true
			run = append(run, step{e, reverse})
			v := n.edges[e].node[1]
			if reverse {
				v = n.edges[e].node[0]
			}
			if len(at[v]) != 2 {
				return run
			}
			next := at[v][0]
			if next == e {
				next = at[v][1]
			}
			if seen[next] {
				return run
			}
			e, reverse = next, n.edges[next].node[0] != v
		}
	}
	var out [][]step
	// From ends first, then whatever goes round.
	for pass := range 2 {
		for i := range n.edges {
			e := int32(i)
			if !free(e) || seen[e] {
				continue
			}
			a, b := n.edges[e].node[0], n.edges[e].node[1]
			switch {
			case pass == 1 || len(at[a]) != 2:
				out = append(out, follow(e, false))
			case len(at[b]) != 2:
				out = append(out, follow(e, true))
			}
		}
	}
	return out
}
