package drawing

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// nest sorts loops into outlines and their cut-outs: a loop inside an odd
// number of others is a cut-out of the smallest of them.
func (s *sheet) nest(loops []*loop) []*ply {
	order := slices.Clone(loops)
	slices.SortStableFunc(order, func(a, b *loop) int {
		switch {
		case a.area > b.area:
			return -1
		case a.area < b.area:
			return 1
		}
		return a.first - b.first
	})
	var tree rtree.RTreeG[int]
	depth := make([]int, len(order))
	owner := make([]*ply, len(order))
	var plies []*ply
	work := 0
	limit := nestWork + 20*nestVertices*len(order)
	for i, l := range order {
		parent := -1
		// Candidates are larger and come earlier; the smallest that contains
		// the loop is the one with the highest index.
		tree.Search(l.bound.Min, l.bound.Max, func(_, _ [2]float64, j int) bool {
			if work++; j <= parent || work > limit {
				return work <= limit
			}
			work += nestVertices
			in, out := s.inside(l, order[j])
			if in && out {
				at := l.ring[0]
				s.problem(shapes.Doubt, l.from, &at, "crosses "+order[j].from.label(), "move the plies apart, or read each layer by itself")
			} else if in {
				parent = j
			}
			return true
		})
		if work > limit {
			s.halt(l.from.line, "too many outlines lie over one another", "split the drawing, or read each layer by itself")
			return nil
		}
		if parent >= 0 {
			depth[i] = depth[parent] + 1
		}
		tree.Insert(l.bound.Min, l.bound.Max, i)
		if depth[i]%2 == 0 {
			p := &ply{outer: l, first: l.first}
			owner[i] = p
			plies = append(plies, p)
			continue
		}
		p := owner[parent]
		p.holes = append(p.holes, l)
		r, at, crossed := s.flatten(reversedCurves(l.curves))
		if s.halted {
			return nil
		}
		if crossed || len(r) < 3 {
			s.localFault(l.curves, l.from, at, "the cut-out crosses or touches itself", "draw it so that it does not")
			continue
		}
		p.holeR = append(p.holeR, r)
		x := newIndexed(r)
		p.holeX = append(p.holeX, x)
		b := geom.Bound(r)
		p.holeT.Insert(b.Min, b.Max, x)
	}
	for _, p := range plies {
		s.checkHoles(p)
		s.checkLettering(p)
	}
	return plies
}

// nestVertices is how many vertices of a loop are looked at to tell where it
// lies; nestWork bounds those looked at, and twenty loops about every loop are
// free.
const (
	nestVertices = 24
	nestWork     = 2_000_000
)

// inside reports whether some of l's vertices lie inside m, and whether some
// lie outside. Vertices on the boundary decide nothing.
func (s *sheet) inside(l, m *loop) (in, out bool) {
	if !within(l.bound, m.bound, 2*s.opt.Chord+s.opt.Join) {
		// It reaches out of the box of m; it crosses where it also reaches in.
		out = true
	}
	step := max(1, len(l.ring)/nestVertices)
	look := func(tol float64) {
		for i := 0; i < len(l.ring) && !(in && out); i += step {
			p := l.ring[i]
			at := m.body.position(p)
			if at == geom.OnBoundary || tol > 0 && m.body.near(p, tol) {
				continue
			}
			in = in || at == geom.Inside
			out = out || at == geom.Outside
		}
	}
	reaches := out
	if look(0); in && out {
		// Vertices that only rounding puts on the wrong side decide nothing.
		in, out = false, reaches
		look(s.opt.Chord + s.opt.Join)
	}
	if !in && !out {
		// All on the boundary: decide by the widest place.
		c, _ := geom.Pole(l.ring, nil, 0)
		in = m.body.position(c) == geom.Inside
	}
	return in, out
}

func within(a, b orb.Bound, tol float64) bool {
	return a.Min[0] >= b.Min[0]-tol && a.Min[1] >= b.Min[1]-tol && a.Max[0] <= b.Max[0]+tol && a.Max[1] <= b.Max[1]+tol
}

// checkHoles doubts cut-outs that meet the outline or one another.
func (s *sheet) checkHoles(p *ply) {
	if len(p.holeR) == 0 {
		return
	}
	if at, ok := ringsMeet(append([]orb.Ring{p.outer.ring}, p.holeR...)); ok {
		s.problem(shapes.Doubt, p.outer.from, &at, "a cut-out meets the outline or another cut-out", "move it, or draw the outline round it")
	}
}

// letteringSide is the largest side of a cut-out that may be a letter, mm.
const letteringSide = 20

// checkLettering doubts small cut-outs of several sizes: writing turned into
// curves would be cut out of the ply.
func (s *sheet) checkLettering(p *ply) {
	var first *loop
	sizes := map[int]bool{}
	n := 0
	for _, h := range p.holes {
		if d := sub(h.bound.Max, h.bound.Min); max(d[0], d[1]) < letteringSide {
			if first == nil {
				first = h
			}
			sizes[int(h.area*10)] = true
			n++
		}
	}
	if len(sizes) >= 3 {
		at := first.ring[0]
		s.problem(shapes.Doubt, first.from, &at, fmt.Sprintf("%d small cut-outs of several sizes may be lettering drawn as curves", n), "write names as text, or put them on a layer called MARKS")
	}
}

// meetWork bounds the comparisons of ringsMeet.
const meetWork = 30_000_000

// ringsMeet looks for a place where two rings meet.
func ringsMeet(rings []orb.Ring) (orb.Point, bool) {
	type edge struct {
		ring int
		a, b orb.Point
	}
	var tree rtree.RTreeG[edge]
	work := 0
	for i, r := range rings {
		for k, a := range r {
			b := r[(k+1)%len(r)]
			lo := [2]float64{min(a[0], b[0]), min(a[1], b[1])}
			hi := [2]float64{max(a[0], b[0]), max(a[1], b[1])}
			var at orb.Point
			found := false
			tree.Search(lo, hi, func(_, _ [2]float64, e edge) bool {
				if e.ring != i {
					at, found = geom.SegmentsMeet(a, b, e.a, e.b)
				}
				work++
				return !found && work < meetWork
			})
			if found || work >= meetWork {
				return at, found
			}
		}
		for k, a := range r {
			b := r[(k+1)%len(r)]
			tree.Insert([2]float64{min(a[0], b[0]), min(a[1], b[1])}, [2]float64{max(a[0], b[0]), max(a[1], b[1])}, edge{i, a, b})
		}
	}
	return orb.Point{}, false
}
