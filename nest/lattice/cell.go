package lattice

import (
	"math"

	"github.com/paulmach/orb"
)

// A cell is what is repeated: one ply, or two of which the second lies at r. It
// answers how near its copies may come.
type cell struct {
	faces []*face
	shift []orb.Point
	lo    float64 // where the region of translations begins and ends in x
	hi    float64
	high  float64 // its greatest y
	calls int     // outlines asked, the measure of work
}

// set makes the cell of one ply (two false), or of two.
func (c *cell) set(f *frame, two bool, r orb.Point) {
	c.faces, c.shift = c.faces[:0], c.shift[:0]
	c.add(f.face[0][0], orb.Point{})
	if two {
		c.add(f.face[1][1], orb.Point{})
		c.add(f.face[0][1], orb.Point{-r[0], -r[1]})
		c.add(f.face[1][0], r)
	}
	c.lo, c.hi, c.high = math.Inf(1), math.Inf(-1), math.Inf(-1)
	for i, f := range c.faces {
		c.lo = min(c.lo, f.box.MinX+c.shift[i][0])
		c.hi = max(c.hi, f.box.MaxX+c.shift[i][0])
		c.high = max(c.high, f.box.MaxY+c.shift[i][1])
	}
}

func (c *cell) add(f *face, d orb.Point) {
	c.faces, c.shift = append(c.faces, f), append(c.shift, d)
}

// top is the least height above which a copy moved by x is clear.
func (c *cell) top(x float64) float64 {
	best := math.Inf(-1)
	for i, f := range c.faces {
		d := &c.shift[i]
		if f.box.MaxY+d[1] > best {
			best = max(best, f.up.top(x-d[0])+d[1])
		}
	}
	c.calls += len(c.faces)
	return best
}

// pitch is the least translation along x from which on all copies are clear.
func (c *cell) pitch() float64 {
	best := math.Inf(-1)
	for i, f := range c.faces {
		d := &c.shift[i]
		best = max(best, f.right.top(-d[1])+d[0])
	}
	c.calls += len(c.faces)
	return best
}

// rise is the least height of the second translation (s, height), with the first
// along x at pitch p: no sum of multiples of both may lie inside the region. It
// gives up with some value not below enough.
func (c *cell) rise(p, s, enough float64) float64 {
	q := 0.0
	for j := 1; j == 1 || c.high > float64(j)*q; j++ {
		if j > 64 {
			return math.Inf(1)
		}
		at := float64(float64(j) * s)
		for k := math.Ceil((c.lo - at) / p); k <= (c.hi-at)/p; k++ {
			if t := c.top(at+float64(k*p)) / float64(j); t > q {
				if q = t; q >= enough {
					return q
				}
			}
		}
		if q <= 0 {
			return math.Inf(1)
		}
	}
	return q
}

// shifts is how many shifts of one row against the next are tried.
const shifts = 48

// bestRise finds the shift of least rise; the shift is exact to the share given
// of the pitch, looked for where samples are lowest.
func (c *cell) bestRise(p, share float64) (s, q float64) {
	if share >= 0.5/shifts {
		q = math.Inf(1)
		for i := range shifts {
			x := p * float64(i) / shifts
			if y := c.rise(p, x, q); y < q {
				s, q = x, y
			}
		}
		return s, q
	}
	var v [shifts]float64
	best := 0
	for i := range v {
		v[i] = c.rise(p, p*float64(i)/shifts, math.Inf(1))
		if v[i] < v[best] {
			best = i
		}
	}
	s, q = p*float64(best)/shifts, v[best]
	if math.IsInf(q, 1) {
		return s, q
	}
	for range 3 {
		low := -1
		for i := range v {
			if v[i] <= v[(i+1)%shifts] && v[i] <= v[(i+shifts-1)%shifts] && (low < 0 || v[i] < v[low]) {
				low = i
			}
		}
		if low < 0 || math.IsInf(v[low], 1) {
			break
		}
		from, to := p*float64(low-1)/shifts, p*float64(low+1)/shifts
		if x, y := least(from, to, share*p, func(x float64) float64 { return c.rise(p, x, math.Inf(1)) }); y < q {
			s, q = x, y
		}
		v[low] = math.Inf(1)
	}
	return s, q
}

// least is the golden section search for the least value of f between from and
// to, down to the width given.
func least(from, to, width float64, f func(float64) float64) (x, y float64) {
	const g = 0.6180339887498949
	a, b := to-float64(g*(to-from)), from+float64(g*(to-from))
	fa, fb := f(a), f(b)
	for to-from > width {
		if fa <= fb {
			to, b, fb = b, a, fa
			a = to - float64(g*(to-from))
			fa = f(a)
		} else {
			from, a, fa = a, b, fb
			b = from + float64(g*(to-from))
			fb = f(b)
		}
	}
	if fa <= fb {
		return a, fa
	}
	return b, fb
}
