package pack

import (
	"context"
	"math"
	"sync"
	"time"

	"plyroom/shapes/steady"
)

const (
	// logicalStreams is the number of streams with Effort above 0, whatever
	// the number of workers.
	logicalStreams = 4
	// evalsPerEffort is the number of candidate poses per unit of effort.
	evalsPerEffort = 100_000
	// rounds is how often streams are merged in one search.
	rounds = 24
	// searchShare is the share of the time before the last polishing; what
	// polishing does not use is searched on.
	searchShare = 0.96
	// exploreShare is the share of the search before compression.
	exploreShare = 0.9
)

// Solve lays all pieces of p, as short as the settings allow time for. It
// returns the best complete layout found also when ctx ends at once; then it is
// the first one constructed. Where Problem.MaxLength leaves no room, as much
// as fits is laid and Result.Unplaced lists the rest.
//
// An error means that the problem itself is at fault (it wraps ErrBadProblem).
// progress may be nil; it is called from one goroutine at a time.
func Solve(ctx context.Context, p *Problem, set Settings, progress func(Progress)) (Result, error) {
	w, err := prepare(p, set.Cache)
	if err != nil {
		return Result{}, err
	}
	if set.Still {
		if res, ok := solveStill(ctx, w, set, progress); ok {
			return res, nil
		}
	}
	if len(w.items) == 0 {
		return Result{Status: Trivial}, nil
	}
	r := &runner{w: w, set: set, progress: progress}
	l, status := r.run(ctx, true)
	out := Result{Length: l.length, Bound: r.bound, Status: status}
	out.Placements, out.Unplaced = w.placements(&l)
	return out, nil
}

// run constructs a layout and improves it. Where not all plies find room at once, it
// looks for one that holds them, if squeeze says so.
func (r *runner) run(ctx context.Context, squeeze bool) (layout, Status) {
	w := r.w
	l := r.construct(ctx)
	start := r.start()
	searched := start != nil
	if searched && (!l.complete() || start.length < l.length) {
		l = *start
		r.tell(&l, "start")
	}
	status := Partial
	switch {
	case l.complete() && ctx.Err() != nil:
		status = ContextEnded // all that was wanted was a layout
	case l.complete():
		r.bound = w.bound()
		if !searched {
			searched = r.searchStill(ctx, &l)
		}
		status = r.search(ctx, &l, searched)
	case squeeze:
		if r.bound = w.bound(); r.bound <= w.maxLength+w.tol {
			status = r.fit(ctx, &l)
		}
	}
	return l, status
}

// runner is one call of Solve.
type runner struct {
	w        *world
	set      Settings
	bound    float64
	progress func(Progress)

	mu    sync.Mutex
	told  float64 // best length reported
	count int
}

// tell reports a layout if it is the shortest so far.
func (r *runner) tell(l *layout, phase string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.count++
	if r.told != 0 && l.length >= r.told {
		return
	}
	if m := r.w.problem.MaxLength; m > 0 && l.length > m+r.w.tol {
		return // not a layout yet that was asked for
	}
	r.told = l.length
	if r.progress != nil {
		r.progress(Progress{
			Length:  l.length,
			Density: r.w.area / (r.w.width * l.length),
			Bound:   r.bound, Iteration: r.count, Phase: phase,
		})
	}
}

// construct builds the first layout.
func (r *runner) construct(ctx context.Context) layout {
	s := newState(r.w)
	rng := newRandom(r.set.Seed, 0)
	b := newBuilder(r.w, s, &rng, 0)
	b.run(ctx)
	l := b.layout()
	if l.complete() {
		r.tell(&l, "construct")
	}
	return l
}

func (b *builder) layout() layout {
	l := layout{poses: append([]pose(nil), b.s.pose...)}
	for i, laid := range b.laid {
		if laid {
			l.length = math.Max(l.length, b.s.box[i].MaxX)
		} else if l.laid == nil {
			l.laid = b.laid
		}
	}
	return l
}

