package drawing

import (
	"strings"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// A localFault is a fault of one contour, which was left out. Other outlines
// can be used all the same, unless it may belong to them or they may bear its
// name.
type localFault struct {
	problem int // place in Problems
	bound   orb.Bound
	from    *origin
}

// localFault lists a fault of a contour that is left out.
func (s *sheet) localFault(cs []curve, from *origin, at orb.Point, message, hint string) {
	n := len(s.Problems)
	s.problem(shapes.Fault, from, &at, message, hint)
	if len(s.Problems) == n || len(cs) == 0 {
		return
	}
	var hull orb.MultiPoint
	for _, c := range cs {
		hull = append(hull, c.hull()...)
	}
	s.local = append(s.local, localFault{n, hull.Bound(), from})
}

// scopeFaults says of every local fault which outlines it may concern: those
// whose box its own box meets, and those that bear, numbered or not, a name
// that the contour might have had or one made up by counting.
func (s *sheet) scopeFaults(plies []*ply) {
	if len(s.local) == 0 {
		return
	}
	var tree rtree.RTreeG[int]
	byName := map[string][]int{}
	for i, p := range plies {
		tree.Insert(p.outer.bound.Min, p.outer.bound.Max, i)
		for _, n := range []string{p.name, unnumbered(p.name)} {
			byName[n] = append(byName[n], i)
		}
	}
	for _, f := range s.local {
		near := map[int]bool{}
		box := f.bound.Pad(2*s.opt.Chord + s.opt.Join + s.opt.Gap)
		tree.Search(box.Min, box.Max, func(_, _ [2]float64, i int) bool {
			near[i] = true
			return true
		})
		names := []string{countedName, tidy(f.from.title), tidy(f.from.block), tidy(f.from.id), tidy(f.from.group), tidy(f.from.layer)}
		for i := range s.writings {
			if w := &s.writings[i]; geom.InRange(w.at) && (box.Contains(w.at) || box.Contains(w.centre) || w.from.insert > 0 && w.from.insert == f.from.insert) {
				first, _, _ := strings.Cut(w.text, "\n")
				names = append(names, tidy(first))
			}
		}
		for _, n := range names {
			for _, i := range byName[n] {
				near[i] = true
			}
		}
		p := &s.Problems[f.problem]
		p.Local = true
		for i, y := range plies {
			if near[i] {
				p.Near = append(p.Near, y.name)
			}
		}
	}
}

// countedName begins the names of outlines that have none.
const countedName = "outline"

// unnumbered is a name without the number that makes it its own.
func unnumbered(name string) string {
	short := strings.TrimRight(name, "0123456789")
	if len(short) == len(name) || len(short) < 2 {
		return name
	}
	switch short[len(short)-1] {
	case '-', ' ':
		return short[:len(short)-1]
	}
	return name
}
