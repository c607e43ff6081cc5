package toolpath

import (
	"math"
	"sort"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// onceLeast is the shortest stretch worth cutting on its own, mm: what is left
// between two stretches that were cut before and nearly meet.
const onceLeast = 0.05

// once takes out of every cut the stretches that an earlier one has cut
// already: edges that two plies share. What is left of a closed cut is open and
// may be in several parts. Where nothing is left the cut goes.
func (p *Path) once() {
	var done rtree.RTreeG[[2]orb.Point]
	var cuts []Cut
	made := make([]int, len(p.Cuts)+1) // how many cuts are left of the first n
	for _, c := range p.Cuts {
		line := c.Points
		if c.Closed {
			line = append(line[:len(line):len(line)], line[0])
		}
		runs, whole := uncut(&done, line)
		for i := 1; i < len(line); i++ {
			b := orb.MultiPoint{line[i-1], line[i]}.Bound()
			done.Insert(b.Min, b.Max, [2]orb.Point{line[i-1], line[i]})
		}
		if whole {
			cuts = append(cuts, c)
			made[c.Number] = len(cuts)
			continue
		}
		if c.Closed && len(runs) > 1 && runs[0][0] == line[0] && runs[len(runs)-1][len(runs[len(runs)-1])-1] == line[0] {
			// The loop began in the middle of what is left.
			last := runs[len(runs)-1]
			runs[0] = append(last[:len(last)-1:len(last)-1], runs[0]...)
			runs = runs[:len(runs)-1]
		}
		for _, r := range runs {
			part := c
			part.Closed, part.Points = false, r
			cuts = append(cuts, part)
		}
		made[c.Number] = len(cuts)
	}
	parts := map[int]int{}
	for _, c := range cuts {
		parts[c.Loop]++
	}
	at := map[int]int{}
	for i := range cuts {
		c := &cuts[i]
		at[c.Loop]++
		c.Number, c.Part, c.Parts = i+1, at[c.Loop], parts[c.Loop]
	}
	p.Cuts = cuts
	for i := range p.Plies {
		p.Plies[i].Free = made[p.Plies[i].Free]
	}
}

// uncut are the stretches of a line that done does not cover; whole says that
// it covers none.
func uncut(done *rtree.RTreeG[[2]orb.Point], line orb.LineString) (runs []orb.LineString, whole bool) {
	whole = true
	var cur orb.LineString
	end := func() {
		if length(cur) >= onceLeast {
			runs = append(runs, cur)
		}
		cur = nil
	}
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		free := freeParts(done, a, b)
		if len(free) != 1 || free[0] != [2]float64{0, 1} {
			whole = false
		}
		for _, f := range free {
			p, q := between(a, b, f[0]), between(a, b, f[1])
			if f[0] > 0 || cur == nil {
				end()
				cur = orb.LineString{p}
			}
			cur = append(cur, q)
			if f[1] < 1 {
				end()
			}
		}
		if len(free) == 0 {
			end()
		}
	}
	end()
	return runs, whole
}

// freeParts are the stretches of a segment, as fractions of it in order, that
// no segment of done runs along.
func freeParts(done *rtree.RTreeG[[2]orb.Point], a, b orb.Point) [][2]float64 {
	l := dist(a, b)
	u := unit(a, b)
	var taken [][2]float64
	box := orb.MultiPoint{a, b}.Bound().Pad(sameCut)
	done.Search(box.Min, box.Max, func(_, _ [2]float64, s [2]orb.Point) bool {
		t0, d0 := project(a, u, s[0])
		t1, d1 := project(a, u, s[1])
		if math.Abs(t1-t0) < onceLeast || !alongside(t0, d0, t1, d1, l) {
			return true
		}
		lo, hi := math.Max(0, math.Min(t0, t1)), math.Min(l, math.Max(t0, t1))
		if hi-lo >= onceLeast {
			taken = append(taken, [2]float64{lo, hi})
		}
		return true
	})
	sort.Slice(taken, func(i, j int) bool {
		return taken[i][0] < taken[j][0] || taken[i][0] == taken[j][0] && taken[i][1] < taken[j][1]
	})
	var out [][2]float64
	at := 0.0
	for _, t := range taken {
		if t[0]-at >= onceLeast {
			out = append(out, [2]float64{at / l, t[0] / l})
		}
		at = math.Max(at, t[1])
	}
	if l-at >= onceLeast || at == 0 {
		out = append(out, [2]float64{at / l, 1})
	}
	return out
}

// sharesEdge reports whether two rings run along each other for a stretch.
func sharesEdge(a, b orb.Ring) bool {
	var edges rtree.RTreeG[[2]orb.Point]
	for i, p := range a {
		q := a[(i+1)%len(a)]
		box := orb.MultiPoint{p, q}.Bound()
		edges.Insert(box.Min, box.Max, [2]orb.Point{p, q})
	}
	for i, p := range b {
		free := freeParts(&edges, p, b[(i+1)%len(b)])
		if len(free) != 1 || free[0] != [2]float64{0, 1} {
			return true
		}
	}
	return false
}

// project is how far along and beside a line a point lies.
func project(a, u, p orb.Point) (along, beside float64) {
	x, y := p[0]-a[0], p[1]-a[1]
	return float64(x*u[0]) + float64(y*u[1]), float64(x*u[1]) - float64(y*u[0])
}

// alongside reports whether a segment, given by its ends' places along and
// beside a segment of length l, stays within sameCut of it where they overlap.
func alongside(t0, d0, t1, d1, l float64) bool {
	at := func(t float64) float64 { return d0 + (d1-d0)*(t-t0)/(t1-t0) }
	lo, hi := math.Max(0, math.Min(t0, t1)), math.Min(l, math.Max(t0, t1))
	return math.Abs(at(lo)) <= sameCut && math.Abs(at(hi)) <= sameCut
}

func between(a, b orb.Point, f float64) orb.Point {
	switch f {
	case 0:
		return a
	case 1:
		return b
	}
	return orb.Point{a[0] + float64(f*(b[0]-a[0])), a[1] + float64(f*(b[1]-a[1]))}
}
