package lattice

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
)

// Numbers of the search for rows: pitches tried per place of a second ply, by
// which share each exceeds the one before (so that the greatest is 2.2 times the
// least), and tries looked at closely.
const (
	pitches   = 36
	pitchStep = 0.0228
	rowTries  = 4
)

// A rows is rows along the strip as a search sees them: how the second ply
// touches the first and, as its pitch, how far apart the plies of a row are.
type rows struct {
	side  int
	u     float64
	pitch float64
	score float64 // length of strip per ply
}

// extents of a cell's plies across the rows, the first at 0.
type extents struct {
	n       int
	at      [2]float64
	lo, hi  [2]float64
	members [2]Member
}

func extentsOf(f *frame, two bool, r orb.Point) extents {
	e := extents{n: 1}
	e.lo[0], e.hi[0] = f.ext[0].MinY, f.ext[0].MaxY
	if two {
		e.n = 2
		e.at[1], e.lo[1], e.hi[1] = r[1], f.ext[1].MinY, f.ext[1].MaxY
		e.members[1] = Member{1, r}
	}
	return e
}

// count is how many plies per pitch find room across the width with rows q
// apart, and where the first ply of the cell then is: one of the plies lies on
// the lower edge.
func (e *extents) count(width, q float64) (n int, phase float64) {
	eps := float64(1e-11 * width)
	for k := range e.n {
		y := -e.lo[k] - e.at[k]
		sum := 0
		for m := range e.n {
			from := math.Ceil((-e.lo[m] - e.at[m] - y - eps) / q)
			to := math.Floor((width - e.hi[m] - e.at[m] - y + eps) / q)
			if to >= from {
				sum += int(to-from) + 1
			}
		}
		if sum > n {
			n, phase = sum, y
		}
	}
	return n, phase
}

// rows are the rows of one body, or of two, of least length per ply.
func (s *search) rows(f *frame, width float64) []rows {
	two := f.n == 2
	var all []try
	found := map[try]rows{}
	c := &s.cell
	each(two, f, func(side int, u float64, r orb.Point) {
		if s.stopped() {
			return
		}
		c.set(f, two, r)
		e := extentsOf(f, two, r)
		least := c.pitch()
		if !(least > 0) || least < leastPitch*(c.hi-c.lo) {
			return
		}
		best := rows{score: math.Inf(1), side: side, u: u}
		for k, p := 0, least; k < pitches; k, p = k+1, p*(1+pitchStep) {
			_, q := c.bestRise(p, 1)
			if n, _ := e.count(width, q); n > 0 && p/float64(n) < best.score {
				best.pitch, best.score = p, p/float64(n)
			}
		}
		if !math.IsInf(best.score, 1) {
			t := try{side: side, u: u, score: best.score}
			all = append(all, t)
			found[t] = best
		}
	})
	var out []rows
	for _, t := range distinct(all, rowTries) {
		out = append(out, s.refineRows(f, width, found[t]))
	}
	return out
}

// tighten finds the least pitch near the one of r that holds as many plies.
func (s *search) tighten(f *frame, width float64, r rows, share float64) rows {
	two := f.n == 2
	at := orb.Point{}
	if two {
		var ok bool
		if at, ok = f.touch(r.side, r.u); !ok || r.u <= 0 || r.u >= 1 {
			r.score = math.Inf(1)
			return r
		}
	}
	c := &s.cell
	c.set(f, two, at)
	e := extentsOf(f, two, at)
	least := c.pitch()
	if !(least > 0) {
		r.score = math.Inf(1)
		return r
	}
	count := func(p float64) int {
		_, q := c.bestRise(p, share)
		n, _ := e.count(width, q)
		return n
	}
	best := rows{side: r.side, u: r.u, score: math.Inf(1)}
	const step = pitchStep
	// From a little more than the pitch down to two steps less, as far as the
	// number of plies lasts.
	p := max(least, r.pitch)
	for _, from := range [...]float64{p * (1 + step), p, p * (1 - step)} {
		from = max(from, least)
		n := count(from)
		if n == 0 {
			continue
		}
		lo, hi := max(least, from*(1-1.5*step)), from
		if count(lo) >= n {
			hi = lo
		} else {
			for hi-lo > share*hi {
				if mid := (lo + hi) / 2; count(mid) >= n {
					hi = mid
				} else {
					lo = mid
				}
			}
		}
		if v := hi / float64(n); v < best.score {
			best.pitch, best.score = hi, v
		}
	}
	return best
}

// refineRows moves the second ply along the first in steps that halve.
func (s *search) refineRows(f *frame, width float64, r rows) rows {
	const coarse, fine = 1e-3, 1e-11
	r = s.tighten(f, width, r, coarse)
	if f.n == 2 {
		for step := 0.5 / places; step > 2e-4/places && !s.stopped(); {
			better := false
			for _, d := range [2]float64{step, -step} {
				n := r
				n.u += d
				if n = s.tighten(f, width, n, coarse); n.score < r.score*(1-1e-9) {
					r, better = n, true
					break
				}
			}
			if !better {
				step /= 2
			}
		}
	}
	return s.tighten(f, width, r, fine)
}

// rowPattern words rows as a pattern; nil if they are none.
func (s *search) rowPattern(f *frame, bodies []*collide.Body, width float64, r rows) *Pattern {
	at := orb.Point{}
	if f.n == 2 {
		var ok bool
		if at, ok = f.touch(r.side, r.u); !ok {
			return nil
		}
	}
	c := &s.cell
	c.set(f, f.n == 2, at)
	shift, q := c.bestRise(r.pitch, 1e-12)
	e := extentsOf(f, f.n == 2, at)
	n, phase := e.count(width, q)
	if n == 0 {
		return nil
	}
	p := &Pattern{Bodies: bodies, U: orb.Point{r.pitch, 0}, V: orb.Point{shift, q}, Phase: phase, Phased: true}
	p.Members = append(p.Members, e.members[:e.n]...)
	return p
}
