package kit

import (
	"maps"
	"slices"

	"plyroom/nest"
)

// A Walk measures how far apart the plies of each kit lie on the table: what
// filling the kits costs in steps, and what a jumble costs in search.
//
// A kit is visited on every layout that holds a ply of it. On each of those
// layouts it spans the way along the table from the middle of its first ply to
// the middle of its last.
type Walk struct {
	// Kits is how many kits have a ply on the table.
	Kits int
	// Visits sums, over all kits, the layouts that hold a ply of the kit.
	Visits int
	// Metres sums, over all kits and the layouts of each, the way along the
	// table that the kit spans, m.
	Metres float64
}

// WalkOf measures the walk of a record.
func WalkOf(r *nest.Record) Walk {
	var w Walk
	kits := map[unitKey]bool{}
	for i := range r.Layouts {
		l := &r.Layouts[i]
		type span struct{ from, to float64 }
		at := map[unitKey]*span{}
		var order []unitKey
		for k := range l.Placed {
			p := &l.Placed[k]
			b := box(p.Outline)
			x, key := (b[0]+b[2])/2, unitKey{p.Part, p.Unit}
			s := at[key]
			if s == nil {
				at[key] = &span{x, x}
				order = append(order, key)
				continue
			}
			s.from, s.to = min(s.from, x), max(s.to, x)
		}
		for _, key := range order {
			kits[key] = true
			w.Visits++
			w.Metres += (at[key].to - at[key].from) / 1000
		}
	}
	w.Kits = len(kits)
	return w
}

// Walk measures the walk of one kit. What was cut again does not lie on its
// layouts.
func (k *Kit) Walk() Walk {
	type span struct{ from, to float64 }
	at := map[int]*span{}
	for i := range k.Lines {
		p := k.Lines[i].Place
		if p == nil || p.CutAgain {
			continue
		}
		b := box(p.Placed.Outline)
		x := (b[0] + b[2]) / 2
		if s := at[p.LayoutIndex]; s != nil {
			s.from, s.to = min(s.from, x), max(s.to, x)
			continue
		}
		at[p.LayoutIndex] = &span{x, x}
	}
	w := Walk{Visits: len(at)}
	if len(at) > 0 {
		w.Kits = 1
	}
	for _, layout := range slices.Sorted(maps.Keys(at)) {
		w.Metres += (at[layout].to - at[layout].from) / 1000
	}
	return w
}
