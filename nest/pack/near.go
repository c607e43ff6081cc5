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
	body   *collide.Body // nil where the item turns
	x, y   float64       // of the start
	reach  float64       // how far from it, along x and along y, it serves
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
	v.item, v.body, v.x, v.y, v.reach = i, b, x, y, reach
	box := shifted(&b.Box, x, y)
	if b.Variant < 0 && s.w.kinds[s.w.items[i]].turns {
		v.body = nil
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

// costNear is cost for poses near each other; the vicinity must have been
// gathered for the item, and is moved along as needed. In between nothing else
// may move.
func (s *state) costNear(b *collide.Body, x, y, bound float64) float64 {
	v := &s.vicinity
	if math.Abs(x-v.x) > v.reach || math.Abs(y-v.y) > v.reach {
		s.gather(v.item, b, x, y, v.reach)
	}
	s.evals++
	sum := 0.0
	if len(v.blocks) > 0 {
		box := shifted(&b.Box, x, y)
		for _, k := range v.blocks {
			bl := &s.w.blocks[k]
			if !meets(&box, &bl.box) {
				continue
			}
			if m := s.w.blockMeasure(bl, b, x, y); m > 0 {
				if sum += m * s.weight.block(v.item, int(k)); sum >= bound {
					return sum
				}
			}
		}
	}
	for k := range v.near {
		n := &v.near[k]
		dx, dy := n.x-x, n.y-y
		var m float64
		if n.table != nil {
			dx, dy = turned(dx, dy, n.turns)
			m = n.table.Measure(dx, dy, s.lenient)
		} else {
			m = s.pair(b, s.w.items[v.item], x, y, n.item, (bound-sum)/n.weight)
		}
		if m > 0 {
			if sum += m * n.weight; sum >= bound {
				return sum
			}
		}
	}
	return sum
}
