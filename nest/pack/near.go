package pack

import (
	"math"

	"plyroom/nest/collide"
)

// A vicinity is what an item may meet on a short way: the neighbours and
// obstacles near where it starts. Many poses close to each other are costed by
// it without asking the grid.
type vicinity struct {
	item   int32
	x, y   float64 // of the start
	reach  float64 // how far from it, along x and along y, it serves
	near   []neighbour
	blocks []int32
}

// A neighbour is an item that may be met.
type neighbour struct {
	table  *collide.Table // nil where either turns, or there is none yet
	x, y   float64
	weight float64
	item   int32
	turns  int32 // quarters the translation is turned by before the table is asked
}

// gather lists what item i as body b may meet within reach of (x, y), at any
// angle if the item turns.
func (s *state) gather(i int32, b *collide.Body, x, y, reach float64) {
	v := &s.vicinity
	v.item, v.x, v.y, v.reach = i, x, y, reach
	box := shifted(&b.Box, x, y)
	if b.Variant < 0 && s.w.kinds[s.w.items[i]].turns {
		r := b.Shape.Radius
		box = collide.Box{MinX: x - r, MinY: y - r, MaxX: x + r, MaxY: y + r}
	}
	box.MinX -= reach
	box.MinY -= reach
	box.MaxX += reach
	box.MaxY += reach
	v.blocks = v.blocks[:0]
	for k := range s.w.blocks {
		if meets(&box, &s.w.blocks[k].box) {
			v.blocks = append(v.blocks, int32(k))
		}
	}
	g := s.gap
	box.MinX -= g
	box.MinY -= g
	box.MaxX += g
	box.MaxY += g
	v.near = v.near[:0]
	for _, j := range s.meeting(i, &box) {
		n := neighbour{x: s.pose[j].x, y: s.pose[j].y, weight: s.weight.pair(i, j), item: j}
		if o := s.body[j]; b.Variant >= 0 && o.Variant >= 0 {
			n.table, n.turns = s.table(b.Variant, o.Variant, gatheredAsks)
		}
		v.near = append(v.near, n)
	}
}

// meeting lists the items but i whose boxes meet a box; valid until the next
// call.
func (s *state) meeting(i int32, box *collide.Box) []int32 {
	out := s.met[:0]
	s.query++
	q := s.query
	s.stamp[i] = q
	c0, c1, r0, r1 := s.grid.span(box)
	for c := c0; c <= c1; c++ {
		for r := r0; r <= r1; r++ {
			for _, j := range s.grid.cell[c*s.grid.rows+r] {
				if s.stamp[j] == q {
					continue
				}
				s.stamp[j] = q
				if meets(box, &s.box[j]) {
					out = append(out, j)
				}
			}
		}
	}
	s.met = out
	return out
}

func meets(a, b *collide.Box) bool {
	return a.MinX < b.MaxX && a.MaxX > b.MinX && a.MinY < b.MaxY && a.MaxY > b.MinY
}

// slopeNear is cost for poses near each other, with its slope; rim is the radius
// at which turning is measured, 0 for a ply that does not turn. The vicinity
// must have been gathered for the item, and is moved along as needed; in between
// nothing else may move. It stops early, with the slope of what it has seen,
// once bound is reached.
func (s *state) slopeNear(b *collide.Body, x, y, rim, bound float64) (float64, heading) {
	v := &s.vicinity
	if math.Abs(x-v.x) > v.reach || math.Abs(y-v.y) > v.reach {
		s.gather(v.item, b, x, y, v.reach)
	}
	s.evals++
	sum := 0.0
	var g heading
	if len(v.blocks) > 0 {
		sum = s.blockSlopes(b, x, y, &g)
		if sum >= bound {
			return sum, g
		}
	}
	for k := range v.near {
		n := &v.near[k]
		tx, ty := n.x-x, n.y-y
		if n.table != nil {
			tx, ty = turned(tx, ty, n.turns)
			m, dx, dy := n.table.Slope(tx, ty, s.lenient)
			if m > 0 {
				dx, dy = turned(dx, dy, -n.turns&3)
				g[0] -= float64(n.weight * dx)
				g[1] -= float64(n.weight * dy)
				if sum += float64(m * n.weight); sum >= bound {
					return sum, g
				}
			}
			continue
		}
		m, d := collide.MeasureSlope(b, s.body[n.item], tx, ty, s.gap, s.w.tol)
		if m > 0 {
			scale := s.w.pairScale(s.w.items[v.item], s.w.items[n.item]) * n.weight
			g[0] += float64(scale * d.X)
			g[1] += float64(scale * d.Y)
			if rim > 0 {
				g[2] += float64(scale*d.Turn) / rim
			}
			if sum += float64(m * scale); sum >= bound {
				return sum, g
			}
		}
	}
	return sum, g
}

// blockSlopes is the cost of obstacles, and adds its slope to g, but for turning:
// by differences, since obstacles are of several kinds.
func (s *state) blockSlopes(b *collide.Body, x, y float64, g *heading) float64 {
	v := &s.vicinity
	box := shifted(&b.Box, x, y)
	h := 1e-3 * b.Shape.Diameter
	sum := 0.0
	for _, k := range v.blocks {
		bl := &s.w.blocks[k]
		if !meets(&box, &bl.box) {
			continue
		}
		m := s.w.blockMeasure(bl, b, x, y)
		if m == 0 {
			continue
		}
		weight := s.weight.block(v.item, int(k))
		sum += float64(m * weight)
		for axis, q := range [2][2]float64{{h, 0}, {0, h}} {
			if n := s.w.blockMeasure(bl, b, x+q[0], y+q[1]); n > 0 {
				g[axis] += float64(weight * (n - m) / h)
			} else if n := s.w.blockMeasure(bl, b, x-q[0], y-q[1]); n > 0 {
				g[axis] += float64(weight * (m - n) / h)
			}
		}
	}
	return sum
}
