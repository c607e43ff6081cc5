package drawing

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes"
)

// mergeLines leaves out pieces drawn twice and straight lines that lie on
// other lines, and joins lines that overlap in part.
func (s *sheet) mergeLines(pieces []*piece) []*piece {
	pieces = s.dropCopies(pieces)
	tol := s.opt.Join
	ends := map[[2]int64]int{}
	key := func(p orb.Point) [2]int64 {
		return [2]int64{int64(math.Round(p[0] / tol)), int64(math.Round(p[1] / tol))}
	}
	for _, p := range pieces {
		ends[key(p.start())]++
		ends[key(p.end())]++
	}
	// alone reports whether only this end is here.
	alone := func(p orb.Point) bool {
		k := key(p)
		n := 0
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				n += ends[[2]int64{k[0] + dx, k[1] + dy}]
			}
		}
		return n <= 1
	}
	var tree rtree.RTreeG[*piece]
	box := func(l lineCurve) (lo, hi [2]float64) {
		return [2]float64{math.Min(l.a[0], l.b[0]) - tol, math.Min(l.a[1], l.b[1]) - tol},
			[2]float64{math.Max(l.a[0], l.b[0]) + tol, math.Max(l.a[1], l.b[1]) + tol}
	}
	work := 0
	gone := map[*piece]bool{}
	for _, p := range pieces {
		if work > mergeWork {
			break
		}
		l, ok := p.straight()
		if !ok {
			continue
		}
		for again := true; again; {
			again = false
			lo, hi := box(l)
			var hit *piece
			tree.Search(lo, hi, func(_, _ [2]float64, q *piece) bool {
				work++
				m, _ := q.straight()
				if overlap(l, m, tol) > 2*tol {
					hit = q
					return false
				}
				return work <= mergeWork
			})
			if hit == nil {
				break
			}
			m, _ := hit.straight()
			mlo, mhi := box(m)
			merged, how := mergeTwo(l, m, tol, alone)
			at := l.a
			switch how {
			case firstGone:
				gone[p] = true
				s.problem(shapes.Repair, p.from, &at, fmt.Sprintf("lies on %s and was left out", hit.from.label()), "")
			case secondGone:
				tree.Delete(mlo, mhi, hit)
				gone[hit] = true
				at = m.a
				s.problem(shapes.Repair, hit.from, &at, fmt.Sprintf("lies on %s and was left out", p.from.label()), "")
				again = true
			case joined:
				tree.Delete(mlo, mhi, hit)
				gone[hit] = true
				s.problem(shapes.Repair, p.from, &at, fmt.Sprintf("overlaps %s; the two were made one line", hit.from.label()), "")
				l = merged
				p.curves = []curve{l}
				again = true
			case trimmed:
				s.problem(shapes.Repair, p.from, &at, fmt.Sprintf("overlaps %s; the overlap was left out", hit.from.label()), "")
				l = merged
				p.curves = []curve{l}
				again = true
			}
		}
		if !gone[p] {
			lo, hi := box(l)
			tree.Insert(lo, hi, p)
		}
	}
	if work > mergeWork {
		s.problem(shapes.Doubt, nil, nil, "too many lines cross to look for every overlap", "")
	}
	kept := pieces[:0]
	for _, p := range pieces {
		if !gone[p] {
			kept = append(kept, p)
		}
	}
	return kept
}

// mergeWork bounds the comparisons of mergeLines.
const mergeWork = 30_000_000

// straight is the piece's line where it is one straight line.
func (p *piece) straight() (lineCurve, bool) {
	if len(p.curves) != 1 {
		return lineCurve{}, false
	}
	l, ok := p.curves[0].(lineCurve)
	return l, ok
}

// overlap is the length two lines run along each other within tol.
func overlap(l, m lineCurve, tol float64) float64 {
	if l.length() < m.length() {
		l, m = m, l
	}
	n := l.length()
	if n == 0 {
		return 0
	}
	u := mulPoint(sub(l.b, l.a), 1/n)
	// A hundredth of the tolerance would do for lines drawn on purpose; but
	// rounding in the file may be coarser.
	if math.Abs(cross(u, sub(m.a, l.a))) > tol || math.Abs(cross(u, sub(m.b, l.a))) > tol {
		return 0
	}
	t0, t1 := dot(u, sub(m.a, l.a)), dot(u, sub(m.b, l.a))
	if t0 > t1 {
		t0, t1 = t1, t0
	}
	if d := t1 - t0; d < 0.9*m.length() {
		return 0 // across, and no longer than the tolerance
	}
	return math.Min(t1, n) - math.Max(t0, 0)
}

type mergeHow int

const (
	firstGone mergeHow = iota
	secondGone
	joined
	trimmed
)

// mergeTwo merges overlapping lines l and m. Where the ends within the overlap
// are free the two become one; otherwise l loses what lies on m.
func mergeTwo(l, m lineCurve, tol float64, alone func(orb.Point) bool) (lineCurve, mergeHow) {
	u := mulPoint(sub(m.b, m.a), 1/m.length())
	t0, t1 := dot(u, sub(l.a, m.a)), dot(u, sub(l.b, m.a))
	if t0 > t1 {
		t0, t1 = t1, t0
		l.a, l.b = l.b, l.a
	}
	n := m.length()
	switch {
	case t0 >= -tol && t1 <= n+tol:
		return l, firstGone
	case t0 <= tol && t1 >= n-tol:
		return l, secondGone
	case t0 < 0: // l comes first
		if alone(l.b) && alone(m.a) {
			return lineCurve{l.a, m.b}, joined
		}
		return lineCurve{l.a, m.a}, trimmed
	}
	if alone(l.a) && alone(m.b) {
		return lineCurve{m.a, l.b}, joined
	}
	return lineCurve{m.b, l.b}, trimmed
}

// dropCopies leaves out pieces with the same ends, middle and length as an
// earlier one.
func (s *sheet) dropCopies(pieces []*piece) []*piece {
	type key [6]int64
	q := s.opt.Join
	seen := map[key]*piece{}
	out := pieces[:0]
	for _, p := range pieces {
		a, b, m := p.start(), p.end(), p.middle()
		if a[0] > b[0] || a[0] == b[0] && a[1] > b[1] {
			a, b = b, a
		}
		var k key
		for i, v := range []float64{a[0], a[1], b[0], b[1], m[0], m[1]} {
			k[i] = int64(math.Round(v / q))
		}
		if o := seen[k]; o != nil && math.Abs(o.length()-p.length()) <= q+float64(1e-6*p.length()) {
			at := p.start()
			s.problem(shapes.Repair, p.from, &at, fmt.Sprintf("is drawn twice (the other is %s); one was left out", o.from.label()), "")
			continue
		}
		seen[k] = p
		out = append(out, p)
	}
	return out
}

// middle is a place near the middle of the piece that does not depend on its
// direction.
func (p *piece) middle() orb.Point {
	n := len(p.curves)
	if n%2 == 0 {
		return p.curves[n/2].start()
	}
	switch c := p.curves[n/2].(type) {
	case arcCurve:
		return c.at((c.t0 + c.t1) / 2)
	case bezier:
		m, _ := c.state(0.5)
		return m
	case lineCurve:
		return lerp(c.a, c.b, 0.5)
	}
	return p.start()
}
