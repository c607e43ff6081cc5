package toolpath

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"github.com/paulmach/orb"
)

// A stretch is a part of a tour being rebuilt.
type stretch struct {
	t     *tour
	from  orb.Point  // where the knife comes from
	to    *orb.Point // where it goes on to; nil at the end of the tour
	seq   []int32
	pos   []int32   // by index in ids; -1: taken out
	index []int32   // node -> index in ids, -1 elsewhere; shared by all
	near  [][]int32 // by index in ids: near nodes
	rng   *rand.Rand
	// what a trial may have to go back to
	oldSeq    []int32
	oldChoice []int16
	ids       []int32
	taken     []int32
}

// number rewrites the positions.
func (s *stretch) number() {
	for k, id := range s.seq {
		s.pos[s.index[id]] = int32(k)
	}
}

// findNear lists the nearest nodes of each, by the distance between their
// start points.
func (s *stretch) findNear() {
	n := len(s.ids)
	boxes := make([]orb.Bound, n)
	for i, id := range s.ids {
		boxes[i] = orb.MultiPoint(s.t.nodes[id].starts).Bound()
	}
	type cand struct {
		id int32
		d  float64
	}
	s.near = make([][]int32, n)
	all := make([]cand, 0, n)
	for i := range s.ids {
		all = all[:0]
		for j, id := range s.ids {
			if j != i {
				all = append(all, cand{id, boxGap(boxes[i], boxes[j])})
			}
		}
		less := func(a, b int) bool { return all[a].d < all[b].d || all[a].d == all[b].d && all[a].id < all[b].id }
		sort.Slice(all, less)
		all = all[:min(len(all), 2*recreateNear)]
		for k := range all {
			all[k].d = apart(s.t.nodes[s.ids[i]].starts, s.t.nodes[all[k].id].starts)
		}
		sort.Slice(all, less)
		for _, c := range all[:min(len(all), recreateNear)] {
			s.near[i] = append(s.near[i], c.id)
		}
	}
}

// cost is the way through the stretch, from where the knife comes from to
// where it goes on.
func (s *stretch) cost() float64 {
	at, sum := s.from, 0.0
	for _, id := range s.seq {
		in, out := s.ends(id)
		sum += dist(at, in)
		at = out
	}
	if s.to != nil {
		sum += dist(at, *s.to)
	}
	return sum
}

func (s *stretch) ends(id int32) (in, out orb.Point) {
	return ends(&s.t.nodes[id], int(s.t.choice[id]))
}

func (s *stretch) choices(into []int16) []int16 {
	for _, id := range s.ids {
		into = append(into, s.t.choice[id])
	}
	return into
}

func (s *stretch) restore(seq []int32, choice []int16) {
	s.seq = append(s.seq[:0], seq...)
	for k, id := range s.ids {
		s.t.choice[id] = choice[k]
	}
	s.number()
}

// ruin takes out short runs of the tour that lie near one another.
func (s *stretch) ruin() {
	s.taken = s.taken[:0]
	centre := s.rng.IntN(len(s.ids))
	want := 1 + s.rng.IntN(2*meanTaken-1)
	s.takeRun(s.ids[centre], want)
	for _, id := range s.near[centre] {
		if len(s.taken) >= want {
			break
		}
		if s.pos[s.index[id]] >= 0 {
			s.takeRun(id, want-len(s.taken))
		}
	}
}

// takeRun takes out a run of up to five cuts that holds id.
func (s *stretch) takeRun(id int32, most int) {
	l := 1 + s.rng.IntN(min(5, most, len(s.seq)))
	p := int(s.pos[s.index[id]])
	lo := max(0, min(p-s.rng.IntN(l), len(s.seq)-l))
	for _, x := range s.seq[lo : lo+l] {
		s.pos[s.index[x]] = -1
		s.taken = append(s.taken, x)
	}
	s.seq = append(s.seq[:lo], s.seq[lo+l:]...)
	s.number()
}

// putBack puts every cut back at its cheapest legal place; false where one has
// none.
func (s *stretch) putBack() bool {
	s.rng.Shuffle(len(s.taken), func(i, j int) { s.taken[i], s.taken[j] = s.taken[j], s.taken[i] })
	for _, id := range s.taken {
		lo, hi := s.room(id)
		if lo > hi {
			return false
		}
		gap, start, best := -1, 0, math.Inf(1)
		try := func(g int) {
			if g < lo || g > hi || s.rng.IntN(64) == 0 {
				return
			}
			if c, st := s.insertion(id, g, best); c < best {
				gap, start, best = g, st, c
			}
		}
		for _, x := range s.near[s.index[id]] {
			if p := int(s.pos[s.index[x]]); p >= 0 {
				try(p)
				try(p + 1)
			}
		}
		if gap < 0 {
			for g := lo; g <= hi; g++ {
				if c, st := s.insertion(id, g, best); c < best {
					gap, start, best = g, st, c
				}
			}
		}
		s.t.choice[id] = int16(start)
		s.seq = slices.Insert(s.seq, gap, id)
		for k := gap; k < len(s.seq); k++ {
			s.pos[s.index[s.seq[k]]] = int32(k)
		}
	}
	return true
}

// room is the range of gaps where a cut may stand; gap g is before position g.
func (s *stretch) room(id int32) (lo, hi int) {
	n := &s.t.nodes[id]
	lo, hi = 0, len(s.seq)
	for _, b := range n.before {
		if k := s.index[b]; k >= 0 {
			lo = max(lo, int(s.pos[k])+1)
		}
	}
	for _, a := range n.after {
		if k := s.index[a]; k >= 0 && s.pos[k] >= 0 {
			hi = min(hi, int(s.pos[k]))
		}
	}
	if math.IsInf(s.t.band, 1) {
		return lo, hi
	}
	for k, x := range s.seq {
		key := s.t.nodes[x].key
		if key+s.t.band <= n.key {
			lo = max(lo, k+1)
		}
		if key >= n.key+s.t.band {
			hi = min(hi, k)
		}
	}
	return lo, hi
}

// insertion is what the tour grows by when a cut is put at a gap with its best
// start, given up where it exceeds most.
func (s *stretch) insertion(id int32, g int, most float64) (float64, int) {
	e := s.from
	if g > 0 {
		_, e = s.ends(s.seq[g-1])
	}
	var next *orb.Point
	if g < len(s.seq) {
		in, _ := s.ends(s.seq[g])
		next = &in
	} else {
		next = s.to
	}
	old := 0.0
	if next != nil {
		old = dist(e, *next)
	}
	n := &s.t.nodes[id]
	best, start := math.Inf(1), 0
	for c := range n.starts {
		in, out := ends(n, c)
		d := dist(e, in) - old
		if d >= best || d >= most {
			continue
		}
		if next != nil {
			d += dist(out, *next)
		}
		if d < best {
			best, start = d, c
		}
	}
	return best, start
}
