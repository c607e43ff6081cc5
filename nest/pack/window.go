package pack

import (
	"cmp"
	"math"
	"slices"

	"plyroom/nest/collide"
)

// On a long strip a search that looks everywhere at once gets nowhere. From
// windowItems plies on, the strip is improved in windows instead: some plies that
// lie together are packed anew, with all others holding still around them, those
// behind following as the window becomes shorter. Windows lie anywhere, so they
// overlap from one to the next. In each round every stream has a zone of the
// strip to itself; what they gain adds up.
const (
	// windowItems is the least number of plies for which windows are used.
	windowItems = 250
	// windowFrom is the share of the search that comes before, with patterns
	// and units.
	windowFrom = 0.25
	// windowPlies is how many plies a window holds, windowWork how many poses
	// per ply are costed in it.
	windowPlies = 50
	windowWork  = 4000
)

// windowStep is the first shrink step in a window, as a share of its length, and
// windowPatience the patience there: there is always another window.
const windowStep = 0.004

var windowPatience = patience{sweeps: 30, strikes: 1}

// windowed tells whether the strip is improved in windows from where the
// search has come.
func (w *world) windowed(done float64) bool {
	return len(w.items) >= windowItems && len(w.blocks) == 0 && done > windowFrom
}

// zones parts the plies of a layout among n streams: those of one zone are at
// least a gap from those of the next, whatever lies between belongs to none.
// Round moves the borders about.
func (s *state) zones(n, round int) [][]int32 {
	order := s.byCentre()
	out := make([][]int32, n)
	// The borders of the golden section never come back to the same place.
	off := math.Mod(float64(round)*0.6180339887498949, 1) - 0.5
	from := math.Inf(-1)
	for z := range n {
		out[z] = []int32{}
		to := math.Inf(1)
		if z+1 < n {
			at := (float64(z+1) + float64(0.7*off)) / float64(n) * float64(len(order))
			to = s.centre(order[min(int(at), len(order)-1)])
		}
		for _, i := range order {
			if s.box[i].MinX >= from+s.gap/2 && s.box[i].MaxX <= to-s.gap/2 {
				out[z] = append(out[z], i)
			}
		}
		from = to
	}
	return out
}

func (s *state) centre(i int32) float64 { return (s.box[i].MinX + s.box[i].MaxX) / 2 }

// byCentre lists the items along the strip.
func (s *state) byCentre() []int32 {
	order := make([]int32, len(s.pose))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Or(cmp.Compare(s.centre(a), s.centre(b)), cmp.Compare(a, b)) })
	return order
}

// workOnZone improves the stream's zone, window by window, until its clock shows
// until. The stream's current layout then holds what it found; it is free of
// overlap throughout.
func (st *stream) workOnZone(until float64) {
	s := st.s
	st.underway = noAttempt
	s.load(st.current.poses)
	for !s.halted() && st.clock.spent() < until && len(st.zone) > 1 {
		st.countAttempt()
		slices.SortFunc(st.zone, func(a, b int32) int { return cmp.Or(cmp.Compare(s.centre(a), s.centre(b)), cmp.Compare(a, b)) })
		m := min(windowPlies, len(st.zone))
		at := st.rng.intn(len(st.zone)+m/2) - m/4
		at = max(0, min(at, len(st.zone)-m))
		st.packWindow(st.zone[at : at+m])
	}
	st.current = s.snapshot()
}

// packWindow packs some plies anew and has what lies behind them follow. The
// state holds the better layout afterwards.
func (st *stream) packWindow(win []int32) {
	s := st.s
	v := s.window(win, st.zone)
	u := newStream(st.id, v.world, 0)
	u.s.asked = s.asked
	u.rng = newRandom(st.rng.next(), 1)
	u.ctx, u.plain, u.within = st.ctx, true, true
	u.report = func(*layout, string) {}
	u.s.budget = int64(len(win)) * windowWork
	if s.budget > 0 {
		u.s.budget = max(1, min(u.s.budget, s.budget-s.evals))
	}
	u.clock = &clock{s: u.s, work: u.s.budget}
	u.step = windowStep
	u.adopt(&layout{poses: v.poses, length: v.length})
	u.work(1)
	s.evals += u.s.evals
	gain := v.length - u.best.length
	if !(gain > s.w.tol) {
		return
	}
	before := append(st.before[:0], s.pose...)
	st.before = before
	for k, i := range v.win {
		p := u.best.poses[k]
		p.x += v.lo
		s.place(i, p)
	}
	for _, i := range v.behind {
		p := s.pose[i]
		p.x -= gain
		s.place(i, p)
	}
	if !s.freeBetween(v.from, v.to) {
		s.load(before)
	}
}

// freeBetween asks the judge about the plies that reach into a stretch of the
// strip.
func (s *state) freeBetween(from, to float64) bool {
	for i := range s.pose {
		b := &s.box[i]
		if b.MinX > to+s.gap || b.MaxX < from-s.gap {
			continue
		}
		if b.MinX < -s.w.tol || !s.free(int32(i), s.body[i], s.pose[i].x, s.pose[i].y) {
			return false
		}
	}
	return true
}

