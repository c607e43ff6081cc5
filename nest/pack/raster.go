package pack

import (
	"math"
	"math/bits"

	"plyroom/nest/collide"
)

// A raster is the strip as columns of bits, one bit per square cell; a bit is
// set where some ply or obstacle may reach into the cell. Whatever keeps to
// clear cells certainly overlaps nothing. The grid starts one gap before the
// start and beside the lower edge of the strip, and ends one gap past the upper
// edge, so that plies widened by the gap may hang over the edges, where no gap
// is kept.
type raster struct {
	cell  float64 // side of a cell
	gap   float64
	rows  int
	words int // per column
	occ   []uint64
	limit int // columns, where the length is limited
	tmp   []uint64
	tmp2  []uint64
	deny  []uint64
	raw   []run   // scratch
	sort  []int32 // scratch
}

// A stencil is a body as runs of cells per column, its bounding box (widened by
// the gap) starting at a cell's corner.
type stencil struct {
	cols, rows int
	runs       []run
	dx, dy     float64 // from the corner of the first cell to the body's centre
}

type run struct{ col, from, to int32 }

func newRaster(cell float64, rows int, gap, maxLength float64) *raster {
	r := &raster{cell: cell, rows: rows, gap: gap, limit: math.MaxInt}
	r.words = (r.rows + 63) / 64
	if maxLength > 0 {
		r.limit = int((maxLength+2*gap)/cell + 1e-9)
	}
	r.tmp, r.tmp2, r.deny = make([]uint64, r.words), make([]uint64, r.words), make([]uint64, r.words)
	return r
}

func (r *raster) column(c int) []uint64 {
	for len(r.occ) < (c+1)*r.words {
		r.occ = append(r.occ, make([]uint64, 256*r.words)...)
	}
	return r.occ[c*r.words : (c+1)*r.words]
}

// stencilOf covers a body, widened by gap all around, with cells when the
// widened box's lower corner lies (offX, offY) past a cell corner. Its runs are
// good until the next call; searched keeps them.
func (r *raster) stencilOf(b *collide.Body, gap, offX, offY float64) *stencil {
	h := r.cell
	s := &stencil{dx: offX + gap - b.Box.MinX, dy: offY + gap - b.Box.MinY}
	const eps = 1e-9 // in cells: touching a cell's border is not entering it
	s.cols = int(math.Ceil((offX+b.Box.Width()+2*gap)/h - eps))
	s.rows = int(math.Ceil((offY+b.Box.Height()+2*gap)/h - eps))
	if s.cols < 1 {
		s.cols = 1
	}
	if s.rows < 1 {
		s.rows = 1
	}
	s.runs = r.cover(b, s, gap)
	return s
}

// cover lists the cells of a stencil, part by part. The list is good until the
// next call.
func (r *raster) cover(b *collide.Body, s *stencil, gap float64) []run {
	h := r.cell
	const eps = 1e-9
	raw := r.raw[:0]
	for k := range b.Boxes {
		lo, hi := int(b.Shape.Start[k]), int(b.Shape.Start[k+1])
		box := &b.Boxes[k]
		c0 := int(math.Floor((box.MinX+s.dx-gap)/h + eps))
		c1 := int(math.Ceil((box.MaxX+s.dx+gap)/h-eps)) - 1
		for c := max(c0, 0); c <= min(c1, s.cols-1); c++ {
			// The part within [x0, x1], widened by the gap.
			x0, x1 := float64(float64(c)*h)-s.dx-gap, float64(float64(c+1)*h)-s.dx+gap
			bottom, top := math.Inf(1), math.Inf(-1)
			for i := lo; i < hi; i++ {
				j := i + 1
				if j == hi {
					j = lo
				}
				ax, ay, bx, by := b.X[i], b.Y[i], b.X[j], b.Y[j]
				if ax > bx {
					ax, ay, bx, by = bx, by, ax, ay
				}
				if bx < x0 || ax > x1 {
					continue
				}
				ya, yb := ay, by
				if ax < x0 {
					ya = ay + float64((by-ay)*((x0-ax)/(bx-ax)))
				}
				if bx > x1 {
					yb = ay + float64((by-ay)*((x1-ax)/(bx-ax)))
				}
				bottom, top = min(bottom, ya, yb), max(top, ya, yb)
			}
			if bottom > top {
				continue
			}
			from := int32(math.Floor((bottom-gap+s.dy)/h + eps))
			to := int32(math.Ceil((top+gap+s.dy)/h - eps))
			from, to = max(from, 0), min(to, int32(s.rows))
			if to > from {
				raw = append(raw, run{int32(c), from, to})
			}
		}
	}
	r.raw = raw
	return raw
}

// searched is a stencil made ready for looking for room.
func (r *raster) searched(s *stencil) *stencil {
	s.runs = spreadOut(r.mergeRuns(s.runs, s.cols))
	return s
}

