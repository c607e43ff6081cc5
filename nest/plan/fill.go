package plan

import (
	"cmp"
	"context"
	"math"
	"slices"

	"plyroom/nest/demand"
	"plyroom/nest/pack"
)

const (
	// fillCuts and fillStretches are the most cuts and stretches that are dealt
	// out set by set.
	fillCuts      = 16
	fillStretches = 6
	// fillTrials is how many sets are laid, trialFills how many in a trial.
	fillTrials = 60
	trialFills = 8
	// fillEffort is what laying one set may cost.
	fillEffort = 3
)

// fill deals the cuts to the stretches set by set, where a search along all of
// them has not found room for everything: few cuts that take nearly all there
// is, such as two jigsaws on two rolls. It reports whether all found room.
//
// A set for a stretch is worth laying if its area is no more than the stretch
// holds and what is left no more than the stretches behind it hold; no plan is
// passed over by that. Those that leave the share of free area that all
// stretches have together come first. The sets are laid by the packer, which may
// fail where there is a way, so that this is a heuristic all the same.
func (w *work) fill(ctx context.Context, ps pack.Settings) bool {
	n := len(w.strip.stretches)
	if w.cuts > fillCuts || n < 2 || n > fillStretches || len(w.stack.Kinds) == 0 {
		return false
	}
	f := &filler{work: w, ctx: ctx, ps: ps, trials: fillTrials, tried: map[string]bool{}}
	if ps.NoPolish {
		f.trials = trialFills
	}
	f.ps.NoPolish, f.ps.Effort = false, fillEffort
	left := make([]int, len(w.stack.Kinds))
	for i, k := range w.stack.Kinds {
		left[i] = len(k.Cuts)
		f.area = append(f.area, polygonArea(w.shapes[k.Shape].Cut))
	}
	f.holds = make([]float64, n+1)
	for i := n - 1; i >= 0; i-- {
		f.holds[i] = f.holds[i+1] + w.strip.free(i)
	}
	if !f.from(0, left) {
		return false
	}
	out := &pack.Result{Placements: f.found, Status: pack.EffortSpent, Bound: w.best.Bound}
	for _, r := range f.reach {
		out.Length = math.Max(out.Length, r)
	}
	w.best = out
	return true
}

// free is the area of a stretch that plies can take, mm².
func (s *strip) free(i int) float64 {
	st := &s.stretches[i]
	length := st.usable
	for _, f := range st.flaws {
		lo, hi := math.Max(f.From-s.rules.EndAllowance, 0), math.Min(f.To-s.rules.EndAllowance, st.usable)
		length -= math.Max(0, hi-lo)
	}
	return math.Max(0, length) * (st.high - s.low)
}

// alone is a strip of one of the stretches.
func (s *strip) alone(i int) *strip {
	st := s.stretches[i]
	one := &strip{layers: s.layers, fabrics: s.fabrics, rules: s.rules, limited: true, low: s.low, width: st.high - s.low,
		stretches: []stretch{st}}
	one.string()
	return one
}

// A filler is the state of one fill.
type filler struct {
	*work
	ctx    context.Context
	ps     pack.Settings
	area   []float64 // of a cut of each kind, mm²
	holds  []float64 // free area from each stretch on, mm²
	trials int
	tried  map[string]bool // sets laid, and whether they had room

	found []pack.Placement
	reach []float64 // on the strip, per stretch with cuts
}

// from deals what is left to the stretches from k on.
func (f *filler) from(k int, left []int) bool {
	rest := f.sum(left)
	if rest == 0 {
		return true
	}
	if k == len(f.strip.stretches) {
		return false
	}
	const rounding = 1 // mm²
	most, least := f.strip.free(k)+rounding, rest-f.holds[k+1]-rounding
	ideal := rest * f.strip.free(k) / f.holds[k]
	type set struct {
		counts []int
		off    float64
	}
	var sets []set
	counts := make([]int, len(left))
	var choose func(i int, area float64)
	choose = func(i int, area float64) {
		if area > most {
			return
		}
		if i == len(left) {
			if area >= least {
				sets = append(sets, set{slices.Clone(counts), math.Abs(area - ideal)})
			}
			return
		}
		for c := 0; c <= left[i]; c++ {
			counts[i] = c
			choose(i+1, area+float64(float64(c)*f.area[i]))
		}
		counts[i] = 0
	}
	choose(0, 0)
	slices.SortStableFunc(sets, func(a, b set) int { return cmp.Compare(a.off, b.off) })
	for _, s := range sets {
		if f.ctx.Err() != nil {
			return false
		}
		laid, reach, ok := f.lay(k, s.counts, left)
		if !ok {
			continue
		}
		after := make([]int, len(left))
		for i := range left {
			after[i] = left[i] - s.counts[i]
		}
		n, m := len(f.found), len(f.reach)
		f.found, f.reach = append(f.found, laid...), append(f.reach, reach)
		if f.from(k+1, after) {
			return true
		}
		f.found, f.reach = f.found[:n], f.reach[:m]
	}
	return false
}

func (f *filler) sum(counts []int) float64 {
	sum := 0.0
	for i, c := range counts {
		sum += float64(float64(c) * f.area[i])
	}
	return sum
}

// lay has the packer lay a set on a stretch. Of each kind the cuts that are not
// dealt yet, the last ones, are taken from the front.
func (f *filler) lay(k int, counts, left []int) (laid []pack.Placement, reach float64, ok bool) {
	if f.sum(counts) == 0 {
		return nil, 0, true
	}
	key := string(rune('a' + k))
	for _, c := range counts {
		key += string(rune('0' + c))
	}
	if had, known := f.tried[key]; known && !had || f.trials <= 0 {
		return nil, 0, false
	}
	f.trials--
	part := *f.work
	part.strip = f.strip.alone(k)
	part.stack.Kinds = nil
	var kinds []int
	for i, c := range counts {
		if c == 0 {
			continue
		}
		one := f.stack.Kinds[i]
		from := len(one.Cuts) - left[i]
		one.Cuts = one.Cuts[from : from+c]
		part.stack.Kinds = append(part.stack.Kinds, one)
		kinds = append(kinds, i)
	}
	p, of := part.problem()
	if len(of) == len(part.stack.Kinds) {
		res, err := part.pack(f.ctx, p, of, f.ps, nil)
		ok = err == nil && len(res.Unplaced) == 0 && res.Length <= part.strip.end+demand.FitSlack
		laid, reach = res.Placements, res.Length+f.strip.stretches[k].x
	}
	f.tried[key] = ok
	for n := range laid {
		i := kinds[laid[n].Piece]
		laid[n].X += f.strip.stretches[k].x
		laid[n].Copy += len(f.stack.Kinds[i].Cuts) - left[i]
		laid[n].Piece = i
	}
	return laid, reach, ok
}