// A window is the world of some plies of a strip that are packed anew while all
// others hold still.
type window struct {
	world  *world
	win    []int32 // the plies, in the order of the world's items
	poses  []pose  // theirs, in the world
	lo     float64 // where the world begins on the strip
	length float64 // of the world as it is
	behind []int32 // plies that keep their distance from the window's end
	// from and to hold between them whatever may meet once those have moved.
	from, to float64
}

// window makes the world of some plies of a zone. What lies behind a window is
// told by the middle of the window for plies of the zone, and by the middle of
// the zone for all others, so that what lies between two zones keeps its place
// towards the next.
func (s *state) window(win, zone []int32) *window {
	w := s.w
	v := &window{win: slices.Clone(win)}
	slices.Sort(v.win)
	v.world = &world{
		problem: w.problem, width: w.width, gap: w.gap, tol: w.tol,
		bodies: w.bodies, tables: w.tables, scale: w.scale, rooms: []room{{0, math.Inf(1)}},
		mixed: w.mixed, stop: w.stop, kinds: slices.Clone(w.kinds),
	}
	for k := range v.world.kinds {
		v.world.kinds[k].count = 0
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	middle := s.middle(win)
	const inZone, inWindow = 1, 2
	where := make([]uint8, len(s.pose))
	for _, i := range zone {
		where[i] = inZone
	}
	for _, i := range v.win {
		where[i] = inWindow
		k := w.items[i]
		v.world.kinds[k].count++
		v.world.items = append(v.world.items, k)
		v.world.area += w.kinds[k].shape.Area
		lo, hi = min(lo, s.box[i].MinX), max(hi, s.box[i].MaxX)
	}
	n := int32(0)
	for k := range v.world.kinds {
		v.world.first = append(v.world.first, n)
		n += int32(v.world.kinds[k].count)
	}
	for _, i := range v.win {
		p := s.pose[i]
		p.x -= lo
		v.poses = append(v.poses, p)
	}
	v.lo, v.length = lo, hi-lo
	v.from, v.to = lo, hi
	zoneMiddle := s.middle(zone)
	for i := range s.pose {
		if where[i] == inWindow {
			continue
		}
		b := s.box[i]
		at := zoneMiddle
		if where[i] == inZone {
			at = middle
		}
		back := s.centre(int32(i)) > at
		if back {
			v.behind = append(v.behind, int32(i))
			v.from = min(v.from, b.MinX)
		} else {
			v.to = max(v.to, b.MaxX)
		}
		if b.MinX > hi+s.gap || b.MaxX < lo-s.gap {
			continue
		}
		v.world.blocks = append(v.world.blocks, block{
			body: s.body[i], x: s.pose[i].x - lo, y: s.pose[i].y,
			box: collide.Box{MinX: b.MinX - lo - s.gap, MinY: b.MinY - s.gap, MaxX: b.MaxX - lo + s.gap, MaxY: b.MaxY + s.gap},
			ply: true, gap: s.gap, follows: back, end: v.length,
		})
	}
	v.world.followed = len(v.behind) > 0
	return v
}

// middle is halfway between the first and the last centre of items.
func (s *state) middle(items []int32) float64 {
	first, last := math.Inf(1), math.Inf(-1)
	for _, i := range items {
		first, last = min(first, s.centre(i)), max(last, s.centre(i))
	}
	return (first + last) / 2
}

// follow moves the obstacles that follow the strip's end to where it is now.
func (w *world) follow(length float64) {
	if !w.followed {
		return
	}
	for k := range w.blocks {
		b := &w.blocks[k]
		if !b.follows || b.end == length {
			continue
		}
		by := length - b.end
		b.end = length
		b.x += by
		b.box.MinX += by
		b.box.MaxX += by
	}
}

// windows has each stream improve a zone of the layout, and puts together what
// they gain. The streams go on from the result.
func (r *runner) windows(streams []*stream, l *layout, round int) {
	s := streams[0].s
	s.load(l.poses)
	zones := s.zones(len(streams), round)
	for z, st := range streams {
		st.adopt(l)
		st.zone = zones[z]
	}
	r.round(streams, float64(round)/rounds)
	joined := layout{poses: slices.Clone(l.poses)}
	for z, st := range streams {
		for _, i := range zones[z] {
			x := joined.poses[i].x
			joined.poses[i] = st.current.poses[i]
			joined.poses[i].x = x
		}
		// What lies behind a zone has followed what it gained.
		for i := range joined.poses {
			joined.poses[i].x += st.current.poses[i].x - l.poses[i].x
		}
		st.zone = nil
	}
	st := streams[0]
	if st.passes(joined.poses) {
		s.length = s.reach()
		st.accept("explore")
	}
	for _, o := range streams[1:] {
		o.adopt(&st.best)
	}
}
