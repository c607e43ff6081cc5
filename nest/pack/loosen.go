package pack

// A climb is a run of ever shorter strips, from a first layout or from one that
// was loosened.
type climb struct {
	from, won int64   // work done when it began, and at its last success
	wonAt     float64 // what the clock showed then
	// loosening says that the attempt underway loosens a layout; tries counts
	// those that failed in a row.
	loosening bool
	tries     int
}

// A stream stands still once it has gone on without success for a share of the
// climb's work, a share of the whole search, and so many kicks at least. (Without
// the second, short searches are broken up into climbs that end too low.)
const (
	stillShareOfClimb  = 0.15
	stillShareOfSearch = 0.05
	stillKicks         = 20
)

// A layout is loosened by a share of its length, drawn between these; each
// failure adds a fifth.
const (
	loosenLeast = 0.005
	loosenMost  = 0.02
	loosenMore  = 0.2
)

// beginClimb begins a climb from where the stream is now.
func (st *stream) beginClimb() {
	st.climb = climb{from: st.s.evals, won: st.s.evals, wonAt: st.clock.spent()}
}

// standsStill tells whether kicks at the length being tried have led nowhere for
// long. During heats other climbs have their turn anyway.
func (st *stream) standsStill() bool {
	if st.within || st.heats != nil || st.kicks.n == 0 {
		return false
	}
	c := &st.climb
	if st.clock.spent()-c.wonAt < stillShareOfSearch {
		return false
	}
	limit := max(stillShareOfClimb*float64(c.won-c.from), stillKicks*float64(st.kicks.sum)/float64(st.kicks.n))
	return float64(st.s.evals-c.won) > limit
}

// loosenKicks are those a layout is loosened by.
var loosenKicks = [...]kick{exchange, reverse, cycle, swapLarge, swapAlike, rotate, jump}

// loosen begins an attempt to lay the best layout otherwise, with a kick, on a
// strip that is a little longer. From there the strip is made shorter again: a
// new climb, that keeps most of what was good. Kicks at the length being tried
// must find at once what comes in many steps here.
func (st *stream) loosen() {
	st.climb.loosening = true
	st.pool = st.pool[:0]
	st.step = firstStep
	share := float64(st.rng.in(loosenLeast, loosenMost) * (1 + float64(loosenMore*float64(st.climb.tries))))
	st.target = st.best.length * (1 + share)
	st.s.length = st.target
	st.s.load(st.best.poses)
	if k := loosenKicks[st.rng.intn(len(loosenKicks))]; st.usable(k) {
		st.disturb(k)
	}
}

// loosened takes what came of that attempt.
func (st *stream) loosened(free bool) {
	if !free {
		st.climb.tries++
		st.loosen()
		return
	}
	st.beginClimb()
	st.accept("explore")
	st.target = 0
}
