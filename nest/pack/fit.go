package pack

import "context"

// fit looks for a complete layout within the greatest length when the first
// construction found none: it lays everything on a strip without limit and
// shortens that. Should it stay too long, what lies within the limit is kept
// and filled up, and the better of that and l is taken.
func (r *runner) fit(ctx context.Context, l *layout) Status {
	w := r.w
	limit := w.maxLength
	w.maxLength = 0
	all := r.construct(ctx)
	if !all.complete() {
		w.maxLength = limit
		return Partial
	}
	status := r.search(ctx, &all, false)
	w.maxLength = limit
	if all.length <= limit+w.tol {
		*l = all
		return status
	}
	s := newState(w)
	rng := newRandom(r.set.Seed, 1)
	b := newBuilder(w, s, &rng, 0)
	s.grid.clear()
	for i := range all.poses {
		s.pose[i] = all.poses[i]
		s.turn(int32(i))
		if s.pose[i].x+s.body[i].Box.MaxX <= limit {
			b.put(int32(i), all.poses[i])
		}
	}
	b.fill(ctx)
	if cut := b.layout(); w.laidArea(&cut) > w.laidArea(l) {
		*l = cut
	}
	return Partial
}

// laidArea is the area of the plies a layout holds.
func (w *world) laidArea(l *layout) float64 {
	sum := 0.0
	for i, k := range w.items {
		if l.laid == nil || l.laid[i] {
			sum += w.kinds[k].shape.Area
		}
	}
	return sum
}
