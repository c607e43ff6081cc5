package pack

import (
	"context"
	"math"
	"slices"
	"time"
)

// Plies that may turn are laid at fixed rotations before they are turned: tables,
// exact fits and patterns serve only plies that hold still, and are worth more at
// first than any angle. A tolerance thus costs little where it is of no use, and mat,
// which may lie any way, is packed as fast as a weave.
const (
	// stillTurn is the widest interval of rotations, in degrees, of which the
	// middle stands for the whole. Of a wider one up to four quarter turns do, at
	// which the ply lies in the smallest box.
	stillTurn = 30
	// stillShare is the share of the search spent so.
	stillShare = 0.75
)

// still is the problem with every interval of rotations narrowed to fixed ones;
// nil where nothing turns.
func (w *world) still() *Problem {
	if !w.mixed {
		return nil
	}
	q := *w.problem
	q.Pieces = slices.Clone(q.Pieces)
	for i := range w.kinds {
		if k := &w.kinds[i]; k.turns && k.count > 0 {
			q.Pieces[i].Orientations = k.still(w.width + w.tol)
		}
	}
	return &q
}

// still lists fixed rotations that stand for what is allowed, on a strip of a width.
func (k *kind) still(width float64) []Orientation {
	var out []Orientation
	for _, o := range k.spans {
		if o.To-o.From <= stillTurn {
			middle := (o.From + o.To) / 2
			out = append(out, Orientation{o.Mirrored, middle, middle})
			continue
		}
		best, least := 0.0, math.Inf(1)
		for _, b := range k.variants {
			if area := float64(b.Box.Width() * b.Box.Height()); b.Mirrored == o.Mirrored && b.Degrees >= o.From && b.Degrees <= o.To && area < least {
				best, least = b.Degrees, area
			}
		}
		if math.IsInf(least, 1) {
			continue // it does not fit so
		}
		out = append(out, Orientation{o.Mirrored, best, best})
		for quarter := 1; quarter < 4; quarter++ {
			at := o.From + math.Mod(best-o.From+float64(float64(quarter)*90), 360)
			if h, _ := k.extents(o.Mirrored, at); at <= o.To && h <= width {
				out = append(out, Orientation{o.Mirrored, at, at})
			}
		}
	}
	return out
}

// solveStill solves the problem without turning alone. It is false where there is
// none, or its plies do not all find room at once.
func solveStill(ctx context.Context, w *world, set Settings, progress func(Progress)) (Result, bool) {
	q := w.still()
	if q == nil {
		return Result{}, false
	}
	narrow, err := prepare(q, set.Cache)
	if err != nil {
		return Result{}, false // some ply fits the strip only when it is turned
	}
	r := &runner{w: narrow, set: set}
	if progress != nil {
		r.progress = func(p Progress) {
			p.Bound = 0 // of the narrower problem
			progress(p)
		}
	}
	l, status := r.run(ctx, false)
	if !l.complete() {
		return Result{}, false
	}
	if status == Optimal {
		status = EffortSpent
	}
	res := Result{Length: l.length, Status: status}
	res.Placements, _ = narrow.placements(&l)
	return res, true
}

// searchStill spends a share of the search on the problem without turning and
// puts what it finds into l if it is shorter. It is false where there was nothing to
// search.
func (r *runner) searchStill(ctx context.Context, l *layout) bool {
	q := r.w.still()
	if q == nil || r.set.Effort == 1 {
		return false
	}
	w, err := prepare(q, r.set.Cache)
	if err != nil {
		return false // some ply fits the strip only when it is turned
	}
	s := &runner{w: w, set: r.set, told: r.told, count: r.count}
	if r.progress != nil {
		s.progress = func(p Progress) {
			p.Bound = r.bound
			r.progress(p)
		}
	}
	if r.set.Effort > 0 {
		s.set.Effort = max(1, int(stillShare*float64(r.set.Effort)))
	} else {
		share := 10 * time.Second
		if d, ok := ctx.Deadline(); ok {
			share = scaled(time.Until(d), stillShare)
		}
		short, cancel := context.WithTimeout(ctx, share)
		defer cancel()
		ctx = short
	}
	still := s.construct(ctx)
	if !still.complete() {
		return false
	}
	if r.set.Effort > 0 {
		r.set.Effort -= s.set.Effort
	}
	s.bound = w.bound()
	s.search(ctx, &still, false)
	r.told, r.count = s.told, s.count
	if still.length >= l.length {
		return true
	}
	for i := range still.poses {
		p := &still.poses[i]
		k := w.items[i]
		if v := w.kinds[k].variants[p.variant]; r.w.kinds[k].turns {
			p.variant, p.mirrored, p.degrees = -1, v.Mirrored, v.Degrees
		}
	}
	*l = still
	return true
}
