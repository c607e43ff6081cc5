package toolpath

import (
	"math/rand/v2"
	"slices"

	"plyroom/shapes/steady"
)

const (
	// recreateTrials is how many times, over a whole tour, cuts are taken out
	// and put back; a fixed number, so that time is bounded without a clock.
	recreateTrials = 24000
	// recreatePerNode bounds the trials of small tours.
	recreatePerNode = 200
	// stretchNodes is how many cuts are worked on at a time; stretches overlap
	// by half.
	stretchNodes = 200
	// recreateNear is how many near cuts a cut is tried beside.
	recreateNear = 12
	// meanTaken is how many cuts are taken out at a time, on average.
	meanTaken = 10
)

// recreate shortens a tour by taking out a few cuts that lie together and
// putting each back at its cheapest legal place with its best start, over and
// over; a result that is a little longer is kept now and then, less and less
// often, and the best is returned to (ruin and recreate with strings, after
// Christiaens and Vanden Berghe). It works on overlapping stretches of the
// tour; what stands before a stretch stays before it, so that an order legal
// within it is legal in the whole.
func (t *tour) recreate() {
	n := len(t.seq)
	if n < 3 {
		return
	}
	rng := rand.New(rand.NewPCG(1, uint64(n)))
	total := min(recreateTrials, recreatePerNode*n)
	type span struct{ lo, hi int }
	var spans []span
	for lo := 0; ; lo += stretchNodes / 2 {
		hi := min(lo+stretchNodes, n)
		spans = append(spans, span{lo, hi})
		if hi == n {
			break
		}
	}
	for _, s := range spans {
		t.recreateStretch(s.lo, s.hi, total/len(spans), rng)
	}
}

func (t *tour) recreateStretch(lo, hi, trials int, rng *rand.Rand) {
	s := stretch{t: t, from: t.exit(lo - 1), rng: rng, seq: slices.Clone(t.seq[lo:hi])}
	if hi < len(t.seq) {
		p := t.in[t.seq[hi]]
		s.to = &p
	}
	s.ids = slices.Clone(s.seq)
	slices.Sort(s.ids)
	s.index = make([]int32, len(t.nodes))
	for i := range s.index {
		s.index[i] = -1
	}
	for k, id := range s.ids {
		s.index[id] = int32(k)
	}
	s.pos = make([]int32, len(s.ids))
	s.number()
	s.findNear()
	s.anneal(trials)
	copy(t.seq[lo:hi], s.seq)
	t.settle()
}

// cooling is the logarithm of how much hotter the search is at first than at last.
const cooling = 4.605 // a hundred times

func (s *stretch) anneal(trials int) {
	now := s.cost()
	best := now
	bestSeq, bestChoice := slices.Clone(s.seq), s.choices(nil)
	warm := 0.3 * now / float64(len(s.seq)+1)
	for k := range trials {
		heat := float64(warm * steady.Exp(-cooling*float64(k)/float64(trials)))
		s.oldSeq = append(s.oldSeq[:0], s.seq...)
		s.oldChoice = s.choices(s.oldChoice[:0])
		s.ruin()
		if !s.putBack() {
			s.restore(s.oldSeq, s.oldChoice)
			continue
		}
		c := s.cost()
		if c < now-float64(heat*steady.Log(s.rng.Float64())) {
			now = c
			if c < best-gain {
				best = c
				bestSeq = append(bestSeq[:0], s.seq...)
				bestChoice = s.choices(bestChoice[:0])
			}
			continue
		}
		s.restore(s.oldSeq, s.oldChoice)
	}
	s.restore(bestSeq, bestChoice)
}
