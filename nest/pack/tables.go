package pack

import (
	"math"
	"sync/atomic"

	"plyroom/nest/collide"
)

// pairTables holds the tables of pairs of bodies that never turn. One table
// serves all pairs that are the same scene seen from another side: both bodies
// turned by the same quarter turns, or one body and the other changing places.
type pairTables struct {
	stride int // bodies
	// slot says, for a pair of bodies, which table serves and by how many
	// quarter turns the translation is to be turned first: 4·table + turns.
	slot   []int32
	made   []atomic.Pointer[collide.Table]
	first  []int32 // the bodies a table is made for
	second []int32
	cells  int
}

// tableBudget is the most memory, in bytes, for pair tables; tableCells the
// finest grid and leastCells the coarsest that is of use.
const (
	tableBudget = 384 << 20
	tableCells  = 32
	leastCells  = 16
	// bytesPerCell is what a cell takes, lines of crossed cells included.
	bytesPerCell = 30
)

// numberBodies numbers the bodies that never turn and plans their tables.
func (w *world) numberBodies() {
	type key struct {
		kind     int
		mirrored bool
		degrees  float64
	}
	at := map[key]int{}
	for i := range w.kinds {
		k := &w.kinds[i]
		if k.turns || k.count == 0 {
			continue
		}
		for _, b := range k.variants {
			b.Variant = len(w.bodies)
			at[key{i, b.Mirrored, fullTurn(b.Degrees)}] = len(w.bodies)
			w.bodies = append(w.bodies, b)
		}
	}
	n := len(w.bodies)
	t := &w.tables
	t.cells = tableCells
	bytes := func() int { return n * (n + 1) / 2 * t.cells * t.cells * bytesPerCell }
	for t.cells > leastCells && bytes() > tableBudget {
		t.cells -= 4
	}
	if bytes() > tableBudget {
		// Too many for tables at any useful grid.
		for _, b := range w.bodies {
			b.Variant = -1
		}
		w.bodies, n = nil, 0
	}
	t.stride = n
	// turned[4·v+q] is body v turned back by q quarters, -1 if there is none.
	turned := make([]int, 4*n)
	for i := range w.kinds {
		for _, b := range w.kinds[i].variants {
			if b.Variant < 0 {
				continue
			}
			for q := range 4 {
				v, ok := at[key{i, b.Mirrored, fullTurn(b.Degrees - float64(90*q))}]
				if !ok {
					v = -1
				}
				turned[4*b.Variant+q] = v
			}
		}
	}
	t.plan(turned)
	w.scale = make([]float64, len(w.kinds)*len(w.kinds))
	for i := range w.kinds {
		for j := range w.kinds {
			w.scale[i*len(w.kinds)+j] = collide.PairScale(w.kinds[i].shape, w.kinds[j].shape)
		}
	}
}

// fullTurn brings an angle into [0, 360).
func fullTurn(deg float64) float64 {
	d := math.Mod(deg, 360)
	if d < 0 {
		d += 360
	}
	if d >= 360 {
		d = 0
	}
	return d
}

// plan assigns slots: of all views of a pair, the one with the least body
// numbers has the table.
func (t *pairTables) plan(turned []int) {
	n := t.stride
	t.slot = make([]int32, n*n)
	index := map[[2]int]int32{}
	for a := range n {
		for b := range n {
			best, turns := [2]int{a, b}, 0
			for q := range 4 {
				p, s := turned[4*a+q], turned[4*b+q]
				if p < 0 || s < 0 {
					continue
				}
				// Turning the scene back by q quarters turns the translation
				// back; changing places reverses it.
				if v := [2]int{p, s}; v[0] < best[0] || v[0] == best[0] && v[1] < best[1] {
					best, turns = v, (4-q)%4
				}
				if v := [2]int{s, p}; v[0] < best[0] || v[0] == best[0] && v[1] < best[1] {
					best, turns = v, (6-q)%4
				}
			}
			i, ok := index[best]
			if !ok {
				i = int32(len(t.first))
				index[best] = i
				t.first, t.second = append(t.first, int32(best[0])), append(t.second, int32(best[1]))
			}
			t.slot[a*n+b] = i<<2 | int32(turns)
		}
	}
	t.made = make([]atomic.Pointer[collide.Table], len(t.first))
}

// tableAfter is how often a stream has to ask for a pair of bodies before it
// uses a table: making one costs as much as some hundreds to thousands of
// measures without, and in a job of many kinds most pairs hardly meet.
// gatheredAsks is what a list of neighbours counts for.
const (
	tableAfter   = 500
	gatheredAsks = 10
)

// table is the table that serves for two bodies, and by how many quarter turns
// the translation is to be turned first. It is nil until the state has asked
// often enough; asks says how often this time.
func (s *state) table(a, b int, asks uint16) (*collide.Table, int32) {
	t := &s.w.tables
	e := t.slot[a*t.stride+b]
	if n := &s.asked[e>>2]; *n < tableAfter {
		*n += asks
		return nil, 0
	}
	return s.w.slot(e), e & 3
}

// slot is the table of a slot, made if need be.
func (w *world) slot(e int32) *collide.Table {
	if tab := w.tables.made[e>>2].Load(); tab != nil {
		return tab
	}
	return w.makeTable(int(e >> 2))
}

// measure is the graded overlap, by a table, of body b with body a at the
// origin, b at (x, y); see collide.Table for lenient.
func (w *world) measure(a, b int, x, y float64, lenient bool) float64 {
	e := w.tables.slot[a*w.tables.stride+b]
	x, y = turned(x, y, e&3)
	return w.slot(e).Measure(x, y, lenient)
}

// turned is a translation turned by quarter turns.
func turned(x, y float64, quarters int32) (float64, float64) {
	switch quarters {
	case 1:
		return -y, x
	case 2:
		return -x, -y
	case 3:
		return y, -x
	}
	return x, y
}

// makeTable fills a slot. Whoever comes first, the contents are the same.
func (w *world) makeTable(i int) *collide.Table {
	t := &w.tables
	a, b := w.bodies[t.first[i]], w.bodies[t.second[i]]
	leeway := leewayShare * math.Min(a.Shape.Diameter, b.Shape.Diameter)
	tab := collide.NewTable(a, b, w.gap, w.tol, leeway, t.cells)
	t.made[i].CompareAndSwap(nil, tab)
	return t.made[i].Load()
}
