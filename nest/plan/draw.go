package plan

import (
	"math"

	"plyroom/nest"
	"plyroom/shapes"
)

// draw takes the layouts of a strip from the stock and says where on its roll
// each layer begins. of holds the stretch of each layout.
//
// On a roll without flaws ahead each layout begins where the one before ends,
// though it was planned behind the whole stretch of that one. A flaw has its
// place on the roll, and so have the layouts up to it: a layout that others
// follow on such a roll takes its whole stretch.
func (w *work) draw(ls []nest.Layout, of []*stretch, st *stock) {
	for n := range ls {
		l, s := &ls[n], of[n]
		if w.fixed(l.Length, s, of[n+1:], st) {
			l.Length = nest.Round(s.length)
			l.Usable[1][0] = nest.Round(l.Length - w.rules.EndAllowance)
		}
		for i := range l.Layers {
			src := s.sources[i]
			if src.from > st.next[src.roll] && flawIn(src.roll, st.next[src.roll], src.from+s.length) && len(w.sameRoll(s, src.roll)) == 1 {
				// A stretch before this one was of no use to any ply.
				from := behindFlaws(src.roll, st.next[src.roll], src.from, s.length)
				l.Layers[i].Skipped = nest.Round(from - st.next[src.roll])
				st.next[src.roll] = from
			}
			l.Layers[i].RollFrom = nest.Round(st.next[src.roll])
			st.next[src.roll] = l.Layers[i].RollFrom + l.Length
			for _, f := range src.roll.Flaws {
				lo, hi := math.Max(f.From-l.Layers[i].RollFrom, 0), math.Min(f.To-l.Layers[i].RollFrom, l.Length)
				if hi > lo {
					l.Flaws = append(l.Flaws, nest.Flaw{From: nest.Round(lo), To: nest.Round(hi)})
				}
			}
		}
	}
}

// behindFlaws is where a layout begins that passes over some of a roll: where it
// was planned if flaws have their place in it, else right behind the last flaw
// before that, mm.
func behindFlaws(r *shapes.Roll, next, planned, length float64) float64 {
	if flawIn(r, planned, planned+length) {
		return planned
	}
	from := next
	for _, f := range r.Flaws {
		if f.To <= planned {
			from = math.Max(from, f.To)
		}
	}
	return from
}

// sameRoll lists the layers of a stretch that come from a roll.
func (w *work) sameRoll(s *stretch, r *shapes.Roll) []int {
	var out []int
	for i, src := range s.sources {
		if src.roll == r {
			out = append(out, i)
		}
	}
	return out
}

// fixed reports whether a layout must take its whole stretch, because one
// behind it on the same roll has its place fixed by a flaw.
func (w *work) fixed(length float64, s *stretch, behind []*stretch, st *stock) bool {
	if math.IsInf(s.length, 1) {
		return false
	}
	for _, src := range s.sources {
		for _, b := range behind {
			for _, o := range b.sources {
				if o.roll == src.roll && flawIn(o.roll, st.next[src.roll]+length, o.from+b.length) {
					return true
				}
			}
		}
	}
	return false
}

// flawIn reports whether a flaw of a roll lies in a stretch of it.
func flawIn(r *shapes.Roll, from, to float64) bool {
	for _, f := range r.Flaws {
		if f.To > from && f.From < to {
			return true
		}
	}
	return false
}

// rollEnds marks, on the last layout of each roll, what is left behind it and
// too short to keep. The layouts of a roll stand in the order they are cut.
func rollEnds(ls []nest.Layout, fabrics map[string]*shapes.Fabric, rules *shapes.Cutting) {
	type place struct{ layout, layer int }
	last := map[*shapes.Roll]place{}
	var rolls []*shapes.Roll
	for i := range ls {
		for k, ly := range ls[i].Layers {
			f := fabrics[ly.Fabric]
			for r := range f.Rolls {
				roll := &f.Rolls[r]
				if roll.Name != ly.Roll || roll.Length == 0 {
					continue
				}
				at, ok := last[roll]
				if !ok {
					rolls = append(rolls, roll)
				}
				if !ok || ly.RollFrom > ls[at.layout].Layers[at.layer].RollFrom {
					last[roll] = place{i, k}
				}
			}
		}
	}
	for _, roll := range rolls {
		at := last[roll]
		l := &ls[at.layout]
		rest := roll.Length - l.Layers[at.layer].RollFrom - l.Length
		if rest <= 0 || rest >= rules.MinRemnant {
			continue
		}
		if len(l.Layers) == 1 {
			l.RollEnd = nest.Round(rest)
		} else {
			l.Layers[at.layer].RollEnd = nest.Round(rest)
		}
	}
}
