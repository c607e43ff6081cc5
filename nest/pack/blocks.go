package pack

import (
	"cmp"
	"math"
	"slices"
	"sync/atomic"

	"plyroom/nest/collide"
)

// addBlocks prepares the obstacles: those outside the strip are dropped, those
// thinner than the tolerance can see are widened to what it can.
func (w *world) addBlocks() {
	least := math.Inf(1)
	for i := range w.kinds {
		if w.kinds[i].count > 0 {
			least = math.Min(least, w.kinds[i].minHeight)
		}
	}
	var walls []room
	for _, o := range w.problem.Obstacles {
		box := collide.Box{MinX: o.Min[0], MinY: o.Min[1], MaxX: o.Max[0], MaxY: o.Max[1]}
		if box.MinX > box.MaxX || box.MinY > box.MaxY {
			continue
		}
		box.MinX, box.MinY = math.Max(box.MinX, -w.width), math.Max(box.MinY, -w.width)
		box.MaxY = math.Min(box.MaxY, 2*w.width)
		if box.MaxX <= 0 || box.MaxY <= 0 || box.MinY >= w.width || box.MinX >= box.MaxX+w.width {
			continue
		}
		thin := 8 * w.tol
		if box.Width() < thin {
			box.MinX, box.MaxX = (box.MinX+box.MaxX-thin)/2, (box.MinX+box.MaxX+thin)/2
		}
		if box.Height() < thin {
			box.MinY, box.MaxY = (box.MinY+box.MaxY-thin)/2, (box.MinY+box.MaxY+thin)/2
		}
		s := collide.NewRectangle(box.Width(), box.Height())
		w.blocks = append(w.blocks, block{
			box: box, body: collide.NewBody(s, false, 0),
			x: (box.MinX + box.MaxX) / 2, y: (box.MinY + box.MaxY) / 2,
			tables: make([]atomic.Pointer[collide.Table], w.tables.stride),
		})
		if box.MinY < least-w.tol && w.width-box.MaxY < least-w.tol {
			walls = append(walls, room{box.MinX, box.MaxX})
		}
	}
	slices.SortFunc(walls, func(a, b room) int { return cmp.Compare(a.from, b.from) })
	at := 0.0
	for _, c := range walls {
		if c.from > at {
			w.rooms = append(w.rooms, room{at, c.from})
		}
		at = math.Max(at, c.to)
	}
	w.rooms = append(w.rooms, room{at, math.Inf(1)})
}

// blockTable is the table of an obstacle and a numbered body.
func (w *world) blockTable(k *block, body int) *collide.Table {
	slot := &k.tables[body]
	if t := slot.Load(); t != nil {
		return t
	}
	slot.CompareAndSwap(nil, collide.NewTable(k.body, w.bodies[body], 0, w.tol, 0, w.tables.cells))
	return slot.Load()
}

// blockMeasure is the graded overlap of a body at (x, y) with an obstacle.
func (w *world) blockMeasure(k *block, b *collide.Body, x, y float64) float64 {
	if k.ply {
		if b.Variant >= 0 && k.body.Variant >= 0 {
			return w.measure(k.body.Variant, b.Variant, x-k.x, y-k.y, false)
		}
		scale := collide.PairScale(k.body.Shape, b.Shape)
		return scale * collide.Measure(k.body, b, x-k.x, y-k.y, k.gap, w.tol, math.Inf(1))
	}
	if b.Variant >= 0 {
		return w.blockTable(k, b.Variant).Measure(x-k.x, y-k.y, false)
	}
	m := collide.ObstacleMeasure(k.body, b, x-k.x, y-k.y, w.tol)
	if m > 0 {
		m *= collide.PairScale(b.Shape, b.Shape)
	}
	return m
}
