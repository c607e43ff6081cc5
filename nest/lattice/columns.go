package lattice

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
)

// Numbers of the search for columns: pitches within a column from the least to
// the one that uses the whole width, and shifts of one column against the next.
const (
	columnPitches = 10
	columnShifts  = 40
)

// columns are columns across the strip, every other one set off by a shift, of
// one body or of two, of least length per ply; nil if there are none. The frame
// is exchanged: its x runs across the strip.
func (s *search) columns(f *frame, bodies []*collide.Body, width float64) *Pattern {
	two := f.n == 2
	best := columnTry{score: math.Inf(1)}
	c := &s.cell
	each(two, f, func(side int, u float64, r orb.Point) {
		if s.stopped() {
			return
		}
		c.set(f, two, r)
		if t := c.column(f, two, r, width); t.score < best.score {
			t.side, t.u = side, u
			best = t
		}
	})
	if two && !math.IsInf(best.score, 1) {
		for step := 0.5 / places; step > 2e-4/places && !s.stopped(); {
			better := false
			for _, d := range [2]float64{step, -step} {
				u := best.u + d
				r, ok := f.touch(best.side, u)
				if !ok || u <= 0 || u >= 1 {
					continue
				}
				c.set(f, two, r)
				if t := c.column(f, two, r, width); t.score < best.score*(1-1e-9) {
					t.side, t.u = best.side, u
					best, better = t, true
					break
				}
			}
			if !better {
				step /= 2
			}
		}
	}
	if math.IsInf(best.score, 1) {
		return nil
	}
	// Back to x along the strip: exchange.
	p := &Pattern{Bodies: bodies, U: orb.Point{0, best.pitch}, V: orb.Point{best.period, 0}, Phase: best.phase, Phased: true}
	first := []Member{{0, orb.Point{}}}
	if two {
		r, _ := f.touch(best.side, best.u)
		first = append(first, Member{1, orb.Point{r[1], r[0]}})
	}
	p.Members = append(p.Members, first...)
	for _, m := range first {
		p.Members = append(p.Members, Member{m.Body, orb.Point{m.At[0] + best.next, m.At[1] + best.shift}})
	}
	return p
}

// A columnTry is columns as a search sees them.
type columnTry struct {
	side         int
	u            float64
	pitch, shift float64 // across the strip: within a column, and of the next
	next, period float64 // along the strip: to the next column and the one after
	phase        float64
	score        float64
}

// column finds the best columns of the cell.
func (c *cell) column(f *frame, two bool, r orb.Point, width float64) columnTry {
	best := columnTry{score: math.Inf(1)}
	least := c.pitch()
	if !(least > 0) || least < leastPitch*(c.hi-c.lo) {
		return best
	}
	// Extents across the strip, which is x here.
	lo, hi := f.ext[0].MinX, f.ext[0].MaxX
	if two {
		lo, hi = min(lo, r[0]+f.ext[1].MinX), max(hi, r[0]+f.ext[1].MaxX)
	}
	room := width - (hi - lo)
	if room < 0 {
		return best
	}
	n := int(room/least*(1+1e-12)) + 1
	widest := least
	if n > 1 {
		widest = room / float64(n-1)
	}
	for k := range columnPitches {
		p := least + (widest-least)*float64(k)/(columnPitches-1)
		slack := max(0, room-float64(float64(n-1)*p))
		again := 0.0 // the least distance of every other column
		for i := math.Ceil(c.lo / p); i <= c.hi/p; i++ {
			again = max(again, c.top(i*p))
		}
		try := func(shift float64, plies int) float64 {
			q, back := c.reach(p, shift), c.reach(p, -shift)
			period := max(q+back, again)
			score := period / float64(plies)
			if score < best.score && q > 0 && back > 0 {
				best = columnTry{pitch: p, shift: shift, next: q, period: period, phase: -lo, score: score}
			}
			return score
		}
		for k := range columnShifts {
			shift := p * float64(k) / columnShifts
			switch {
			case shift <= slack:
				try(shift, 2*n)
			case n > 1:
				try(shift, 2*n-1)
			}
		}
		try(min(slack, p), 2*n)
		if n > 1 {
			try(p/2, 2*n-1)
		}
		if widest <= least {
			break
		}
	}
	return best
}

// reach is how far along the strip the next column has to lie where it is set
// off by a shift.
func (c *cell) reach(p, shift float64) float64 {
	q := math.Inf(-1)
	for k := math.Ceil((c.lo - shift) / p); k <= (c.hi-shift)/p; k++ {
		q = max(q, c.top(shift+float64(k*p)))
	}
	return q
}
