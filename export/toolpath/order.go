package toolpath

import (
	"math"
	"sort"

	"github.com/paulmach/orb"
)

// A node is one cut as the order sees it.
type node struct {
	// starts are where it may begin. An open cut has two, its ends, and ends
	// at the one it did not begin at.
	starts []orb.Point
	open   bool
	// plain is where it begins, and ends, as the record lists it.
	plainIn, plainOut orb.Point
	// key is the place along the roll that the cut is ordered by: the left
	// end of its box, or that of whatever must come before it.
	key    float64
	before []int32 // nodes that must come before
	after  []int32 // nodes that must come after
}

// A tour is an order of nodes with a start for each, from a home point.
type tour struct {
	nodes  []node
	home   orb.Point
	band   float64 // mm; +Inf: no bound
	seq    []int32
	choice []int16
	pos    []int32
	in     []orb.Point // where each node is entered and left
	out    []orb.Point
}

// raiseKeys makes no key smaller than those of what must come before, so that
// the rule along the roll never contradicts the other rules. The nodes come in
// an order that respects them.
func raiseKeys(nodes []node, order []int32) {
	for _, i := range order {
		for _, k := range nodes[i].before {
			nodes[i].key = math.Max(nodes[i].key, nodes[k].key)
		}
	}
}

// nodeOrder lists nodes so that what must come before another stands before
// it.
func nodeOrder(nodes []node) []int32 {
	left := make([]int, len(nodes))
	var order []int32
	for i := range nodes {
		if left[i] = len(nodes[i].before); left[i] == 0 {
			order = append(order, int32(i))
		}
	}
	for k := 0; k < len(order); k++ {
		for _, n := range nodes[order[k]].after {
			if left[n]--; left[n] == 0 {
				order = append(order, n)
			}
		}
	}
	return order
}

// nearest builds a legal tour by always going to the nearest cut that may come
// next. With choose, the start point is chosen with it; without, every cut
// begins where the record lists it, which is the plain method that others are
// measured against.
func nearest(nodes []node, home orb.Point, band float64, choose bool) *tour {
	n := len(nodes)
	t := &tour{nodes: nodes, home: home, band: band, choice: make([]int16, n)}
	byKey := make([]int32, n)
	left := make([]int, n)
	for i := range byKey {
		byKey[i] = int32(i)
		left[i] = len(nodes[i].before)
	}
	sort.SliceStable(byKey, func(a, b int) bool { return nodes[byKey[a]].key < nodes[byKey[b]].key })
	// A linked list in order of key, from which visited nodes are dropped.
	next := make([]int, n+1) // next[k+1] follows byKey[k]; next[0] is the head
	for k := range next {
		next[k] = k
	}
	at := home
	for len(t.seq) < n {
		best, bestPrev, bestStart, bestD := -1, 0, 0, math.Inf(1)
		limit := nodes[byKey[next[0]]].key + band
		for prev, k := 0, next[0]; k < n && nodes[byKey[k]].key < limit; prev, k = k+1, next[k+1] {
			i := byKey[k]
			if left[i] > 0 {
				continue
			}
			if !choose {
				if d := dist(at, nodes[i].plainIn); d < bestD {
					best, bestPrev, bestStart, bestD = k, prev, 0, d
				}
				continue
			}
			for c, p := range nodes[i].starts {
				if d := dist(at, p); d < bestD {
					best, bestPrev, bestStart, bestD = k, prev, c, d
				}
			}
		}
		i := byKey[best]
		next[bestPrev] = next[best+1]
		t.seq = append(t.seq, i)
		t.choice[i] = int16(bestStart)
		if choose {
			_, at = ends(&nodes[i], bestStart)
		} else {
			at = nodes[i].plainOut
		}
		for _, a := range nodes[i].after {
			left[a]--
		}
	}
	t.settle()
	return t
}

// ends are where a node is entered and left for a choice of start.
func ends(n *node, c int) (in, out orb.Point) {
	in, out = n.starts[c], n.starts[c]
	if n.open {
		out = n.starts[1-c]
	}
	return in, out
}

// settle recomputes positions, entries and exits.
func (t *tour) settle() {
	n := len(t.nodes)
	if t.pos == nil {
		t.pos, t.in, t.out = make([]int32, n), make([]orb.Point, n), make([]orb.Point, n)
	}
	for k, i := range t.seq {
		t.pos[i] = int32(k)
		t.in[i], t.out[i] = ends(&t.nodes[i], int(t.choice[i]))
	}
}

// travel is the way between the cuts, mm, from home to the last cut.
func (t *tour) travel() float64 {
	at, s := t.home, 0.0
	for _, i := range t.seq {
		s += dist(at, t.in[i])
		at = t.out[i]
	}
	return s
}

// plainTravel is the way between the cuts where each begins as the record
// lists it.
func (t *tour) plainTravel() float64 {
	at, s := t.home, 0.0
	for _, i := range t.seq {
		s += dist(at, t.nodes[i].plainIn)
		at = t.nodes[i].plainOut
	}
	return s
}

// chooseStarts finds the best start of every cut for the order as it is: the
// shortest way through layers of start points.
func (t *tour) chooseStarts() {
	if len(t.seq) == 0 {
		return
	}
	type step struct {
		cost float64
		prev int16
	}
	back := make([][]step, len(t.seq))
	for k, i := range t.seq {
		n := &t.nodes[i]
		back[k] = make([]step, len(n.starts))
		for c := range n.starts {
			in, _ := ends(n, c)
			if k == 0 {
				back[k][c] = step{dist(t.home, in), -1}
				continue
			}
			p := &t.nodes[t.seq[k-1]]
			best := step{math.Inf(1), 0}
			for pc := range p.starts {
				_, out := ends(p, pc)
				if d := back[k-1][pc].cost + dist(out, in); d < best.cost-1e-12 {
					best = step{d, int16(pc)}
				}
			}
			back[k][c] = best
		}
	}
	last := len(t.seq) - 1
	c := 0
	for j := range back[last] {
		if back[last][j].cost < back[last][c].cost-1e-12 {
			c = j
		}
	}
	for k := last; k >= 0; k-- {
		i := t.seq[k]
		t.choice[i] = int16(c)
		c = int(back[k][c].prev)
	}
	t.settle()
}
