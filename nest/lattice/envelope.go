package lattice

import "math"

// An envelope is the upper outline of a region: for any x its greatest y. The
// curves that can be uppermost are sorted into buckets along x, so that a
// question looks at a few of them.
type envelope struct {
	x0, inv float64
	x1      float64
	start   []int32 // per bucket and one more, into curves
	curves  []curve
}

// A curve is a straight edge, or the upper half of a circle where r is above 0,
// between two values of x.
type curve struct {
	from, to float64
	x, y     float64 // a point of the edge, or the circle's centre
	slope    float64
	r        float64
}

const buckets = 96

func (c *curve) at(x float64) float64 {
	if c.r > 0 {
		d := x - c.x
		return c.y + math.Sqrt(max(0, float64(c.r*c.r)-float64(d*d)))
	}
	return c.y + float64(c.slope*(x-c.x))
}

// most is the greatest value between a and b, both within the curve.
func (c *curve) most(a, b float64) float64 {
	if c.r > 0 && a <= c.x && c.x <= b {
		return c.y + c.r
	}
	return max(c.at(a), c.at(b))
}

// curvesOf lists the upper edges of all pieces, moved out by the gap, and the
// circles about their corners.
func (n *noFit) curvesOf(out []curve) []curve {
	g := n.gap
	for i := range n.pieces {
		pts := n.pieces[i].pts
		a := pts[len(pts)-1]
		for _, b := range pts {
			if b[0] < a[0] {
				dx, dy := b[0]-a[0], b[1]-a[1]
				c := curve{from: b[0], to: a[0], x: a[0], y: a[1], slope: dy / dx}
				if g > 0 {
					l := g / math.Sqrt(float64(dx*dx)+float64(dy*dy))
					c.x, c.y = c.x+float64(dy*l), c.y-float64(dx*l)
					c.from, c.to = c.from+float64(dy*l), c.to+float64(dy*l)
				}
				out = append(out, c)
			}
			if g > 0 {
				out = append(out, curve{from: b[0] - g, to: b[0] + g, x: b[0], y: b[1], r: g})
			}
			a = b
		}
	}
	return out
}

func newEnvelope(n *noFit) *envelope {
	e := &envelope{x0: n.box.MinX, x1: n.box.MaxX}
	e.inv = buckets / (e.x1 - e.x0)
	all := n.curvesOf(nil)
	// Per bucket: a height below which no curve there counts.
	var floor [buckets]float64
	var count [buckets + 1]int32
	for k := range floor {
		floor[k] = math.Inf(-1)
	}
	each := func(c *curve, f func(k int, a, b float64)) {
		for k := e.bucket(c.from); k < buckets; k++ {
			a, b := e.x0+float64(k)/e.inv, e.x0+float64(k+1)/e.inv
			if a > c.to {
				break
			}
			f(k, a, b)
		}
	}
	for i := range all {
		c := &all[i]
		each(c, func(k int, a, b float64) {
			if c.from <= a && c.to >= b {
				floor[k] = max(floor[k], min(c.at(a), c.at(b)))
			}
		})
	}
	counts := func(c *curve, k int, a, b float64) bool {
		return c.most(max(a, c.from), min(b, c.to)) >= floor[k]
	}
	for i := range all {
		each(&all[i], func(k int, a, b float64) {
			if counts(&all[i], k, a, b) {
				count[k+1]++
			}
		})
	}
	for k := range buckets {
		count[k+1] += count[k]
	}
	e.start = append([]int32(nil), count[:]...)
	e.curves = make([]curve, count[buckets])
	for i := range all {
		each(&all[i], func(k int, a, b float64) {
			if counts(&all[i], k, a, b) {
				e.curves[count[k]] = all[i]
				count[k]++
			}
		})
	}
	return e
}

func (e *envelope) bucket(x float64) int {
	return max(0, min(buckets-1, int((x-e.x0)*e.inv)))
}

// top is the greatest y of the region at x, -Inf where it has none.
func (e *envelope) top(x float64) float64 {
	best := math.Inf(-1)
	if x <= e.x0 || x >= e.x1 {
		return best
	}
	k := int((x - e.x0) * e.inv)
	if k >= buckets {
		k = buckets - 1
	}
	curves := e.curves[e.start[k]:e.start[k+1]]
	for i := range curves {
		c := &curves[i]
		if x < c.from || x > c.to {
			continue
		}
		if y := c.at(x); y > best {
			best = y
		}
	}
	return best
}
