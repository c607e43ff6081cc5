package account

import "plyroom/nest"

// A fabricPiece is a remnant that is no rectangle.
type fabricPiece struct {
	outline nest.Ring // in the remnant's coordinates, mm
	from    float64   // where the layout begins on it, mm
}

// correct takes out of the books of a layout what is not there: the parts of
// the rectangle outside the remnant's outline, class by class.
func (p *fabricPiece) correct(b *Books, l *nest.Layout, width, selvedge, rollEnd float64) error {
	lo, hi := l.Usable[0], l.Usable[1]
	ring := make(nest.Ring, len(p.outline))
	for i, v := range p.outline {
		ring[i] = nest.Point{nest.Round(v[0] - p.from), v[1]}
	}
	for _, part := range []struct {
		class *float64
		boxes []nest.Ring
	}{
		{&b.RollEnd, []nest.Ring{box(l.Length, 0, l.Length+rollEnd, width)}},
		{&b.Selvedge, []nest.Ring{box(0, 0, l.Length, selvedge), box(0, width-selvedge, l.Length, width)}},
		{&b.EndAllowance, []nest.Ring{box(0, lo[1], lo[0], hi[1]), box(hi[0], lo[1], l.Length, hi[1])}},
		{&b.Gaps, []nest.Ring{box(lo[0], lo[1], hi[0], hi[1])}},
	} {
		for _, r := range part.boxes {
			if ringArea(r) == 0 {
				continue
			}
			absent, err := remainder([]nest.Ring{r}, []nest.Ring{ring})
			if err != nil {
				return err
			}
			*part.class -= absent
			b.Drawn -= absent
		}
	}
	return nil
}
