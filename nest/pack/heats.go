package pack

import (
	"cmp"
	"slices"
)

// Where a climb ends depends more on where it began than on how long it goes on:
// of eight begun with layouts built in different orders, the best comes out one to
// two hundredths of the density ahead of the worst for the same work. So a stream makes several first
// climbs, in turns; goes on with the better half of them, for twice the work each;
// and so on until one is left (successive halving: Karnin, Koren and Somekh, "Almost
// optimal exploration in multi-armed bandits", 2013).
const (
	// heatShare is the share of exploration spent so.
	heatShare = 0.35
	// mostContenders is the most climbs begun.
	mostContenders = 64
	// stumbles is how much longer a first turn lasts than it took the first climb
	// to fail at the least step. Turns that ended at the first failure, far
	// shorter, told little about how a climb would end.
	stumbles = 2
)

// A contender is a climb whose turn is over, to be gone on with.
type contender struct {
	current      layout
	step, target float64
	pool         []stuck
}

// heats are the first climbs of a stream. Times are what its clock shows.
type heats struct {
	from, to float64
	in       []contender // those of this heat that have been begun
	fresh    int         // how many are yet to be begun
	at       int         // whose turn it is
	until    float64     // when that turn ends
	left     int         // heats to come, with this one; 0 until it is known
}

// startHeats makes the layout the stream goes on from its first contender.
func (st *stream) startHeats() {
	from := st.clock.spent()
	to := from + float64(heatShare*(exploreShare-from))
	st.heats = &heats{from: from, to: to, until: to, in: []contender{{current: st.current}}}
}

// turnEnds tells whether it is another contender's turn. The first turn, which says
// how many contenders there are to be, ends where its climb stumbles.
func (st *stream) turnEnds() bool {
	h := st.heats
	return st.clock.spent() >= h.until || h.left == 0 && len(st.pool) > 0
}

// nextTurn gives the turn to the next contender, or lets go of the heats once one is
// left.
func (st *stream) nextTurn() {
	h := st.heats
	now := st.clock.spent()
	if h.left == 0 {
		h.left, h.fresh = contenders(now-h.from, h.to-h.from)
		if h.fresh == 0 {
			st.endHeats()
			return
		}
		h.until = h.from + (h.to-h.from)/float64(h.left)/float64(1+h.fresh)
		if now < h.until {
			return // it has begun with its turn of the first heat
		}
	}
	h.in[h.at] = contender{st.current, st.step, st.target, st.pool}
	h.at++
	if h.at == len(h.in) && h.fresh == 0 {
		slices.SortStableFunc(h.in, func(a, b contender) int { return cmp.Compare(a.current.length, b.current.length) })
		h.in = h.in[:(len(h.in)+1)/2]
		h.at = 0
		h.left--
	}
	if len(h.in) == 1 && h.fresh == 0 {
		st.resume(&h.in[0])
		st.endHeats()
		return
	}
	// The time that is left is shared by this heat's turns to come and the heats
	// after it.
	turns := float64(len(h.in) - h.at + h.fresh)
	share := turns / float64(len(h.in)+h.fresh)
	h.until = now + (h.to-now)*share/(float64(h.left-1)+share)/turns
	if h.at == len(h.in) {
		h.fresh--
		c := contender{current: h.in[0].current}
		if l, ok := st.built(); ok {
			c.current = l
		}
		h.in = append(h.in, c)
	}
	st.resume(&h.in[h.at])
}

// contenders is how many heats there are to be and how many climbs are to be begun
// after the first, given what it took that one to stumble and what there is for all.
func contenders(stumbled, all float64) (heats, more int) {
	n := 1
	heats = 1
	for n < mostContenders && float64(2*n*stumbles)*stumbled <= all/float64(heats+1) {
		n *= 2
		heats++
	}
	return heats, n - 1
}

// resume goes on with a contender's climb.
func (st *stream) resume(c *contender) {
	st.current, st.step, st.target, st.pool = c.current, c.step, c.target, c.pool
	st.kicks.last = noKick
	switch {
	case st.target == 0:
	case len(st.pool) == 0:
		st.target = 0
	default:
		st.restart()
	}
}

// endHeats lets the stream go on with the climb at work, or from its best layout if
// that is of another and shorter.
func (st *stream) endHeats() {
	st.heats = nil
	if st.best.length < st.current.length {
		st.current, st.target, st.pool = st.best, 0, nil
	}
	st.beginClimb()
}
