package pack

import (
	"cmp"
	"context"
	"math"
	"slices"

	"plyroom/nest/collide"
)

// A builder lays plies one after the other, none overlapping. Each goes as far
// towards the start of the strip as the raster shows room, then slides exactly
// into contact.
type builder struct {
	w     *world
	s     *state
	r     *raster
	laid  []bool
	order []int32
	// Per kind and variant: the stencil, and the first column not yet known to
	// have no room. Plies are only added, so what had no room never will.
	stencils [][]*stencil
	from     [][]int
	rng      *random
	rough    float64 // how far the order is disturbed, as a share of size
}

// How many raster cells the smaller side of a small ply spans: fewer where there
// are so many plies that time counts.
const (
	cellsPerPly = 7
	cellsOfMany = 5
	manyItems   = 300
	leastRows   = 96
	mostRows    = 768
)

func newBuilder(w *world, s *state, rng *random, rough float64) *builder {
	b := &builder{w: w, s: s, rng: rng, rough: rough}
	b.laid = make([]bool, len(w.items))
	small := math.Inf(1)
	for i := range w.kinds {
		k := &w.kinds[i]
		if k.count > 0 {
			small = math.Min(small, math.Min(k.minHeight, k.minLength))
		}
	}
	per := float64(cellsPerPly)
	if len(w.items) > manyItems {
		per = cellsOfMany
	}
	rows := math.Max(leastRows, math.Min(mostRows, math.Ceil(w.width/small*per)))
	b.r = newRaster((w.width+2*w.gap)/rows, int(rows), w.gap, w.maxLength)
	for i := range w.blocks {
		k := &w.blocks[i]
		b.r.markBody(k.body, &k.box)
	}
	b.stencils = make([][]*stencil, len(w.kinds))
	b.from = make([][]int, len(w.kinds))
	b.sortItems()
	return b
}

// sortItems orders big before small, copies of a kind together.
func (b *builder) sortItems() {
	rank := make([]float64, len(b.w.kinds))
	for i := range b.w.kinds {
		s := b.w.kinds[i].shape
		rank[i] = math.Sqrt(s.HullArea) * s.Diameter
		if b.rough > 0 {
			// As likely so many times more as so many times less.
			if off := float64(b.rough * b.rng.normal()); off > 0 {
				rank[i] *= 1 + off
			} else {
				rank[i] /= 1 - off
			}
		}
	}
	b.order = make([]int32, len(b.w.items))
	for i := range b.order {
		b.order[i] = int32(i)
	}
	slices.SortStableFunc(b.order, func(p, q int32) int {
		kp, kq := b.w.items[p], b.w.items[q]
		if c := cmp.Compare(rank[kq], rank[kp]); c != 0 {
			return c
		}
		return cmp.Compare(kp, kq)
	})
}

// run lays all items on an empty strip. When ctx ends, the rest goes in plain
// rows.
func (b *builder) run(ctx context.Context) {
	b.s.grid.clear()
	b.fill(ctx)
}

// fill lays what is not laid yet.
func (b *builder) fill(ctx context.Context) {
	for n, i := range b.order {
		if b.laid[i] {
			continue
		}
		if n%64 == 63 && ctx.Err() != nil {
			// Time is up: whatever is left goes in a row at the end.
			b.row(b.order[n:])
			return
		}
		if p, ok := b.find(i); ok {
			b.put(i, b.slide(i, p))
		}
	}
}

