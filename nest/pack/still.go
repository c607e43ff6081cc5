package pack

import (
	"context"
	"time"
)

// Plies that may turn a little are laid as if they could not, at the middle of
// what is allowed, before they are turned: tables, exact fits and patterns serve
// only plies that hold still, and are worth more at first than a few degrees. A
// tolerance thus costs little where it is of no use.
const (
	// stillTurn is the widest interval of rotations, in degrees, of which the
	// middle stands for the whole.
	stillTurn = 30
	// stillShare is the share of the search spent so.
	stillShare = 0.75
)

// still is the problem with every interval of rotations narrowed to its middle;
// nil where nothing turns, or something turns too far.
func (p *Problem) still() *Problem {
	q := *p
	q.Pieces = make([]Piece, len(p.Pieces))
	narrowed := false
	for i, c := range p.Pieces {
		q.Pieces[i] = c
		if c.Count == 0 {
			continue
		}
		if len(c.Orientations) == 0 {
			return nil
		}
		q.Pieces[i].Orientations = make([]Orientation, len(c.Orientations))
		for k, o := range c.Orientations {
			if o.To-o.From > stillTurn {
				return nil
			}
			narrowed = narrowed || o.To > o.From
			o.From = (o.From + o.To) / 2
			o.To = o.From
			q.Pieces[i].Orientations[k] = o
		}
	}
	if !narrowed {
		return nil
	}
	return &q
}

// solveStill solves the problem without turning alone. It is false where there is
// none, or its plies do not all find room.
func solveStill(ctx context.Context, p *Problem, set Settings, progress func(Progress)) (Result, bool) {
	q := p.still()
	if q == nil {
		return Result{}, false
	}
	set.Still = false
	var told func(Progress)
	if progress != nil {
		told = func(p Progress) {
			p.Bound = 0 // of the narrower problem
			progress(p)
		}
	}
	res, err := Solve(ctx, q, set, told)
	if err != nil || len(res.Unplaced) > 0 {
		return Result{}, false
	}
	res.Bound = 0
	if res.Status == Optimal {
		res.Status = EffortSpent
	}
	return res, true
}

// searchStill spends a share of the search on the problem without turning and
// puts what it finds into l if it is shorter. It is false where there was nothing to
// search.
func (r *runner) searchStill(ctx context.Context, l *layout) bool {
	q := r.w.problem.still()
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
		r.set.Effort -= s.set.Effort
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
