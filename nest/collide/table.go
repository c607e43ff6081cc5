package collide

import (
	"math"
	"slices"

	"plyroom/shapes/steady"
)

// A Table answers Overlap and Measure for two bodies that never turn, over all
// relative translations of their centres, in a few nanoseconds.
//
// The translations at which two convex parts meet form an open convex polygon
// (the Minkowski sum of one and the mirrored other); those at which the plies
// meet are the union of these over all pairs of parts: the interior of the
// no-fit polygon. The table lays a grid over it. A cell knows that the plies
// are free everywhere in it, or meet everywhere (by more than any leeway), or it
// has a list of the edge lines of the convex polygons that cross it, which
// decide exactly. Slots of no width in which a ply just fits are kept, since the
// polygons are open.
//
// Most lookups wait for memory more than they compute, so nodes are small.
type Table struct {
	x0, y0 float64 // corner of the grid
	ix, iy float64 // cells per unit of length
	nx, ny int
	nodes  []tableNode // row by row, nx+1 in a row
	unit   float64     // of the nodes' values
	starts []int32     // of the lines of each crossed cell
	lines  []halfLine  // groups; the last of a group and of a cell marked
	tol    float64
	leeway float64 // how deep plies may sink where the asker is lenient
	least  float64 // floor: the measure must not vanish where plies meet
}

// A tableNode is a corner of the grid's cells: the measure there, and the state
// of the cell to its upper right: cellFree, cellMeets, or crossed, counted from
// cellCrossed.
type tableNode struct{ value, state uint16 }

const (
	cellFree    = 0
	cellMeets   = 1
	cellCrossed = 2
)

// maxTableCells is the most cells along a side: all may be crossed.
const maxTableCells = 255

// halfLine bounds a convex polygon: inside is where nx·x + ny·y < c.
type halfLine struct {
	nx, ny, c float64
	end       uint8 // endGroup, endCell
}

const (
	endGroup = 1
	endCell  = 2
)

// cornerTurn is the largest turn, in radians, at which the corner of a polygon
// widened by the gap stays one sharp corner; larger turns are cut by tangents
// of the arc. A right angle stays sharp.
const cornerTurn = math.Pi/2 + 1e-9

// tablePoles is how many circles of each ply the tables are filled with.
const tablePoles = 10

// convexSum is the set of translations at which two parts meet.
type convexSum struct {
	lines  []halfLine
	box    Box
	angles []float64 // scratch
}

// sumBox is the bounding box of the sum of two parts.
func sumBox(a *Body, i int, b *Body, j int, gap float64) Box {
	return Box{
		MinX: a.Boxes[i].MinX - b.Boxes[j].MaxX - gap, MaxX: a.Boxes[i].MaxX - b.Boxes[j].MinX + gap,
		MinY: a.Boxes[i].MinY - b.Boxes[j].MaxY - gap, MaxY: a.Boxes[i].MaxY - b.Boxes[j].MinY + gap,
	}
}

// make builds the translations (b relative to a) at which part i of a and part
// j of b come closer than gap: an outer approximation of the rounded corners.
func (s *convexSum) make(a *Body, i int, b *Body, j int, gap float64) {
	s.box = sumBox(a, i, b, j, gap)
	s.lines = s.lines[:0]
	a0, a1 := a.Shape.Start[i], a.Shape.Start[i+1]
	b0, b1 := b.Shape.Start[j], b.Shape.Start[j+1]
	line := func(nx, ny float64) {
		far, low := math.Inf(-1), math.Inf(1)
		for k := a0; k < a1; k++ {
			far = max(far, float64(nx*a.X[k])+float64(ny*a.Y[k]))
		}
		for k := b0; k < b1; k++ {
			low = min(low, float64(nx*b.X[k])+float64(ny*b.Y[k]))
		}
		s.lines = append(s.lines, halfLine{nx, ny, far - low + gap, 0})
	}
	for k := a0; k < a1; k++ {
		line(a.NX[k], a.NY[k])
	}
	for k := b0; k < b1; k++ {
		line(-b.NX[k], -b.NY[k])
	}
	if gap <= 0 {
		return
	}
	s.angles = s.angles[:0]
	for _, l := range s.lines {
		s.angles = append(s.angles, steady.Atan2(l.ny, l.nx))
	}
	slices.Sort(s.angles)
	n := len(s.angles)
	for k := range n {
		from, to := s.angles[k], s.angles[(k+1)%n]
		if k == n-1 {
			to += 2 * math.Pi
		}
		if turn := to - from; turn > cornerTurn {
			steps := math.Ceil(turn / (math.Pi / 4))
			for q := 1.0; q < steps; q++ {
				sin, cos := steady.Sincos(from + turn*q/steps)
				line(cos, sin)
			}
		}
	}
}

