package pack

import (
	"context"
	"math"
	"time"
)

// A stream is one line of search. What it does depends on its random numbers
// and on what the merging hands it, never on other streams' speed.
type stream struct {
	id    int
	w     *world
	s     *state
	rng   random
	sep   *separator
	clock *clock
	best  layout
	bound float64

	// underway says what attempt is being made, ended ones being of no kind.
	underway attempt

	// exploration
	current layout  // the last layout free of overlap
	target  float64 // length being tried
	step    float64 // shrink step, as a share of the length
	pool    []stuck
	climb   climb

	// burst is the share of the length compressed by: twice as much after a
	// success, half after a failure.
	burst float64
	kicks kickRecord
	ctx   context.Context

	// heats are the first climbs, to be made if heatsToCome says so; nil when there
	// are none or they are over
	heatsToCome bool
	heats       *heats

	// a unit to be repeated, worked on first; nil if there is none
	unit      *stream
	unitTimes int
	// zone lists the plies the stream improves window by window; nil: all at
	// once. within says that the stream packs a window itself.
	zone   []int32
	within bool

	// patterns says that patterns of identical plies are still to be tried
	patterns bool

	// polishing
	plain         bool // leave it out
	finish        *finisher
	finishCost    float64 // work of one linear program per ply
	polished      int64   // work done when last polished,
	polishCost    int64   // and what that cost
	before, after []pose

	report func(l *layout, phase string)
}

// attempt is a kind of attempt at a shorter strip.
type attempt int

const (
	noAttempt attempt = iota
	exploring
	compressing
)

// stuck is a layout that kept some overlap, to start again from.
type stuck struct {
	poses []pose
	loss  float64
}

// clock tells how much of the search is over, by work or by time.
type clock struct {
	s        *state
	work     int64
	start    time.Time
	duration time.Duration
}

func (c *clock) spent() float64 {
	if c.work > 0 {
		return float64(c.s.evals) / float64(c.work)
	}
	if c.duration <= 0 {
		return 0
	}
	return float64(time.Since(c.start)) / float64(c.duration)
}

func newStream(id int, w *world, seed uint64) *stream {
	st := &stream{id: id, w: w, s: newState(w), rng: newRandom(seed, uint64(id)+1)}
	st.sep = newSeparator(st.s, &st.rng)
	return st
}

// adopt makes a layout the stream's own starting point.
func (st *stream) adopt(l *layout) {
	st.drop()
	st.best = *l
	st.current = *l
	st.pool = st.pool[:0]
	st.target = 0
	st.beginClimb()
}

// drop leaves the attempt underway.
func (st *stream) drop() {
	st.underway = noAttempt
	st.kicks.last = noKick
	if st.climb.loosening {
		st.climb.loosening, st.target = false, 0
	}
	st.s.lenient = false
}

// accept takes the state as the new best if the judge finds it free.
func (st *stream) accept(phase string) {
	if !st.s.valid() {
		return
	}
	if st.due() {
		st.polish(polishSteps)
	}
	l := st.s.snapshot()
	st.current = l
	if l.length < st.best.length {
		st.best = l
		st.report(&st.best, phase)
	}
}

// countAttempt counts an attempt as a little work, so that attempts that need
// no move come to an end as well.
func (st *stream) countAttempt() { st.s.evals += int64(len(st.s.pose)) }

// work makes attempts until the clock shows until. An attempt may be left in
// the middle; the next call goes on with it.
func (st *stream) work(until float64) {
	if st.zone != nil {
		st.workOnZone(until)
		return
	}
	if st.patterns {
		st.patterns = false
		st.tryPatterns()
	}
	if st.unit != nil {
		st.workOnUnit(until)
		if st.unit != nil {
			return
		}
	}
	if st.heatsToCome {
		st.heatsToCome = false
		st.startHeats()
	}
	over := func() bool { return st.clock.spent() >= until }
	for !st.s.halted() && !st.optimal() && !over() {
		if st.underway == noAttempt {
			if st.heats != nil && st.turnEnds() {
				st.nextTurn()
			}
			st.countAttempt()
			if t := st.clock.spent(); st.heats != nil || t < exploreShare {
				st.explore()
			} else {
				st.compress((t - exploreShare) / (1 - exploreShare))
			}
		}
		how := st.sep.run(over)
		if how == paused {
			return
		}
		kind := st.underway
		st.underway = noAttempt
		switch {
		case how == dropped:
		case kind == exploring:
			st.explored(how == parted)
		case how == parted || st.due() && st.rescue(st.sep.best):
			st.accept("compress")
			st.burst = math.Min(leastStep, 2*st.burst)
		default:
			st.burst /= 2
		}
	}
}

// optimal tells whether no shorter layout than the best can exist.
func (st *stream) optimal() bool { return st.best.length <= st.bound+st.w.tol }

// shrink loads a layout and cuts the strip down to length: all that lies past
// a random cut moves back, and what still sticks out is pushed in.
func (st *stream) shrink(l *layout, length float64) {
	s := st.s
	s.length = length
	s.w.follow(length)
	s.load(l.poses)
	by := l.length - length
	rooms := s.w.rooms
	from := 0.0
	for _, r := range rooms {
		if r.from < length {
			from = r.from
		}
	}
	cut := st.rng.in(from, length)
	for i := range s.pose {
		p := s.pose[i]
		if p.x > cut {
			p.x -= by
		}
		if s.clamp(&p, s.body[i]) && p != s.pose[i] {
			s.place(int32(i), p)
		}
	}
}

// Exploration: the first and the least shrink step. Failure halves the step.
// Steps that grow again after easy successes, and less patience, lost half a
// point on small instances.
const (
	firstStep = 0.01
	leastStep = 0.001
)

