package simplex

import "math"

const (
	// pivotThreshold is how large a pivot must be beside the largest entry
	// of its row.
	pivotThreshold = 0.1
	// dropTolerance is the size below which an entry of the matrix being
	// eliminated is taken for zero; the coefficients are of size 1.
	dropTolerance = 1e-13
	// searchLimit is how many rows and columns are looked at for a pivot.
	searchLimit = 4
)

// factors is a sparse LU factorisation of a square matrix. Its columns are the
// positions of a basis, its rows the variables.
type factors struct {
	n int

	// Elimination steps: row lRow[e] loses lVal[e] times row lPivot[s].
	lPivot []int32
	lStart []int32
	lRow   []int32
	lVal   []float64

	// Pivots in order, and the upper triangle by rows and by columns.
	pivotRow, pivotCol []int32
	pivotVal           []float64
	uRowStart          []int32
	uRowCol            []int32
	uRowVal            []float64
	uColStart          []int32
	uColRow            []int32
	uColVal            []float64

	// The matrix being eliminated: rows with values, columns as patterns.
	rowCol  [][]int32
	rowVal  [][]float64
	colRow  [][]int32
	rows    buckets
	cols    buckets
	place   []int32 // column to index in the row at hand, plus one
	counter []int32
}

// sparseColumn returns the rows and values of a column's entries.
type sparseColumn func(position int) (rows []int32, vals []float64)

// factor computes the factorisation of the n×n matrix with the given columns.
// It returns how many pivots it found; with fewer than n, the columns and rows
// without a pivot are those that unpivoted returns.
func (f *factors) factor(n int, column sparseColumn) int {
	f.load(n, column)
	for len(f.pivotRow) < n {
		r, c := f.choosePivot()
		if r < 0 {
			return len(f.pivotRow)
		}
		f.eliminate(r, c)
	}
	f.transposeUpper()
	return n
}

func (f *factors) load(n int, column sparseColumn) {
	f.n = n
	f.lPivot, f.lRow, f.lVal = f.lPivot[:0], f.lRow[:0], f.lVal[:0]
	f.lStart = append(f.lStart[:0], 0)
	f.pivotRow, f.pivotCol, f.pivotVal = f.pivotRow[:0], f.pivotCol[:0], f.pivotVal[:0]
	f.uRowCol, f.uRowVal = f.uRowCol[:0], f.uRowVal[:0]
	f.uRowStart = append(f.uRowStart[:0], 0)
	if len(f.rowCol) < n {
		f.rowCol = make([][]int32, n)
		f.rowVal = make([][]float64, n)
		f.colRow = make([][]int32, n)
		f.place = make([]int32, n)
	}
	for i := range n {
		f.rowCol[i] = f.rowCol[i][:0]
		f.rowVal[i] = f.rowVal[i][:0]
		f.colRow[i] = f.colRow[i][:0]
	}
	for c := range n {
		rows, vals := column(c)
		for e, r := range rows {
			f.rowCol[r] = append(f.rowCol[r], int32(c))
			f.rowVal[r] = append(f.rowVal[r], vals[e])
			f.colRow[c] = append(f.colRow[c], r)
		}
	}
	f.rows.reset(n)
	f.cols.reset(n)
	for i := range n {
		f.rows.insert(int32(i), len(f.rowCol[i]))
		f.cols.insert(int32(i), len(f.colRow[i]))
	}
}

// choosePivot returns the row and column of an entry with few others beside it
// (Markowitz' count) that is not small in its row, or -1 where none is left.
func (f *factors) choosePivot() (row, col int32) {
	row, col = -1, -1
	best := math.MaxInt
	looked := 0
	for count := 1; count <= f.n; count++ {
		if best <= (count-1)*(count-1) {
			break
		}
		for c := f.cols.head[count]; c >= 0; c = f.cols.next[c] {
			for _, r := range f.colRow[c] {
				cost := (len(f.rowCol[r]) - 1) * (count - 1)
				if cost < best && f.large(r, c) {
					best, row, col = cost, r, c
				}
			}
			if looked++; row >= 0 && (looked >= searchLimit || best <= (count-1)*(count-1)) {
				return row, col
			}
		}
		for r := f.rows.head[count]; r >= 0; r = f.rows.next[r] {
			limit := f.rowMax(r) * pivotThreshold
			for e, c := range f.rowCol[r] {
				cost := (len(f.colRow[c]) - 1) * (count - 1)
				if cost < best && math.Abs(f.rowVal[r][e]) >= limit {
					best, row, col = cost, r, c
				}
			}
			if looked++; row >= 0 && (looked >= searchLimit || best <= count*(count-1)) {
				return row, col
			}
		}
	}
	return row, col
}

func (f *factors) rowMax(r int32) float64 {
	largest := 0.0
	for _, v := range f.rowVal[r] {
		largest = max(largest, math.Abs(v))
	}
	return largest
}

// large reports whether the entry in row r and column c may be a pivot.
func (f *factors) large(r, c int32) bool {
	limit := f.rowMax(r) * pivotThreshold
	for e, k := range f.rowCol[r] {
		if k == c {
			return math.Abs(f.rowVal[r][e]) >= limit
		}
	}
	return false
}

