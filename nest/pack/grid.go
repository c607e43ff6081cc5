package pack

import (
	"slices"

	"plyroom/nest/collide"
)

// A grid knows which items' boxes touch each of its square cells.
type grid struct {
	inv        float64 // cells per unit
	cols, rows int
	cell       [][]int32 // column by column
}

// init sizes the cells after the typical ply.
func (g *grid) init(w *world, n int) {
	var size []float64
	for _, k := range w.items {
		b := &w.kinds[k].variants[0].Box
		size = append(size, (b.Width()+b.Height())/2)
	}
	side := w.width
	if n > 0 {
		slices.Sort(size)
		side = size[len(size)/2] * 0.8
	}
	side = max(side, w.width/64)
	g.inv = 1 / side
	g.rows = int(w.width*g.inv) + 1
	g.widen(1)
}

func (g *grid) clear() {
	for i := range g.cell {
		g.cell[i] = g.cell[i][:0]
	}
}

func (g *grid) widen(cols int) {
	for g.cols < cols {
		for range g.rows {
			g.cell = append(g.cell, make([]int32, 0, 8))
		}
		g.cols++
	}
}

// span is the range of cells a box touches, within the cells there are.
func (g *grid) span(b *collide.Box) (c0, c1, r0, r1 int) {
	return g.clamp(b.MinX, g.cols), g.clamp(b.MaxX, g.cols), g.clamp(b.MinY, g.rows), g.clamp(b.MaxY, g.rows)
}

func (g *grid) clamp(v float64, n int) int {
	v *= g.inv
	if !(v > 0) {
		return 0
	}
	if v >= float64(n) {
		return n - 1
	}
	return int(v)
}

func (g *grid) add(i int32, b *collide.Box) {
	if need := int(b.MaxX*g.inv) + 1; need > g.cols {
		g.widen(need)
	}
	c0, c1, r0, r1 := g.span(b)
	for c := c0; c <= c1; c++ {
		for r := r0; r <= r1; r++ {
			at := c*g.rows + r
			g.cell[at] = append(g.cell[at], i)
		}
	}
}

func (g *grid) remove(i int32, b *collide.Box) {
	c0, c1, r0, r1 := g.span(b)
	for c := c0; c <= c1; c++ {
		for r := r0; r <= r1; r++ {
			at := c*g.rows + r
			l := g.cell[at]
			for k, v := range l {
				if v == i {
					l[k] = l[len(l)-1]
					g.cell[at] = l[:len(l)-1]
					break
				}
			}
		}
	}
}
