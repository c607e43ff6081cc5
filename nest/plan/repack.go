package plan

import (
	"context"
	"math"
	"math/rand/v2"
	"time"

	"github.com/paulmach/orb"

	"plyroom/nest/pack"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// On many stretches, as on a static table that a roll passes over again and
// again, a search over all of them at once saves fabric on the last one only.
// Each layout is drawn just as long as it needs, though. So most of the search
// goes to two stretches at a time: their plies are laid anew on both, the first
// filled, the second as short as can be. Pairs are drawn by lot, so what one pair
// leaves free on a stretch the next one fills with plies of another.
const (
	// repackFrom is the least number of stretches, by area, from which on it is
	// done so.
	repackFrom = 1.7
	// jointShare is the share of the search that goes to all stretches at once
	// before.
	jointShare = 0.15
	// repackRounds is how many pairs each stretch is in, on average.
	repackRounds = 4
	// repackLeast is the least time for a pair.
	repackLeast = 250 * time.Millisecond
	// stillShare is the share of the pairs whose plies are not turned yet.
	stillShare = 0.7
	// sameDrawn is by how much two drawings may differ and count as one, mm².
	sameDrawn = 1e-3
)

// repacks tells whether the stack's strip is one to be improved pair by pair.
// Flaws have their place on the roll, and so have the layouts up to them: there
// a shorter layout would save nothing.
func (w *work) repacks() bool {
	for i := range w.strip.stretches {
		if len(w.strip.stretches[i].flaws) > 0 {
			return false
		}
	}
	longest := w.strip.longest()
	return !math.IsInf(longest, 1) && w.area > repackFrom*longest*w.strip.width
}

// A placedStretch is a stretch with what lies on it.
type placedStretch struct {
	of    int // in the strip
	cuts  []pack.Placement
	drawn float64 // what it draws, mm²
}

// drawing is what a stretch draws with these plies on it, mm²: as much length as
// they need, with the end allowances.
func (w *work) drawing(of int, cuts []pack.Placement) float64 {
	st := &w.strip.stretches[of]
	reach := 0.0
	for _, c := range cuts {
		reach = math.Max(reach, w.box(c).Max[0]-st.x)
	}
	if len(cuts) == 0 {
		return 0
	}
	return (reach + 2*w.rules.EndAllowance) * st.drawn
}

// repack improves what was laid, pair by pair of stretches, until ctx ends or the
// effort is spent. told hears the length of all layouts together, mm, when it is less
// than before. It reports whether it could: not all plies may have been laid, or no
// two stretches be of rolls between which plies may be exchanged.
func (w *work) repack(ctx context.Context, ps pack.Settings, told func(drawn float64)) bool {
	used := w.byStretch()
	if len(w.best.Unplaced) > 0 || !w.anyPair(used) {
		return false
	}
	n := len(used)
	pairs := repackRounds * n / 2
	slice, effort := time.Duration(0), ps.Effort
	if effort > 0 {
		pairs = min(pairs, effort)
	} else if d, ok := ctx.Deadline(); ok {
		slice = max(repackLeast, time.Until(d)/time.Duration(pairs))
	} else {
		return false
	}
	turnFrom := int((1 - stillShare) * float64(pairs))
	p, kinds := w.problem()
	chance := rand.New(rand.NewPCG(ps.Seed, uint64(n)))
	more := func() bool { return ctx.Err() == nil && (slice > 0 || pairs > 0) }
	for settled := 0; settled < repackRounds && more(); settled++ {
		order := chance.Perm(n)
		for ; len(order) > 1 && more(); order = order[2:] {
			a, b := &used[order[0]], &used[order[1]]
			if len(a.cuts)+len(b.cuts) == 0 || !w.exchange(a.of, b.of) {
				continue
			}
			if same := w.sameRolls(a.of, b.of); same && a.drawn < b.drawn || !same && a.of > b.of {
				a, b = b, a // of two rolls the one that comes first is filled
			}
			turn, cancel := ctx, context.CancelFunc(func() {})
			if slice > 0 {
				turn, cancel = context.WithTimeout(ctx, slice)
			}
			ps.Seed++
			ps.Still = pairs > turnFrom
			if effort > 0 {
				ps.Effort = effort / pairs
				effort -= ps.Effort
			}
			before, worth := w.total(used), w.cost(used)
			was := [2]placedStretch{*a, *b}
			proved := w.repackPair(turn, p, kinds, ps, a, b)
			cancel()
			pairs--
			now := w.cost(used)
			better := now < worth-sameDrawn
			// As good in another way is taken too: other pairs may gain by it.
			if now > worth+sameDrawn {
				*a, *b = was[0], was[1]
			}
			if now := w.total(used); better && now < before {
				told(now)
			}
			if better || !proved {
				settled = 0
			}
		}
	}
	w.best.Placements = w.best.Placements[:0]
	w.best.Length = 0
	for i := range used {
		w.best.Placements = append(w.best.Placements, used[i].cuts...)
		for _, c := range used[i].cuts {
			w.best.Length = math.Max(w.best.Length, w.box(c).Max[0])
		}
	}
	return true
}

// anyPair tells whether plies may be exchanged between any two of the stretches.
func (w *work) anyPair(used []placedStretch) bool {
	for b := range used {
		for a := range b {
			if w.exchange(used[a].of, used[b].of) {
				return true
			}
		}
	}
	return false
}

// exchange tells whether plies may be exchanged between two stretches. Between rolls
// they may only where nothing is cut from these fabrics later on: it could need a
// length that one roll has now, and neither has afterwards.
func (w *work) exchange(a, b int) bool { return w.last || w.sameRolls(a, b) }

// cost is the fabric that layouts take, mm²: what they draw, and the ends of rolls
// that they leave too short to keep.
func (w *work) cost(used []placedStretch) float64 {
	type ends struct{ from, drawn, width float64 }
	var rolls []*shapes.Roll
	of := map[*shapes.Roll]*ends{}
	for i := range w.strip.stretches {
		for k, src := range w.strip.stretches[i].sources {
			e := of[src.roll]
			if e == nil {
				e = &ends{from: src.from, width: rollWidth(w.strip.fabrics[k], src.roll)}
				of[src.roll] = e
				rolls = append(rolls, src.roll)
			}
			e.from = math.Min(e.from, src.from)
		}
	}
	sum := 0.0
	for i := range used {
		sum += used[i].drawn
		st := &w.strip.stretches[used[i].of]
		for _, src := range st.sources {
			of[src.roll].drawn += used[i].drawn / st.drawn
		}
	}
	for _, r := range rolls {
		e := of[r]
		if rest := r.Length - e.from - e.drawn; e.drawn > 0 && rest > 0 && rest < w.rules.MinRemnant {
			sum += float64(rest * e.width)
		}
	}
	return sum
}

// sameRolls tells whether two stretches are of the same rolls, layer by layer.
func (w *work) sameRolls(a, b int) bool {
	x, y := w.strip.stretches[a].sources, w.strip.stretches[b].sources
	for i := range x {
		if x[i].roll != y[i].roll {
			return false
		}
	}
	return true
}

// repackPair lays what lies on two stretches anew; p and kinds are as for pack,
// and p is made to ask for these plies. It reports whether the search found no
// shorter layout to be possible, filling the first stretch.
func (w *work) repackPair(ctx context.Context, p *pack.Problem, kinds []int, ps pack.Settings, a, b *placedStretch) (proved bool) {
	pair := &strip{low: w.strip.low, width: w.strip.width, rules: w.rules}
	pair.stretches = append(pair.stretches, w.strip.stretches[a.of], w.strip.stretches[b.of])
	pair.string()
	p.MaxLength, p.Obstacles = pair.end, pair.obstacles
	piece := map[int]int{}
	for i, k := range kinds {
		piece[k] = i
		p.Pieces[i].Count = 0
	}
	ps.Start = nil
	for k, on := range []*placedStretch{a, b} {
		for _, c := range on.cuts {
			c.Piece = piece[c.Piece]
			c.Copy = p.Pieces[c.Piece].Count
			c.X += pair.stretches[k].x - w.strip.stretches[on.of].x
			p.Pieces[c.Piece].Count++
			ps.Start = append(ps.Start, c)
		}
	}
	res, err := pack.Solve(ctx, p, ps, nil)
	if err != nil || len(res.Unplaced) > 0 {
		return false
	}
	var now [2][]pack.Placement
	for _, c := range res.Placements {
		c.Piece = kinds[c.Piece]
		box := w.box(c)
		k := pair.at((box.Min[0] + box.Max[0]) / 2)
		c.X += w.strip.stretches[[2]int{a.of, b.of}[k]].x - pair.stretches[k].x
		now[k] = append(now[k], c)
	}
	a.cuts, a.drawn = now[0], w.drawing(a.of, now[0])
	b.cuts, b.drawn = now[1], w.drawing(b.of, now[1])
	return res.Status == pack.Optimal
}

// total is the length of all layouts together, mm.
func (w *work) total(used []placedStretch) float64 {
	sum := 0.0
	for i := range used {
		sum += used[i].drawn / w.strip.stretches[used[i].of].drawn
	}
	return sum
}

// byStretch sorts what was laid by the stretches it lies on, and leaves out those
// that are empty.
func (w *work) byStretch() []placedStretch {
	on := make([][]pack.Placement, len(w.strip.stretches))
	for _, c := range w.best.Placements {
		box := w.box(c)
		k := w.strip.at((box.Min[0] + box.Max[0]) / 2)
		on[k] = append(on[k], c)
	}
	var out []placedStretch
	for k, cuts := range on {
		if len(cuts) > 0 {
			out = append(out, placedStretch{k, cuts, w.drawing(k, cuts)})
		}
	}
	return out
}

// box is the bounding box of a cut, on the strip.
func (w *work) box(c pack.Placement) orb.Bound {
	s := w.shapes[w.stack.Kinds[c.Piece].Shape]
	return geom.Bound(transform(c, c.X, c.Y).Ring(orbRing(s.Cut.Outline)))
}