// NewTable prepares the table of a and b on a grid of about cells × cells. Plies
// that sink into each other by no more than tol are apart; leeway is the depth
// that Measure forgives when it is lenient. Both are lengths. A side has at most
// 255 cells.
func NewTable(a, b *Body, gap, tol, leeway float64, cells int) *Table {
	box := Box{
		MinX: a.Box.MinX - b.Box.MaxX - gap, MaxX: a.Box.MaxX - b.Box.MinX + gap,
		MinY: a.Box.MinY - b.Box.MaxY - gap, MaxY: a.Box.MaxY - b.Box.MinY + gap,
	}
	t := &Table{x0: box.MinX, y0: box.MinY, tol: tol, leeway: max(tol, leeway)}
	cells = min(cells, maxTableCells)
	t.nx, t.ny = cells, cells
	t.ix, t.iy = float64(t.nx)/box.Width(), float64(t.ny)/box.Height()
	t.classify(a, b, gap)
	t.fill(a, b, gap)
	return t
}

// classify sorts the cells into free, meeting and crossed.
//
// In one row of cells, the cells wholly outside a line and those wholly inside
// it are two rays; the cells wholly inside a polygon are an interval, and so
// are those not wholly outside some line. What lies between is crossed.
func (t *Table) classify(a, b *Body, gap float64) {
	t.nodes = make([]tableNode, (t.nx+1)*(t.ny+1))
	// A group is the active lines of one polygon in one cell; the groups of a
	// cell are chained.
	type group struct{ from, to, next int32 }
	head := make([]int32, len(t.nodes))
	groups := make([]group, 1, 512) // 0 ends a chain
	arena := make([]halfLine, 0, 1<<14)
	var sum convexSum
	extra := t.leeway - t.tol
	for _, pair := range partPairs(a, b) {
		box := sumBox(a, pair.i, b, pair.j, gap)
		r0, r1 := clampCell(float64((box.MinY-t.y0)*t.iy)-1e-6, t.ny), clampCell(float64((box.MaxY-t.y0)*t.iy)+1e-6, t.ny)
		c0, c1 := clampCell(float64((box.MinX-t.x0)*t.ix)-1e-6, t.nx), clampCell(float64((box.MaxX-t.x0)*t.ix)+1e-6, t.nx)
		made := false
		for r := r0; r <= r1; r++ {
			if t.allMeet(r, c0, c1) {
				continue
			}
			if !made {
				sum.make(a, pair.i, b, pair.j, gap)
				made = true
			}
			v := t.rowOf(&sum, r)
			for c := v.from; c <= v.to; c++ {
				at := t.node(c, r)
				if t.nodes[at].state == cellMeets {
					continue
				}
				if c >= v.insideFrom && c <= v.insideTo {
					t.nodes[at].state = cellMeets
					continue
				}
				from := len(arena)
				outside := false
				x, y := t.center(c, r)
				for _, l := range sum.lines {
					slack, reach := t.slack(&l, x, y)
					if slack <= -reach {
						outside = true
						break
					}
					if slack-extra < reach {
						arena = append(arena, l)
					}
				}
				switch {
				case outside:
					arena = arena[:from]
				case len(arena) == from:
					t.nodes[at].state = cellMeets
				default:
					arena[len(arena)-1].end = endGroup
					groups = append(groups, group{int32(from), int32(len(arena)), head[at]})
					head[at] = int32(len(groups) - 1)
				}
			}
		}
	}
	total := 0
	for at, g := range head {
		if t.nodes[at].state == cellMeets {
			continue
		}
		for ; g != 0; g = groups[g].next {
			total += int(groups[g].to - groups[g].from)
		}
	}
	t.lines = make([]halfLine, 0, total)
	for at, g := range head {
		if g == 0 || t.nodes[at].state == cellMeets {
			continue
		}
		t.nodes[at].state = uint16(cellCrossed + len(t.starts))
		t.starts = append(t.starts, int32(len(t.lines)))
		for ; g != 0; g = groups[g].next {
			t.lines = append(t.lines, arena[groups[g].from:groups[g].to]...)
		}
		t.lines[len(t.lines)-1].end = endGroup | endCell
	}
}