// explore begins an attempt at a shorter strip, unless a restart has set one up.
func (st *stream) explore() {
	if st.step == 0 {
		st.step = firstStep
	}
	if st.target == 0 {
		st.target = math.Max(st.bound, st.current.length*(1-st.step))
		st.shrink(&st.current, st.target)
	}
	pat := patience{sweeps: 100, strikes: 3}
	if st.within {
		pat = windowPatience
	}
	st.s.lenient = st.mayBeLenient()
	st.sep.begin(pat)
	st.underway = exploring
}

const (
	// leewayShare is how deep plies may sink into each other while the search
	// is lenient, as a share of the smaller one's diameter.
	leewayShare = 0.002
	// leewayItems is the most plies for which it is: more take linear programs
	// too large to be solved after every success.
	leewayItems = 200
)

// mayBeLenient tells whether the next attempt may leave plies in each other by
// the leeway. Exact fits are then found by a search that knows only samples;
// linear programs make them exact. It starts once long steps have failed, where
// success is rare and worth a program.
func (st *stream) mayBeLenient() bool {
	return st.step < firstStep && !st.plain && !st.within && !st.w.mixed && len(st.s.pose) <= leewayItems
}

// leastGain is the share of what was tried that a layout made by linear programs
// has to gain: one found again and again with next to no gain would end the
// search at each goal and teach it the wrong kicks.
const leastGain = 0.1

// strict ends a lenient attempt: it tells whether what is left is a layout, made
// one by linear programs if need be. If not, it is something to start again from.
func (st *stream) strict(free bool) bool {
	st.s.lenient = false
	least := float64(leastGain * (st.current.length - st.target))
	if !free || st.s.valid() || st.harden(st.current.length-least) {
		return free
	}
	copy(st.sep.best, st.s.pose)
	st.sep.clashes, st.sep.loss = st.s.findClashes(st.sep.clashes)
	return false
}

// explored takes what came of the attempt and prepares the next.
func (st *stream) explored(free bool) {
	if st.s.lenient {
		free = st.strict(free)
	}
	free = free || st.due() && st.rescue(st.sep.best)
	st.kicks.end(free, st.s.evals)
	if st.climb.loosening {
		st.loosened(free)
		return
	}
	if free {
		st.climb.won, st.climb.wonAt = st.s.evals, st.clock.spent()
		st.accept("explore")
		st.pool = st.pool[:0]
		st.target = 0
		return
	}
	if st.step > leastStep {
		// Too bold: try half the step from the last good layout.
		st.step = math.Max(leastStep, st.step/2)
		st.target = 0
		return
	}
	st.pool = append(st.pool, stuck{append([]pose(nil), st.sep.best...), st.sep.loss})
	k := len(st.pool) - 1
	for k > 0 && st.pool[k-1].loss > st.pool[k].loss {
		st.pool[k-1], st.pool[k] = st.pool[k], st.pool[k-1]
		k--
	}
	if len(st.pool) > 40 {
		st.pool = st.pool[:40]
	}
	if st.standsStill() {
		st.loosen()
		return
	}
	st.restart()
}

// restart prepares another attempt at the same length: from one of the layouts
// that came closest, disturbed, or from the last good one or a new one.
func (st *stream) restart() {
	k := st.kicks.choose(st.usable, &st.rng)
	st.kicks.begin(k, st.s.evals)
	st.s.length = st.target
	if k == fresh && !st.fresh() {
		k = jump
		st.kicks.begin(k, st.s.evals)
	}
	switch k {
	case fresh:
	case recut:
		st.shrink(&st.current, st.target)
	default:
		pick := int(math.Abs(st.rng.normal()) * 0.25 * float64(len(st.pool)))
		st.s.load(st.pool[min(pick, len(st.pool)-1)].poses)
		st.disturb(k)
	}
}

// freshOrder is how far a new layout's order departs from big before small.
const freshOrder = 0.4

// freshWork is what building one costs, in poses for each ply.
const freshWork = 100

// fresh starts over from a layout built in a random order, squeezed into the
// length being tried.
func (st *stream) fresh() bool {
	s := st.s
	l, ok := st.built()
	s.length = st.target
	if !ok {
		return false
	}
	s.load(l.poses)
	f := st.target / l.length
	for i := range s.pose {
		p := s.pose[i]
		p.x *= f
		st.put(int32(i), p)
	}
	return true
}

// built is a layout built in a random order; false where not all plies found room.
func (st *stream) built() (layout, bool) {
	b := newBuilder(st.w, st.s, &st.rng, freshOrder)
	b.run(st.ctx)
	st.s.evals += freshWork * int64(len(st.s.pose))
	l := b.layout()
	return l, l.complete()
}

// Compression: the first shrink step, and how often it is halved by the end.
const (
	compressFrom     = 0.0005
	compressHalvings = 6
)

// halved is v halved so many times, with straight lines between whole times:
// powers differ in the last bit from machine to machine.
func halved(v, times float64) float64 {
	whole := math.Floor(times)
	return math.Ldexp(v, -int(whole)) * (1 - (times-whole)/2)
}

// smallPatience is that for attempts at strips shorter by little.
var smallPatience = patience{sweeps: 40, strikes: 2}

// compress begins an attempt at a slightly shorter strip; progress runs from 0
// to 1 over the phase. Steps grow while they succeed.
func (st *stream) compress(progress float64) {
	step := math.Max(st.burst, halved(compressFrom, compressHalvings*math.Min(1, progress)))
	st.burst = step
	st.shrink(&st.best, math.Max(st.bound, st.best.length*(1-step)))
	st.sep.begin(smallPatience)
	st.underway = compressing
}

// scaled is a share of a duration.
func scaled(d time.Duration, share float64) time.Duration {
	return time.Duration(share * float64(d))
}