// row lays items side by side past everything laid so far, which takes no
// search.
func (b *builder) row(items []int32) {
	x := 0.0
	for i, laid := range b.laid {
		if laid {
			x = max(x, b.s.box[i].MaxX)
		}
	}
	x += b.w.gap
	y, reach := 0.0, x
	for _, i := range items {
		if b.laid[i] {
			continue
		}
		k := &b.w.kinds[b.w.items[i]]
		v := 0
		for c := range k.variants {
			if k.variants[c].Box.Width() < k.variants[v].Box.Width() {
				v = c
			}
		}
		body := k.variants[v]
		for tries := 0; ; tries++ {
			if y+body.Box.Height() > b.w.width+b.w.tol {
				y, x = 0, reach+b.w.gap
			}
			box := collide.Box{MinX: x, MinY: y, MaxX: x + body.Box.Width(), MaxY: y + body.Box.Height()}
			hit := false
			for j := range b.w.blocks {
				o := &b.w.blocks[j].box
				if box.MinX < o.MaxX && box.MaxX > o.MinX && box.MinY < o.MaxY && box.MaxY > o.MinY {
					x, y, hit = o.MaxX, 0, true
					reach = max(reach, x)
				}
			}
			if !hit || tries > 10*len(b.w.blocks)+10 {
				break
			}
		}
		if m := b.w.maxLength; m > 0 && x+body.Box.Width() > m {
			continue
		}
		b.put(i, k.poseOf(v, x-body.Box.MinX, y-body.Box.MinY))
		reach = max(reach, x+body.Box.Width())
		y += body.Box.Height() + b.w.gap
	}
}

// poseOf is variant v as a pose at (x, y).
func (k *kind) poseOf(v int, x, y float64) pose {
	p := pose{x: x, y: y, variant: int32(v)}
	if k.turns {
		p.variant = -1
		p.degrees, p.mirrored = k.variants[v].Degrees, k.variants[v].Mirrored
	}
	return p
}

func (b *builder) put(i int32, p pose) {
	b.laid[i] = true
	b.s.pose[i] = p
	b.s.turn(i)
	b.s.box[i] = shifted(&b.s.body[i].Box, p.x, p.y)
	b.s.grid.add(i, &b.s.box[i])
	b.r.markBody(b.s.body[i], &b.s.box[i])
}

// find returns the pose with the least right end the raster offers.
func (b *builder) find(i int32) (pose, bool) {
	ki := b.w.items[i]
	k := &b.w.kinds[ki]
	if b.stencils[ki] == nil {
		b.stencils[ki] = make([]*stencil, len(k.variants))
		b.from[ki] = make([]int, len(k.variants))
	}
	best, bestRow, bestEnd := -1, 0, math.Inf(1)
	for v, body := range k.variants {
		st := b.stencils[ki][v]
		if st == nil {
			st = b.r.searched(b.r.stencilOf(body, b.w.gap, 0, 0))
			b.stencils[ki][v] = st
		}
		c := b.from[ki][v]
		for ; ; c++ {
			end := float64(float64(c)*b.r.cell) - b.w.gap + st.dx + body.Box.MaxX
			if end >= bestEnd || c+st.cols > b.r.limit {
				break
			}
			row := b.r.firstRow(st, c, false)
			if row >= 0 {
				best, bestRow, bestEnd = v, row, end
				break
			}
		}
		b.from[ki][v] = c
	}
	if best < 0 {
		return pose{}, false
	}
	st := b.stencils[ki][best]
	x := float64(float64(b.from[ki][best])*b.r.cell) - b.w.gap + st.dx
	y := float64(float64(bestRow)*b.r.cell) - b.w.gap + st.dy
	return k.poseOf(best, x, y), true
}

// slide moves a pose towards the start of the strip, then towards the nearer
// edge, as far as it stays free.
func (b *builder) slide(i int32, p pose) pose {
	body := b.s.bodyAt(i, &p)
	w := b.w
	free := func(x, y float64) bool {
		if x+body.Box.MinX < 0 || y+body.Box.MinY < 0 || y+body.Box.MaxY > w.width {
			return false
		}
		return b.s.free(i, body, x, y)
	}
	if !free(p.x, p.y) {
		return p // rounding at an edge: the raster is right
	}
	least := math.Max(b.r.cell/64, 4*w.tol)
	for range 2 {
		p.x, p.y = b.push(p.x, p.y, -1, 0, least, free)
		p.x, p.y = b.push(p.x, p.y, 0, -1, least, free)
	}
	return p
}

// push moves along (dx, dy) by steps that halve when blocked.
func (b *builder) push(x, y, dx, dy, least float64, free func(x, y float64) bool) (float64, float64) {
	for step := b.r.cell; step > least; {
		if free(x+float64(dx*step), y+float64(dy*step)) {
			x, y = x+float64(dx*step), y+float64(dy*step)
		} else {
			step /= 2
		}
	}
	return x, y
}
