package plan

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"time"

	"plyroom/nest"
	"plyroom/nest/pack"
	"plyroom/shapes/geom"
)

func ringArea(r nest.Ring) float64 { return geom.Area(orbRing(r)) }

// A searcher runs the packer over all fabrics: first a complete layout of
// each, then better ones as long as there is time.
type searcher struct {
	settings Settings
	progress func(Progress)
	started  time.Time
	work     []*fabricWork

	mu sync.Mutex // guards progress
}

// run reports whether the search was cut off before it had done all it was
// asked.
func (sr *searcher) run(ctx context.Context) (early bool, err error) {
	if sr.settings.Effort > 0 {
		for i, w := range sr.work {
			share := sr.settings.Effort
			st, err := sr.improve(ctx, i, w, pack.Settings{Effort: share})
			if err != nil {
				return early, err
			}
			early = early || st.Early()
		}
		return early, nil
	}
	// An ended context makes the packer return its first layout at once.
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	for i, w := range sr.work {
		if _, err := sr.improve(ended, i, w, pack.Settings{}); err != nil {
			return true, err
		}
	}
	// Time left is shared out anew before each fabric, so that what one leaves
	// over when it meets its bound goes to the others.
	for i, w := range sr.work {
		left := sr.settings.Time - time.Since(sr.started)
		if left <= 0 || ctx.Err() != nil {
			return true, nil
		}
		ahead := 0.0
		for _, o := range sr.work[i:] {
			ahead += o.weight()
		}
		turn, cancel := context.WithTimeout(ctx, time.Duration(float64(left)*w.weight()/ahead))
		st, err := sr.improve(turn, i, w, pack.Settings{})
		cancel()
		if err != nil {
			return true, err
		}
		early = early || st.Early()
	}
	return early, nil
}

// weight is the share of time a fabric gets: by area, since that is what can
// be saved, with something for each.
func (w *fabricWork) weight() float64 { return w.area * float64(min(w.pieces, 40)) }

// improve has the packer lay one fabric and keeps the result where it is the
// best so far.
func (sr *searcher) improve(ctx context.Context, i int, w *fabricWork, ps pack.Settings) (pack.Status, error) {
	ps.Seed, ps.Workers = sr.settings.Seed, sr.settings.Workers
	if ps.Workers == 0 {
		ps.Workers = runtime.GOMAXPROCS(0)
	}
	for {
		res, err := pack.Solve(ctx, w.problem(), ps, func(p pack.Progress) { sr.report(i, w, p.Length, p.Bound) })
		if err != nil {
			return res.Status, w.explain(err)
		}
		if w.best == nil || better(res, *w.best) {
			w.best, w.bound = &res, res.Bound
		}
		sr.report(i, w, w.best.Length, res.Bound)
		if len(res.Unplaced) == 0 || w.stockEnds() {
			return res.Status, nil
		}
		// A roll without end on a static table: offer more lengths of it.
		w.tables *= 2
		w.strip = newStrip(w.fabric, w.rules, w.tables)
		w.best = nil
	}
}

// better compares two results: complete before incomplete, then shorter.
func better(a, b pack.Result) bool {
	na, nb := unplaced(a), unplaced(b)
	if na != nb {
		return na < nb
	}
	return a.Length < b.Length
}

func unplaced(r pack.Result) int {
	n := 0
	for _, u := range r.Unplaced {
		n += u.Count
	}
	return n
}

// stockEnds reports whether every roll has an end.
func (w *fabricWork) stockEnds() bool {
	for _, r := range w.fabric.Rolls {
		if r.Length == 0 {
			return false
		}
	}
	return len(w.fabric.Rolls) > 0
}

// explain names the plies where the packer names a piece.
func (w *fabricWork) explain(err error) error {
	var wide *pack.TooWideError
	if errors.As(err, &wide) && wide.Piece >= 0 && wide.Piece < len(w.kinds) {
		d := w.demand[w.kinds[wide.Piece].Pieces[0]]
		return fmt.Errorf("fabric %q: %s, ply %s (outline %q): %w", w.fabric.Name, d.Part, d.Ply, w.shapes[d.Shape].Name, err)
	}
	return fmt.Errorf("fabric %q: %w", w.fabric.Name, err)
}

func (sr *searcher) report(i int, w *fabricWork, length, bound float64) {
	if sr.progress == nil || length <= 0 {
		return
	}
	sr.mu.Lock()
	defer sr.mu.Unlock()
	ends := 2 * w.rules.EndAllowance
	p := Progress{
		Fabric: w.fabric.Name, Index: i, Of: len(sr.work),
		Length: length + ends, Bound: bound + ends,
		Yield: w.area / ((length + ends) * w.fabric.Width),
	}
	if sr.settings.Effort == 0 {
		p.Share = min(1, float64(time.Since(sr.started))/float64(sr.settings.Time))
	} else {
		p.Share = float64(i) / float64(len(sr.work))
	}
	sr.progress(p)
}
