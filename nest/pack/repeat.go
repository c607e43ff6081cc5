package pack

import (
	"math"

	"plyroom/shapes/steady"
)

// Where many copies of few kinds are to be laid, a good arrangement of a few of
// each is found sooner than one of all, and can be repeated along the strip:
// several units of a part nested together are such a case. One stream spends
// the first share of the search on such a unit, lays it as often as the counts
// allow, fills in what is left, and searches on from there.
const (
	// unitShare is the share of the search spent on the unit.
	unitShare = 0.25
	// unitItems is how many plies a unit should have.
	unitItems = 45
	// leastItems is the least number of plies for which units are tried,
	// leastCovered the least share of the area that whole units must cover.
	leastItems   = 60
	leastCovered = 0.85
)

// repeats returns how often a unit is to be repeated; 0 where units make no
// sense.
func (w *world) repeats() int {
	if len(w.items) < leastItems || len(w.blocks) > 0 {
		return 0
	}
	most := 0
	for i := range w.kinds {
		most = max(most, w.kinds[i].count)
	}
	best, bestOff := 0, math.Inf(1)
	for r := 2; r <= most; r++ {
		n, area := 0, 0.0
		for i := range w.kinds {
			c := w.kinds[i].count / r
			n += c
			area += float64(float64(c*r) * w.kinds[i].shape.Area)
		}
		if n < 2 || area < leastCovered*w.area {
			continue
		}
		if off := math.Abs(steady.Log(float64(n) / unitItems)); off < bestOff {
			best, bestOff = r, off
		}
	}
	return best
}

// unit is the world with 1/r of the copies. Bodies and tables are shared.
func (w *world) unit(r int) *world {
	v := &world{
		problem: w.problem, width: w.width, gap: w.gap, tol: w.tol, maxLength: w.maxLength,
		bodies: w.bodies, tables: w.tables,
		scale: w.scale, rooms: w.rooms, mixed: w.mixed, stop: w.stop,
	}
	v.kinds = append(v.kinds, w.kinds...)
	for i := range v.kinds {
		k := &v.kinds[i]
		k.count /= r
		v.first = append(v.first, int32(len(v.items)))
		for range k.count {
			v.items = append(v.items, int32(i))
		}
		v.area += float64(float64(k.count) * k.shape.Area)
	}
	return v
}

// startUnit gives the stream a unit to work on first.
func (st *stream) startUnit(r int) {
	w := st.w.unit(r)
	u := newStream(st.id+1000, w, uint64(r))
	u.s.asked = st.s.asked
	u.rng = newRandom(st.rng.next(), uint64(r))
	u.ctx, u.plain = st.ctx, st.plain
	u.report = func(*layout, string) {}
	c := *st.clock
	c.s, c.work = u.s, int64(unitShare*float64(c.work))
	c.duration = scaled(c.duration, unitShare)
	u.clock = &c
	u.s.budget = c.work
	b := newBuilder(w, u.s, &u.rng, 0)
	b.run(st.ctx)
	l := b.layout()
	if !l.complete() {
		return
	}
	u.adopt(&l)
	st.unit, st.unitTimes = u, r
}

// workOnUnit works on the unit, and when its share is over goes on with the
// whole problem.
func (st *stream) workOnUnit(until float64) {
	u := st.unit
	u.work(math.Min(1, until/unitShare))
	if until < unitShare-1e-9 || st.s.halted() {
		return
	}
	st.unit = nil
	st.s.evals += u.s.evals
	st.beginClimb()
	if l, ok := st.repeat(u, st.unitTimes); ok {
		st.s.length = l.length
		st.s.load(l.poses)
		if st.s.valid() {
			if st.due() {
				st.polish(polishSteps)
			}
			l = st.s.snapshot()
			if l.length < st.best.length*1.02 {
				if l.length < st.best.length {
					st.report(&l, "explore")
					st.best = l
				}
				st.current = l
				st.pool = st.pool[:0]
				st.target = 0
				st.step = repeatStep
			}
		}
	}
}

// repeatStep is the first shrink step after units have been laid.
const repeatStep = 0.004

// repeat lays the unit's best layout several times and builds the rest in.
func (st *stream) repeat(u *stream, times int) (layout, bool) {
	u.s.length = u.best.length
	u.s.load(u.best.poses)
	pitch := u.pitch()
	b := newBuilder(st.w, st.s, &st.rng, 0)
	st.s.grid.clear()
	for k := range st.w.kinds {
		c := u.w.kinds[k].count
		for t := range times {
			for n := range c {
				p := u.best.poses[int(u.w.first[k])+n]
				p.x += float64(float64(t) * pitch)
				i := st.w.first[k] + int32(t*c+n)
				if m := st.w.maxLength; m > 0 && p.x+u.s.body[int(u.w.first[k])+n].Box.MaxX > m {
					return layout{}, false
				}
				b.put(i, p)
			}
		}
	}
	b.fill(st.ctx)
	l := b.layout()
	return l, l.complete()
}

// pitch is a shift along the strip at which the unit, as its state holds it,
// keeps clear of itself, found by moving it up from behind.
func (st *stream) pitch() float64 {
	s := st.s
	d := st.best.length + s.gap
	clear := func(d float64) bool {
		for i := range s.pose {
			if !s.free(-1, s.body[i], s.pose[i].x+d, s.pose[i].y) {
				return false
			}
		}
		return true
	}
	for step := s.w.width / 32; step > s.w.width/1e6; {
		if d > step && clear(d-step) {
			d -= step
		} else {
			step /= 2
		}
	}
	return d
}
