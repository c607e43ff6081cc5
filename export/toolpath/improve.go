package toolpath

import (
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"
)

const (
	// neighbours is how many near cuts a move is tried beside.
	neighbours = 10
	// longest is the longest stretch of cuts a reversal turns round, and the
	// farthest a move carries: a bound on time, far above what pays.
	longest = 800
	// trialsPerNode bounds the trials of one order, so that time is bounded
	// without a clock.
	trialsPerNode = 1500
	// gain is the least shortening that counts, mm.
	gain = 1e-6
)

// improve shortens a tour while keeping it legal.
func (t *tour) improve() {
	t.exchange()
	t.recreate()
	t.exchange()
}

// exchange moves and reverses stretches, and chooses starts anew, until nothing
// improves.
func (t *tour) exchange() {
	budget := trialsPerNode * len(t.nodes)
	best := t.travel()
	for budget > 0 {
		t.chooseStarts()
		near := t.near(neighbours)
		for budget > 0 {
			moved := t.orPass(near, &budget)
			moved = t.reversePass(near, &budget) || moved
			if !moved {
				break
			}
		}
		t.chooseStarts()
		now := t.travel()
		if now > best-gain {
			break
		}
		best = now
	}
}

// near lists for every node the k nearest others by where they are entered.
func (t *tour) near(k int) [][]int32 {
	n := len(t.nodes)
	byX := make([]int32, n)
	for i := range byX {
		byX[i] = int32(i)
	}
	sort.SliceStable(byX, func(a, b int) bool { return t.in[byX[a]][0] < t.in[byX[b]][0] })
	type cand struct {
		i int32
		d float64
	}
	out := make([][]int32, n)
	best := make([]cand, 0, k+1)
	for at, i := range byX {
		best = best[:0]
		try := func(j int32) {
			d := math.Min(dist(t.out[i], t.in[j]), dist(t.in[i], t.out[j]))
			if len(best) == k && d >= best[k-1].d {
				return
			}
			p := sort.Search(len(best), func(q int) bool { return best[q].d > d })
			best = slices.Insert(best, p, cand{j, d})
			if len(best) > k {
				best = best[:k]
			}
		}
		for lo, hi := at-1, at+1; lo >= 0 || hi < n; {
			dl, dh := math.Inf(1), math.Inf(1)
			if lo >= 0 {
				dl = t.in[i][0] - t.in[byX[lo]][0]
			}
			if hi < n {
				dh = t.in[byX[hi]][0] - t.in[i][0]
			}
			if len(best) == k && math.Min(dl, dh) > best[k-1].d {
				break
			}
			if dl <= dh {
				try(byX[lo])
				lo--
			} else {
				try(byX[hi])
				hi++
			}
		}
		out[i] = make([]int32, len(best))
		for q, c := range best {
			out[i][q] = c.i
		}
	}
	return out
}

// exit is where the knife comes from at a position, -1 being home.
func (t *tour) exit(k int) orb.Point {
	if k < 0 {
		return t.home
	}
	return t.out[t.seq[k]]
}

// link is the way from position k to the entry of the node at position q; 0
// where the tour ends at k.
func (t *tour) link(from orb.Point, q int) float64 {
	if q >= len(t.seq) {
		return 0
	}
	return dist(from, t.in[t.seq[q]])
}

// orPass tries to move every stretch of one to three cuts to a place beside a
// near cut, in either direction.
func (t *tour) orPass(near [][]int32, budget *int) bool {
	moved := false
	for i := 0; i < len(t.seq); i++ {
		for l := 1; l <= 3 && i+l <= len(t.seq); l++ {
			if *budget <= 0 {
				return moved
			}
			if t.moveStretch(i, l, near, budget) {
				moved = true
				break
			}
		}
	}
	return moved
}

func (t *tour) moveStretch(i, l int, near [][]int32, budget *int) bool {
	a, b := t.seq[i], t.seq[i+l-1]
	p := t.exit(i - 1)
	removed := dist(p, t.in[a]) + t.link(t.out[b], i+l) - t.link(p, i+l)
	if removed < gain {
		return false
	}
	for _, from := range [2]int32{a, b} {
		if from == b && l == 1 {
			break
		}
		for _, c := range near[from] {
			j := int(t.pos[c])
			if j >= i && j < i+l || j > i+longest || j < i-longest {
				continue
			}
			// The gap before position g: between g-1 and g.
			for _, g := range [2]int{j, j + 1} {
				*budget--
				if g >= i && g <= i+l {
					continue
				}
				e := t.exit(g - 1)
				old := t.link(e, g)
				if removed+old < gain {
					continue
				}
				fwd := dist(e, t.in[a]) + t.link(t.out[b], g) - old
				rev := dist(e, t.out[b]) + t.link(t.in[a], g) - old
				flip := rev < fwd
				if math.Min(fwd, rev) > removed-gain {
					continue
				}
				if flip && l > 1 && t.linked(i, i+l) {
					if flip = false; fwd > removed-gain {
						continue
					}
				}
				if !t.mayMove(i, l, g) {
					continue
				}
				t.move(i, l, g, flip)
				return true
			}
		}
	}
	return false
}

