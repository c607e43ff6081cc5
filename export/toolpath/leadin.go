package toolpath

import "github.com/paulmach/orb"

const (
	// leadStep is the grid on which a place for a lead-in is looked for,
	// leadReach how far along the roll, mm.
	leadStep  = 5
	leadReach = 500
	// leadClear is kept free between a lead-in and any ply or edge, mm.
	leadClear = 1
)

// leadIn turns the blade of a drag knife so that it is known how it stands:
// across the roll, then along it, in the waste. One stroke would not do for a
// blade that stands against it.
func (k *knife) leadIn() {
	l := k.m.LeadIn
	if l == 0 || k.m.BladeOffset == 0 {
		return
	}
	at, ok := k.path.leadPlace(l, k.window)
	if !ok {
		k.unled = true
		return
	}
	k.goTo(at, 90)
	k.lower()
	k.follow(orb.LineString{{at[0], at[1] + l}, {at[0] + l, at[1] + l}})
	k.lift()
}

// leadPlace is the lower left corner of a free square of side l, least x
// first, in a window. The room at the ends of the fabric counts: it is waste.
// The tip swings as far as the blade offset about the holder.
func (p *Path) leadPlace(l float64, window int) (orb.Point, bool) {
	room := leadClear + p.Machine.BladeOffset
	w := p.Windows[window]
	end := min(w.To, w.From+leadReach, p.Head.Length) - room
	lo, hi := p.Head.Usable.Min[1], p.Head.Usable.Max[1]
	if hi <= lo {
		lo, hi = 0, p.Head.Width
	}
	for x := w.From + room; x+l <= end; x += leadStep {
		for y := lo + room; y+l <= hi-room; y += leadStep {
			b := orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + l, y + l}}
			if p.guard.clear(b.Pad(room)) && p.clearOfSquare(b) {
				return b.Min, true
			}
		}
	}
	return orb.Point{}, false
}

// clearOfSquare reports whether no check square lies in a box.
func (p *Path) clearOfSquare(b orb.Bound) bool {
	for i := range p.Cuts {
		if c := &p.Cuts[i]; c.Kind == CheckCut && c.Points.Bound().Intersects(b) {
			return false
		}
	}
	return true
}