// eliminate makes the entry in row p and column c the next pivot.
func (f *factors) eliminate(p, c int32) {
	f.rows.remove(p)
	f.cols.remove(c)
	var pivot float64
	for e, k := range f.rowCol[p] {
		if k == c {
			pivot = f.rowVal[p][e]
			continue
		}
		f.uRowCol = append(f.uRowCol, k)
		f.uRowVal = append(f.uRowVal, f.rowVal[p][e])
		f.dropFromColumn(k, p)
	}
	f.pivotRow = append(f.pivotRow, p)
	f.pivotCol = append(f.pivotCol, c)
	f.pivotVal = append(f.pivotVal, pivot)
	upper := int(f.uRowStart[len(f.uRowStart)-1])
	f.uRowStart = append(f.uRowStart, int32(len(f.uRowCol)))

	eliminated := false
	for _, r := range f.colRow[c] {
		if r == p {
			continue
		}
		cols, vals := f.rowCol[r], f.rowVal[r]
		for e, k := range cols {
			f.place[k] = int32(e) + 1
		}
		at := f.place[c] - 1
		factor := vals[at] / pivot
		vals[at] = 0
		for e := upper; e < len(f.uRowCol); e++ {
			k := f.uRowCol[e]
			change := float64(factor * f.uRowVal[e])
			if i := f.place[k]; i > 0 {
				vals[i-1] -= change
			} else {
				cols = append(cols, k)
				vals = append(vals, -change)
				f.place[k] = int32(len(cols))
				f.colRow[k] = append(f.colRow[k], r)
			}
		}
		kept := 0
		for e, k := range cols {
			f.place[k] = 0
			if k == c {
				continue
			}
			if math.Abs(vals[e]) < dropTolerance {
				f.dropFromColumn(k, r)
				continue
			}
			cols[kept], vals[kept] = k, vals[e]
			kept++
		}
		f.rowCol[r], f.rowVal[r] = cols[:kept], vals[:kept]
		f.rows.move(r, kept)
		f.lRow = append(f.lRow, r)
		f.lVal = append(f.lVal, factor)
		eliminated = true
	}
	if eliminated {
		f.lPivot = append(f.lPivot, p)
		f.lStart = append(f.lStart, int32(len(f.lRow)))
	}
	for e := upper; e < len(f.uRowCol); e++ {
		k := f.uRowCol[e]
		f.cols.move(k, len(f.colRow[k]))
	}
	f.colRow[c] = f.colRow[c][:0]
}

func (f *factors) dropFromColumn(c, r int32) {
	rows := f.colRow[c]
	for i, k := range rows {
		if k == r {
			rows[i] = rows[len(rows)-1]
			f.colRow[c] = rows[:len(rows)-1]
			f.cols.move(c, len(rows)-1)
			return
		}
	}
}

// transposeUpper stores the upper triangle by columns as well.
func (f *factors) transposeUpper() {
	n, entries := f.n, len(f.uRowCol)
	if cap(f.uColStart) < n+1 {
		f.uColStart = make([]int32, n+1)
		f.counter = make([]int32, n)
	}
	f.uColStart = f.uColStart[:n+1]
	f.counter = f.counter[:n]
	if cap(f.uColRow) < entries {
		f.uColRow = make([]int32, entries, 2*entries)
		f.uColVal = make([]float64, entries, 2*entries)
	}
	f.uColRow, f.uColVal = f.uColRow[:entries], f.uColVal[:entries]
	clear(f.counter)
	for _, c := range f.uRowCol {
		f.counter[c]++
	}
	f.uColStart[0] = 0
	for c := range n {
		f.uColStart[c+1] = f.uColStart[c] + f.counter[c]
		f.counter[c] = f.uColStart[c]
	}
	for k, r := range f.pivotRow {
		for e := f.uRowStart[k]; e < f.uRowStart[k+1]; e++ {
			c := f.uRowCol[e]
			f.uColRow[f.counter[c]] = r
			f.uColVal[f.counter[c]] = f.uRowVal[e]
			f.counter[c]++
		}
	}
}

// unpivoted lists the columns and the rows that an incomplete factorisation
// left without a pivot; there are as many of one as of the other.
func (f *factors) unpivoted() (cols, rows []int32) {
	rowDone, colDone := make([]bool, f.n), make([]bool, f.n)
	for k := range f.pivotRow {
		rowDone[f.pivotRow[k]], colDone[f.pivotCol[k]] = true, true
	}
	for i := range f.n {
		if !rowDone[i] {
			rows = append(rows, int32(i))
		}
		if !colDone[i] {
			cols = append(cols, int32(i))
		}
	}
	return cols, rows
}

// solve finds x with B·x = w; w is by rows and is used up, x is by columns.
func (f *factors) solve(w, x []float64) {
	for s, p := range f.lPivot {
		v := w[p]
		if v == 0 {
			continue
		}
		for e := f.lStart[s]; e < f.lStart[s+1]; e++ {
			w[f.lRow[e]] -= float64(f.lVal[e] * v)
		}
	}
	for k := f.n - 1; k >= 0; k-- {
		c := f.pivotCol[k]
		v := w[f.pivotRow[k]]
		if v == 0 {
			x[c] = 0
			continue
		}
		v /= f.pivotVal[k]
		x[c] = v
		for e := f.uColStart[c]; e < f.uColStart[c+1]; e++ {
			w[f.uColRow[e]] -= float64(f.uColVal[e] * v)
		}
	}
}

// solveTransposed finds x with Bᵀ·x = w; w is by columns and is used up, x is
// by rows.
func (f *factors) solveTransposed(w, x []float64) {
	for k := range f.n {
		r := f.pivotRow[k]
		v := w[f.pivotCol[k]]
		if v == 0 {
			x[r] = 0
			continue
		}
		v /= f.pivotVal[k]
		x[r] = v
		for e := f.uRowStart[k]; e < f.uRowStart[k+1]; e++ {
			w[f.uRowCol[e]] -= float64(f.uRowVal[e] * v)
		}
	}
	for s := len(f.lPivot) - 1; s >= 0; s-- {
		sum := 0.0
		for e := f.lStart[s]; e < f.lStart[s+1]; e++ {
			sum += float64(f.lVal[e] * x[f.lRow[e]])
		}
		x[f.lPivot[s]] -= sum
	}
}
