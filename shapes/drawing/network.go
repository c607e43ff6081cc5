package drawing

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

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

// sliver reports whether a loop holds bridges and is no wider than they may be:
// two lines side by side, which nobody meant to be joined.
func (n *network) sliver(walk []step, limit float64) bool {
	bridged := false
	for _, st := range walk {
		bridged = bridged || n.edges[st.edge].piece == nil
	}
	if !bridged {
		return false
	}
	var twice, around float64
	o := n.at[n.edges[walk[0].edge].node[0]]
	for _, st := range walk {
		for _, c := range n.edges[st.edge].walk(st.reverse, n) {
			twice += c.sweep(o)
			around += c.length()
		}
	}
	return math.Abs(twice) < 2*limit*around
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
	return steady.Atan2(d[1], d[0])
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