// allMeet tells whether plies meet everywhere in a row's cells from c0 to c1.
func (t *Table) allMeet(r, c0, c1 int) bool {
	for c := c0; c <= c1; c++ {
		if t.nodes[t.node(c, r)].state != cellMeets {
			return false
		}
	}
	return true
}

// partPair is a part of each of two bodies.
type partPair struct {
	i, j int
	area float64
}

// partPairs lists all pairs of parts, those of the largest sums first: what they
// cover need not be looked at again.
func partPairs(a, b *Body) []partPair {
	out := make([]partPair, 0, len(a.Boxes)*len(b.Boxes))
	for i := range a.Boxes {
		for j := range b.Boxes {
			p, q := &a.Boxes[i], &b.Boxes[j]
			out = append(out, partPair{i, j, (p.Width() + q.Width()) * (p.Height() + q.Height())})
		}
	}
	slices.SortFunc(out, func(p, q partPair) int {
		switch {
		case p.area > q.area:
			return -1
		case p.area < q.area:
			return 1
		case p.i != q.i:
			return p.i - q.i
		}
		return p.j - q.j
	})
	return out
}

// center is the middle of a cell.
func (t *Table) center(c, r int) (x, y float64) {
	return t.x0 + (float64(c)+0.5)/t.ix, t.y0 + (float64(r)+0.5)/t.iy
}

// slack is how far inside a line the middle of a cell lies, and reach by how
// much that varies over the cell, widened a little against the rounding of a
// lookup.
func (t *Table) slack(l *halfLine, x, y float64) (slack, reach float64) {
	const wider = 0.5 * (1 + 1e-6)
	return l.c - t.tol - float64(l.nx*x) - float64(l.ny*y), math.Abs(l.nx)*wider/t.ix + math.Abs(l.ny)*wider/t.iy
}

// rowSpan says which cells of a row are not wholly outside a polygon, and which
// are wholly inside. It errs towards cells that are looked at more closely.
type rowSpan struct{ from, to, insideFrom, insideTo int }

func (t *Table) rowOf(s *convexSum, r int) rowSpan {
	lo, hi := float64((s.box.MinX-t.x0)*t.ix)-0.5, float64((s.box.MaxX-t.x0)*t.ix)-0.5
	lo, hi = lo-0.51, hi+0.51 // of middles, in cells
	inLo, inHi := math.Inf(-1), math.Inf(1)
	_, y := t.center(0, r)
	extra := t.leeway - t.tol
	for k := range s.lines {
		l := &s.lines[k]
		slack, reach := t.slack(l, t.x0+0.5/t.ix, y)
		step := l.nx / t.ix // slack lost per cell
		if math.Abs(step) < 1e-9*reach {
			if slack-extra < reach {
				inHi = math.Inf(-1)
			}
			continue
		}
		out, in := (slack+reach)/step, (slack-extra-reach)/step
		if step > 0 {
			hi, inHi = min(hi, out+1e-6), min(inHi, in-1e-6)
		} else {
			lo, inLo = max(lo, out-1e-6), max(inLo, in+1e-6)
		}
	}
	v := rowSpan{from: max(0, ceilInt(lo)), to: min(t.nx-1, floorInt(hi))}
	v.insideFrom, v.insideTo = max(v.from, ceilInt(inLo)), min(v.to, floorInt(inHi))
	return v
}

// ceilInt and floorInt keep infinities within the range of any grid.
func ceilInt(v float64) int  { return int(math.Ceil(max(-1e6, min(1e6, v)))) }
func floorInt(v float64) int { return int(math.Floor(max(-1e6, min(1e6, v)))) }

func clampCell(v float64, n int) int {
	if !(v > 0) {
		return 0
	}
	return min(int(v), n-1)
}