// spreadOut reorders runs so that the first few of them lie far apart: a place
// that is taken is then found out by a few runs.
func spreadOut(in []run) []run {
	width := bits.Len(uint(max(len(in)-1, 1)))
	out := make([]run, 0, len(in))
	for i := range 1 << width {
		if j := int(bits.Reverse(uint(i)) >> (bits.UintSize - width)); j < len(in) {
			out = append(out, in[j])
		}
	}
	return out
}

// mergeRuns unites overlapping and adjacent runs of a column, of which there
// are cols. Runs come in order of column, part by part, so they are counted into
// their columns and sorted within each.
func (r *raster) mergeRuns(raw []run, cols int) []run {
	at := append(r.sort[:0], make([]int32, cols+1)...)
	r.sort = at
	for _, v := range raw {
		at[v.col+1]++
	}
	for c := range cols {
		at[c+1] += at[c]
	}
	sorted := make([]run, len(raw))
	for _, v := range raw {
		k := at[v.col]
		at[v.col]++
		for k > 0 && sorted[k-1].col == v.col && sorted[k-1].from > v.from {
			sorted[k] = sorted[k-1]
			k--
		}
		sorted[k] = v
	}
	out := sorted[:0]
	for _, v := range sorted {
		if n := len(out); n > 0 && out[n-1].col == v.col && v.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, v.to)
			continue
		}
		out = append(out, v)
	}
	return out
}

// markBody sets the cells of a body whose bounding box on the strip is box.
func (r *raster) markBody(b *collide.Body, box *collide.Box) {
	x, y := box.MinX+r.gap, box.MinY+r.gap
	c, row := math.Floor(x/r.cell+1e-9), math.Floor(y/r.cell+1e-9)
	r.mark(r.stencilOf(b, 0, x-float64(c*r.cell), y-float64(row*r.cell)), int(c), int(row))
}

// mark sets the cells of a stencil whose first cell is (c, row); cells outside
// the strip are left out.
func (r *raster) mark(s *stencil, c, row int) {
	for _, v := range s.runs {
		col := c + int(v.col)
		if col < 0 {
			continue
		}
		from, to := max(row+int(v.from), 0), min(row+int(v.to), r.rows)
		if from < to {
			setBits(r.column(col), from, to)
		}
	}
}

func setBits(w []uint64, from, to int) {
	for from < to {
		i, b := from>>6, from&63
		n := min(64-b, to-from)
		w[i] |= (^uint64(0) >> (64 - n)) << b
		from += n
	}
}

// firstRow is the lowest row at which the stencil fits with its first cell in
// column c, or with top set the highest; -1 where there is none. For every run
// at once, the blocked rows are the column smeared downwards by the run's
// length.
func (r *raster) firstRow(s *stencil, c int, top bool) int {
	free := r.rows - s.rows
	if free < 0 || c+s.cols > r.limit {
		return -1
	}
	// Rows above the last one the stencil fits at are denied from the start.
	deny := r.deny
	for i := range deny {
		deny[i] = 0
		if lo := i << 6; lo > free {
			deny[i] = ^uint64(0)
		} else if free-lo < 63 {
			deny[i] = ^uint64(0) << (free - lo + 1)
		}
	}
	for k, v := range s.runs {
		r.blocked(r.column(c+int(v.col)), int(v.from), int(v.to))
		full := true
		for i := range deny {
			deny[i] |= r.tmp[i]
			full = full && deny[i] == ^uint64(0)
		}
		if full {
			// What blocks here most likely blocks in the next column too.
			copy(s.runs[1:k+1], s.runs[:k])
			s.runs[0] = v
			return -1
		}
	}
	if top {
		for i := free >> 6; i >= 0; i-- {
			open := ^deny[i]
			if i == free>>6 {
				open &= ^uint64(0) >> (63 - free&63)
			}
			if open != 0 {
				return i<<6 + 63 - bits.LeadingZeros64(open)
			}
		}
		return -1
	}
	for i := 0; i <= free>>6; i++ {
		if open := ^deny[i]; open != 0 {
			if row := i<<6 + bits.TrailingZeros64(open); row <= free {
				return row
			}
			return -1
		}
	}
	return -1
}

// blocked leaves in tmp the rows y at which some bit of col in
// [y+from, y+to) is set.
func (r *raster) blocked(col []uint64, from, to int) {
	copy(r.tmp, col)
	for done, n := 1, to-from; done < n; {
		step := min(done, n-done)
		shiftDown(r.tmp2, r.tmp, step)
		for i := range r.tmp {
			r.tmp[i] |= r.tmp2[i]
		}
		done += step
	}
	if from > 0 {
		shiftDown(r.tmp2, r.tmp, from)
		r.tmp, r.tmp2 = r.tmp2, r.tmp
	}
}

// shiftDown moves bits towards bit 0.
func shiftDown(dst, src []uint64, by int) {
	w, b := by>>6, uint(by&63)
	for i := range dst {
		var v uint64
		if i+w < len(src) {
			v = src[i+w] >> b
			if b > 0 && i+w+1 < len(src) {
				v |= src[i+w+1] << (64 - b)
			}
		}
		dst[i] = v
	}
}
