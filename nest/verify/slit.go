package verify

import (
	"slices"

	"plyroom/nest"
)

// slitsOf lists the slits of a placed piece, where it lies: the knife cuts them
// like outlines.
func (c *checker) slitsOf(p *nest.Placed) []nest.Ring {
	d := c.demands[p.Key()]
	if d == nil || c.shapes[d.Shape] == nil {
		return nil
	}
	var lines []nest.Ring
	for _, m := range c.shapes[d.Shape].Marks {
		if m.Kind != "slit" {
			continue
		}
		line := make(nest.Ring, len(m.Line))
		for i, v := range m.Line {
			line[i] = nest.Point{v[0], v[1]}
		}
		lines = append(lines, line)
	}
	return place(nest.Polygon{Holes: lines}, p).holes
}

// sameSlits reports whether two pieces have the same slits, in any order and
// sense, within SlitTolerance.
func (c *checker) sameSlits(a, b *nest.Placed) bool {
	p, q := c.slitsOf(a), c.slitsOf(b)
	if len(p) != len(q) {
		return false
	}
	for _, l := range p {
		k := slices.IndexFunc(q, func(m nest.Ring) bool {
			if sameLine(l, m) {
				return true
			}
			back := slices.Clone(m)
			slices.Reverse(back)
			return sameLine(l, back)
		})
		if k < 0 {
			return false
		}
		q = slices.Delete(q, k, k+1)
	}
	return true
}

func sameLine(a, b nest.Ring) bool {
	return slices.EqualFunc(a, b, func(v, w nest.Point) bool { return distance(v, w) <= SlitTolerance })
}
