package plan

import (
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/bound"
	"plyroom/shapes"
)

// take adds the layouts of a work to the draft and draws their fabric. Where kits
// are kept together the first of them is joined to the last one before, if it
// can be.
func (d *draft) take(w *work, st *stock) {
	ls, of, pieces := w.layouts()
	if len(ls) == 0 {
		return
	}
	if n := len(d.layouts); n > 0 && len(w.rules.KeepTogether) > 0 && join(&d.layouts[n-1], &ls[0], w.rules, st) {
		d.pieces[n-1] = append(d.pieces[n-1], pieces[0]...)
		ls, of, pieces = ls[1:], of[1:], pieces[1:]
	}
	w.draw(ls, of, st)
	d.layouts = append(d.layouts, ls...)
	d.pieces = append(d.pieces, pieces...)
}

// bound states for each layout a length that no layout of the same plies on the
// same width can beat. It takes longer than a first layout, so it is done for
// the plan that is kept alone.
func (d *draft) bound(rules *shapes.Cutting) {
	for i := range d.layouts {
		l := &d.layouts[i]
		strip := bound.Strip{Width: l.Usable[1][1] - l.Usable[0][1], Gap: rules.Gap}
		l.BoundLength = nest.Round(math.Min(l.Length, bound.Length(strip, d.pieces[i])+2*rules.EndAllowance))
	}
}

// join lays the plies of one layout behind those of the one before it, a gap
// between, where both fit the table together, come from the same rolls one
// behind the other, and draw no more than apart. It reports whether it did; the
// stock then ends behind the joined layout. Rolls with flaws ahead are left
// alone: flaws have their place.
//
// The two sets of plies keep a line across the table between them, so kits that
// had a stretch of their own keep it.
func join(a, b *nest.Layout, rules *shapes.Cutting, st *stock) bool {
	e := rules.EndAllowance
	if len(a.Layers) != len(b.Layers) || a.Usable[0][1] != b.Usable[0][1] || a.Usable[1][1] != b.Usable[1][1] || a.Width != b.Width {
		return false
	}
	from, to := extent(b)
	_, reach := extent(a)
	shift := nest.Round(reach + rules.Gap - from)
	length := nest.Round(to + shift + e)
	if t := rules.Table; t != nil && t.Kind == shapes.StaticTable && t.Length > 0 && length > t.Length {
		return false
	}
	if length > a.Length+b.Length {
		return false
	}
	var rolls []*shapes.Roll
	for i := range a.Layers {
		x, y := a.Layers[i], b.Layers[i]
		if x.Fabric != y.Fabric || x.Roll != y.Roll || x.Lot != y.Lot || x.Face != y.Face {
			return false
		}
		r := st.named(x.Fabric, x.Roll)
		if r == nil {
			return false
		}
		rolls = append(rolls, r)
	}
	for i, r := range rolls {
		end := 0.0
		for k := range rolls {
			if rolls[k] == r {
				end = math.Max(end, a.Layers[k].RollFrom+a.Length)
			}
		}
		if math.Abs(end-st.next[r]) > 1e-3 || flawIn(r, a.Layers[i].RollFrom, math.Inf(1)) {
			return false
		}
	}
	for i := range b.Placed {
		p := &b.Placed[i]
		p.X = nest.Round(p.X + shift)
		for _, ring := range append([]nest.Ring{p.Outline}, p.Holes...) {
			for k := range ring {
				ring[k][0] = nest.Round(ring[k][0] + shift)
			}
		}
		a.Placed = append(a.Placed, *p)
	}
	slices.SortStableFunc(a.Placed, func(p, q nest.Placed) int { return p.Layer - q.Layer })
	a.Length = length
	a.Usable[1][0] = nest.Round(length - e)
	for i, r := range rolls {
		if slices.Index(rolls, r) == i {
			st.next[r] = a.Layers[i].RollFrom
		}
	}
	for i, r := range rolls {
		a.Layers[i].RollFrom = nest.Round(st.next[r])
		st.next[r] = a.Layers[i].RollFrom + length
	}
	return true
}

// extent is the least and the greatest x that plies of a layout reach.
func extent(l *nest.Layout) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for i := range l.Placed {
		for _, v := range l.Placed[i].Outline {
			from, to = math.Min(from, v[0]), math.Max(to, v[0])
		}
	}
	return from, to
}