// fill computes the measure at the corners of all cells that are not free. An
// obstacle, which has no poles, comes as a.
func (t *Table) fill(a, b *Body, gap float64) {
	scale := PairScale(a.Shape, b.Shape)
	obstacle := len(a.Poles) == 0
	if obstacle {
		scale = PairScale(b.Shape, b.Shape)
	}
	t.least = scale * 1e-3 * b.Shape.Diameter
	value := make([]float64, len(t.nodes))
	for i := range value {
		value[i] = -1
	}
	most := 0.0
	for r := range t.ny {
		for c := range t.nx {
			if t.nodes[t.node(c, r)].state == cellFree {
				continue
			}
			for k := range 4 {
				cc, cr := c+k%2, r+k/2
				v := &value[t.node(cc, cr)]
				if *v >= 0 {
					continue
				}
				x, y := t.x0+float64(cc)/t.ix, t.y0+float64(cr)/t.iy
				if obstacle {
					*v = ObstacleMeasure(a, b, x, y, t.tol)
				} else {
					*v, _ = circles(a, b, tablePoles, x, y, gap, math.Inf(1))
				}
				*v *= scale
				most = max(most, *v)
			}
		}
	}
	if most == 0 {
		return
	}
	t.unit = most / math.MaxUint16
	for i, v := range value {
		if v > 0 {
			t.nodes[i].value = uint16(v/t.unit + 0.5)
		}
	}
}

// node is the index of a cell's lower left corner.
func (t *Table) node(c, r int) int { return r*(t.nx+1) + c }

// Measure is the graded overlap with b's centre at (tx, ty) relative to a's,
// PairScale included. Lenient, it is zero also where the plies would be apart
// with each edge drawn in by the table's leeway.
func (t *Table) Measure(tx, ty float64, lenient bool) float64 {
	m, _, _ := t.Slope(tx, ty, lenient)
	return m
}

// Slope is Measure and its derivatives by tx and by ty, within the cell of the
// grid; they are 0 where the measure is, and some values where it is at its
// floor.
func (t *Table) Slope(tx, ty float64, lenient bool) (m, dx, dy float64) {
	u, v := float64((tx-t.x0)*t.ix), float64((ty-t.y0)*t.iy)
	if !(u > 0 && v > 0) {
		return 0, 0, 0
	}
	c, r := int(u), int(v)
	if c >= t.nx || r >= t.ny {
		return 0, 0, 0
	}
	at := t.node(c, r)
	low := t.nodes[at : at+2 : at+2]
	if low[0].state == cellFree {
		return 0, 0, 0
	}
	if low[0].state >= cellCrossed {
		tol := t.tol
		if lenient {
			tol = t.leeway
		}
		if !t.meets(int(t.starts[low[0].state-cellCrossed]), tx, ty, tol) {
			return 0, 0, 0
		}
	}
	at += t.nx + 1
	high := t.nodes[at : at+2 : at+2]
	u -= float64(c)
	v -= float64(r)
	l0, h0 := float64(low[0].value), float64(high[0].value)
	dl, dh := float64(low[1].value)-l0, float64(high[1].value)-h0
	lo := l0 + float64(u*dl)
	hi := h0 + float64(u*dh)
	m = max((lo+float64(v*(hi-lo)))*t.unit, t.least)
	return m, (dl + float64(v*(dh-dl))) * t.unit * t.ix, (hi - lo) * t.unit * t.iy
}

// Overlap is the judge's answer from the table.
func (t *Table) Overlap(tx, ty float64) bool {
	u, v := float64((tx-t.x0)*t.ix), float64((ty-t.y0)*t.iy)
	if !(u > 0 && v > 0) {
		return false
	}
	c, r := int(u), int(v)
	if c >= t.nx || r >= t.ny {
		return false
	}
	k := t.nodes[t.node(c, r)].state
	return k == cellMeets || k >= cellCrossed && t.meets(int(t.starts[k-cellCrossed]), tx, ty, t.tol)
}

// meets decides in a crossed cell: inside all lines of some group.
func (t *Table) meets(k int, tx, ty, tol float64) bool {
	for {
		l := &t.lines[k]
		if l.c-tol <= float64(l.nx*tx)+float64(l.ny*ty) {
			// Outside this polygon: on to the next group.
			for l.end == 0 {
				k++
				l = &t.lines[k]
			}
			if l.end&endCell != 0 {
				return false
			}
			k++
			continue
		}
		if l.end != 0 {
			return true
		}
		k++
	}
}

// Bytes is the memory the table holds.
func (t *Table) Bytes() int {
	return 4*len(t.nodes) + 4*len(t.starts) + 32*len(t.lines)
}