// search improves l until the effort is spent or ctx ends; searched says that l has
// been searched for before.
func (r *runner) search(ctx context.Context, l *layout, searched bool) Status {
	if l.length <= r.bound+r.w.tol {
		return Optimal
	}
	if ctx.Err() != nil {
		return ContextEnded
	}
	stopWatch := context.AfterFunc(ctx, func() { r.w.stop.Store(true) })
	defer stopWatch()
	n := logicalStreams
	if r.set.Effort <= 0 {
		n = max(1, r.set.Workers)
	}
	streams := make([]*stream, n)
	times := r.w.repeats()
	horizon := 10 * time.Second
	start := time.Now()
	if d, ok := ctx.Deadline(); ok {
		horizon = scaled(time.Until(d), searchShare)
	}
	for i := range streams {
		st := newStream(i, r.w, r.set.Seed)
		st.report, st.ctx = r.tell, ctx
		st.bound, st.plain = r.bound, r.set.NoPolish
		st.clock = &clock{s: st.s, start: start, duration: horizon}
		if r.set.Effort > 0 {
			st.clock.work = max(1, int64(r.set.Effort)*evalsPerEffort/int64(n))
			st.s.budget = st.clock.work
		}
		st.adopt(l)
		st.patterns = i == 0
		st.heatsToCome = !searched && len(r.w.items) < windowItems
		if times > 0 && (n == 1 || i%2 == 1) {
			st.startUnit(times)
		}
		streams[i] = st
	}
	for {
		for round := 1; round <= rounds; round++ {
			if r.w.windowed(float64(round) / rounds) {
				r.windows(streams, l, round)
			} else {
				r.round(streams, float64(round)/rounds)
			}
			*l = *r.merge(streams, float64(round)/rounds)
			if l.length <= r.bound+r.w.tol || r.w.stop.Load() {
				break
			}
		}
		r.finish(streams[0], l)
		if r.set.Effort > 0 || l.length <= r.bound+r.w.tol || r.w.stop.Load() || ctx.Err() != nil {
			break
		}
		// No deadline was known: start over with twice the time. Otherwise
		// compress for what is left.
		horizon *= 2
		again := clock{start: time.Now(), duration: horizon}
		if d, ok := ctx.Deadline(); ok {
			again.duration = scaled(time.Until(d), 1/(1-exploreShare))
			again.start = again.start.Add(-scaled(again.duration, exploreShare))
		}
		for _, st := range streams {
			again.s = st.s
			*st.clock = again
			st.drop()
			st.heats = nil
			st.target, st.pool = 0, st.pool[:0]
			st.step = leastStep
			st.beginClimb()
		}
	}
	switch {
	case l.length <= r.bound+r.w.tol:
		return Optimal
	case r.w.stop.Load():
		return ContextEnded
	}
	return EffortSpent
}

// finishSteps is the most linear programs of the last polishing with Effort.
const finishSteps = 400

// finish polishes the best layout for as long as it takes or the context
// allows.
func (r *runner) finish(st *stream, l *layout) {
	if r.set.NoPolish || r.w.stop.Load() || l.length <= r.bound+r.w.tol {
		return
	}
	st.drop()
	st.s.budget = 0
	st.s.length = l.length
	st.s.load(l.poses)
	st.polish(finishSteps)
	if n := st.s.snapshot(); n.length < l.length {
		*l = n
		r.tell(l, "finish")
		st.adopt(l)
	}
}

// round lets every stream work until its clock shows until, at most Workers at
// a time.
func (r *runner) round(streams []*stream, until float64) {
	gate := make(chan struct{}, max(1, r.set.Workers))
	var wg sync.WaitGroup
	for _, st := range streams {
		wg.Add(1)
		gate <- struct{}{}
		go func() {
			defer func() { <-gate; wg.Done() }()
			st.work(until)
		}()
	}
	wg.Wait()
}

// merge hands the best layout to streams that lag behind: far behind while
// exploring, at all while compressing; not during heats, where a stream has several
// layouts of its own. Streams are taken in order, so the result does not depend on
// their speed.
func (r *runner) merge(streams []*stream, done float64) *layout {
	best := 0
	for i, st := range streams {
		if st.best.length < streams[best].best.length {
			best = i
		}
	}
	slack := 0.01
	if done >= exploreShare-1e-9 {
		slack = 0
	}
	for i, st := range streams {
		if i != best && st.heats == nil && st.best.length > streams[best].best.length*(1+slack) {
			st.adopt(&streams[best].best)
		}
	}
	return &streams[best].best
}

// placement turns a pose about the centre of the bounding box into one about
// the piece's own origin.
func (w *world) placement(k, c int, p *pose) Placement {
	s := w.kinds[k].shape
	sin, cos := steady.SincosDegrees(p.degrees)
	cx, cy := s.CenterX, s.CenterY
	if p.mirrored {
		cy = -cy
	}
	return Placement{
		Piece: k, Copy: c, Mirrored: p.mirrored, Rotation: p.degrees,
		X: p.x - (float64(cos*cx) - float64(sin*cy)), Y: p.y - (float64(sin*cx) + float64(cos*cy)),
	}
}