// linked reports whether one of the nodes at positions [lo, hi) must come
// before another of them.
func (t *tour) linked(lo, hi int) bool {
	for k := lo; k < hi; k++ {
		for _, a := range t.nodes[t.seq[k]].after {
			if q := int(t.pos[a]); q >= lo && q < hi {
				return true
			}
		}
	}
	return false
}

// mayMove reports whether the stretch of l nodes at i may stand before the
// node now at position g.
func (t *tour) mayMove(i, l, g int) bool {
	lo, hi := i+l, g // the nodes passed, where the stretch goes later
	if g < i {
		lo, hi = g, i
	}
	least, most := math.Inf(1), math.Inf(-1)
	for k := i; k < i+l; k++ {
		n := &t.nodes[t.seq[k]]
		list := n.after
		if g < i {
			list = n.before
		}
		for _, a := range list {
			if q := int(t.pos[a]); q >= lo && q < hi {
				return false
			}
		}
		least, most = math.Min(least, n.key), math.Max(most, n.key)
	}
	if math.IsInf(t.band, 1) {
		return true
	}
	for k := lo; k < hi; k++ {
		key := t.nodes[t.seq[k]].key
		if g > i && key >= least+t.band || g < i && most >= key+t.band {
			return false
		}
	}
	return true
}

// move carries the stretch, turned round with flip, before position g.
func (t *tour) move(i, l, g int, flip bool) {
	stretch := slices.Clone(t.seq[i : i+l])
	if flip {
		slices.Reverse(stretch)
		for _, n := range stretch {
			t.flip(n)
		}
	}
	lo, hi := i, g
	if g > i {
		copy(t.seq[i:], t.seq[i+l:g])
		copy(t.seq[g-l:], stretch)
	} else {
		lo, hi = g, i+l
		copy(t.seq[g+l:], t.seq[g:i])
		copy(t.seq[g:], stretch)
	}
	for k := lo; k < hi; k++ {
		t.pos[t.seq[k]] = int32(k)
	}
}

// flip makes an open cut run the other way.
func (t *tour) flip(n int32) {
	if t.nodes[n].open {
		t.choice[n] = 1 - t.choice[n]
		t.in[n], t.out[n] = t.out[n], t.in[n]
	}
}

// reversePass tries to turn round stretches so that near cuts come to stand
// side by side.
func (t *tour) reversePass(near [][]int32, budget *int) bool {
	moved := false
	for i := -1; i < len(t.seq)-1; i++ {
		if *budget <= 0 {
			break
		}
		// Join position i with j by turning round i+1..j.
		from := t.exit(i)
		first := t.seq[i+1]
		old := dist(from, t.in[first])
		var list []int32
		if i >= 0 {
			list = near[t.seq[i]]
		} else {
			list = near[first]
		}
		for _, c := range list {
			*budget--
			j := int(t.pos[c])
			if j <= i+1 || j > i+longest {
				continue
			}
			delta := dist(from, t.out[c]) + t.link(t.in[first], j+1) - old - t.link(t.out[c], j+1)
			if delta < -gain && t.mayReverse(i+1, j+1) {
				t.reverse(i+1, j+1)
				moved = true
				break
			}
		}
	}
	return moved
}

// mayReverse reports whether the nodes at positions [lo, hi) may be visited in
// the opposite order.
func (t *tour) mayReverse(lo, hi int) bool {
	if t.linked(lo, hi) {
		return false
	}
	most := math.Inf(-1)
	for k := hi - 1; k >= lo; k-- {
		key := t.nodes[t.seq[k]].key
		if most >= key+t.band {
			return false
		}
		most = math.Max(most, key)
	}
	return true
}

func (t *tour) reverse(lo, hi int) {
	slices.Reverse(t.seq[lo:hi])
	for k := lo; k < hi; k++ {
		n := t.seq[k]
		t.flip(n)
		t.pos[n] = int32(k)
	}
}
