package plan

import (
	"cmp"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// A bar is a rectangle that takes so much of the width that no other cut of
// its stack finds room beside it.
type bar struct {
	kind, copy    int
	along, across float64
	turn          demand.Turn
}

// maxBars bounds the exact search and maxBarNodes the work it may cost.
const (
	maxBars     = 40
	maxBarNodes = 300_000
)

// bars lays a stack of bars with the least fabric drawn, roll ends counted,
// over all ways to choose stretches for them. It reports false where the cuts
// are not bars, where flaws or a shortage ask for more, or where the search
// takes too long; then the packer lays the stack.
//
// All cuts are rectangles laid square to the roll, and any two are together
// higher than the widest strip is wide. Two of them on one stretch then share
// some y, so the gap between them lies along x: a stretch with bars of lengths
// a1 … an takes a1 + … + an + (n-1)·gap, in any order, and no arrangement takes
// less. What is left to choose is which bars go on which stretch. The search
// branches on that, the longest bar first. Stretches that are alike and still
// empty are interchangeable, so only the first of them is tried. A branch is
// cut off where what it has drawn, with the bars left over counted at the
// narrowest width and no further end allowance or roll end, is no less than
// the best plan known: every plan below it draws at least that.
func (w *work) bars() (*pack.Result, bool) {
	list := w.barList()
	if list == nil {
		return nil, false
	}
	s := &barSearch{work: w, bars: list, on: make([]int, len(list)), best: math.Inf(1),
		used: make([]float64, len(w.strip.stretches)), count: make([]int, len(w.strip.stretches))}
	s.narrowest = math.Inf(1)
	for _, st := range w.strip.stretches {
		s.narrowest = math.Min(s.narrowest, st.drawn)
	}
	s.rest = make([]float64, len(list)+1)
	for i := len(list) - 1; i >= 0; i-- {
		s.rest[i] = s.rest[i+1] + list[i].along
	}
	s.place(0, 0)
	if s.found == nil || s.nodes > maxBarNodes {
		return nil, false
	}
	return s.result(), true
}

// barList lists the bars, longest first; nil where the cuts are not bars.
func (w *work) barList() []bar {
	if w.cuts == 0 || w.cuts > maxBars {
		return nil
	}
	for _, st := range w.strip.stretches {
		if len(st.flaws) > 0 {
			return nil
		}
	}
	var out []bar
	lowest, second := math.Inf(1), math.Inf(1)
	for i, k := range w.stack.Kinds {
		b, least, ok := rectangleBar(w.shapes[k.Shape].Cut, k.Turns, w.strip.width)
		if !ok {
			return nil
		}
		b.kind = i
		for c := range k.Cuts {
			b.copy = c
			out = append(out, b)
			if least < lowest {
				lowest, second = least, lowest
			} else if least < second {
				second = least
			}
		}
	}
	if len(out) > 1 && lowest+second <= w.strip.width+demand.FitSlack {
		return nil
	}
	slices.SortStableFunc(out, func(a, b bar) int { return cmp.Compare(b.along, a.along) })
	return out
}

// rectangleBar is a shape as a bar in the turn that takes the least length,
// with the least it can take of the width; false where it is no rectangle that
// is laid square.
func rectangleBar(p nest.Polygon, turns []demand.Turn, width float64) (b bar, least float64, ok bool) {
	if len(p.Outline) != 4 || len(p.Holes) > 0 {
		return b, 0, false
	}
	b.along, least = math.Inf(1), math.Inf(1)
	for _, t := range turns {
		if t.Any || t.Slack > 0 {
			return b, 0, false
		}
		box := geom.Bound(geom.Transform{Mirror: t.Mirrored, Rotation: t.Rotation}.Ring(orbRing(p.Outline)))
		along, across := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
		if math.Abs(float64(along*across)-polygonArea(p)) > 1e-6*along*across {
			return b, 0, false
		}
		least = math.Min(least, across)
		if across <= width+demand.FitSlack && along < b.along {
			b.along, b.across, b.turn = along, across, t
		}
	}
	return b, least, !math.IsInf(b.along, 1)
}

// A barSearch looks for the best choice of stretches.
type barSearch struct {
	*work
	bars      []bar
	rest      []float64 // along of the bars from each one on
	narrowest float64
	on        []int     // stretch of each bar
	used      []float64 // length in use of each stretch, gaps counted
	count     []int     // bars on each stretch
	best      float64   // mm²
	found     []int
	nodes     int
}

// place tries every stretch for bar n; drawn is the fabric drawn so far, mm².
func (s *barSearch) place(n int, drawn float64) {
	if s.nodes++; s.nodes > maxBarNodes || drawn+float64(s.rest[n]*s.narrowest) >= s.best-1e-6 {
		return
	}
	if n == len(s.bars) {
		if total := drawn + s.rollEnds(); total < s.best-1e-6 {
			s.best, s.found = total, slices.Clone(s.on)
		}
		return
	}
	b := s.bars[n]
	for k := range s.strip.stretches {
		st := &s.strip.stretches[k]
		more := b.along
		if s.count[k] > 0 {
			more += s.rules.Gap
		} else if s.twin(k) {
			continue
		}
		if s.used[k]+more > st.usable+demand.FitSlack || b.across > st.high-s.strip.low+demand.FitSlack {
			continue
		}
		cost := float64(more * st.drawn)
		if s.count[k] == 0 {
			cost += float64(2 * s.rules.EndAllowance * st.drawn)
		}
		s.used[k] += more
		s.count[k]++
		s.on[n] = k
		s.place(n+1, drawn+cost)
		s.used[k] -= more
		s.count[k]--
	}
}

// twin reports whether an empty stretch is like an empty one before it: equal
// in size and from the same rolls.
func (s *barSearch) twin(k int) bool {
	st := &s.strip.stretches[k]
	for i := range k {
		o := &s.strip.stretches[i]
		if s.count[i] == 0 && o.length == st.length && o.width == st.width && o.high == st.high &&
			slices.EqualFunc(o.sources, st.sources, func(a, b source) bool { return a.roll == b.roll }) {
			return true
		}
	}
	return false
}

// rollEnds is the area of what would be left on rolls in use and be too short
// to keep, mm².
func (s *barSearch) rollEnds() float64 {
	drawn := map[*shapes.Roll]float64{}
	lost := 0.0
	for k, st := range s.strip.stretches {
		if s.count[k] == 0 {
			continue
		}
		for _, src := range st.sources {
			drawn[src.roll] += s.used[k] + 2*s.rules.EndAllowance
		}
	}
	seen := map[*shapes.Roll]bool{}
	for _, st := range s.strip.stretches {
		for i, src := range st.sources {
			if d := drawn[src.roll]; d > 0 && src.roll.Length > 0 && !seen[src.roll] {
				seen[src.roll] = true
				// The first stretch of a roll begins at its free end.
				if rest := src.roll.Length - st.sources[i].from - d; rest < s.rules.MinRemnant {
					lost += float64(math.Max(0, rest) * rollWidth(s.strip.fabrics[i], src.roll))
				}
			}
		}
	}
	return lost
}

// result writes the choice as the packer would.
func (s *barSearch) result() *pack.Result {
	out := &pack.Result{Status: pack.Optimal}
	at := make([]float64, len(s.strip.stretches))
	for n, b := range s.bars {
		k := s.found[n]
		x := s.strip.stretches[k].x + at[k]
		at[k] += b.along + s.rules.Gap
		ring := orbRing(s.shapes[s.stack.Kinds[b.kind].Shape].Cut.Outline)
		box := geom.Bound(geom.Transform{Mirror: b.turn.Mirrored, Rotation: b.turn.Rotation}.Ring(ring))
		out.Placements = append(out.Placements, pack.Placement{
			Piece: b.kind, Copy: b.copy, Mirrored: b.turn.Mirrored, Rotation: b.turn.Rotation,
			X: x - box.Min[0], Y: -box.Min[1],
		})
		out.Length = math.Max(out.Length, x+b.along)
	}
	out.Bound = out.Length
	return out
}
