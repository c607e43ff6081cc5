package collide

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

func sortPoints(p []orb.Point) {
	slices.SortFunc(p, func(a, b orb.Point) int {
		if c := cmp.Compare(a[0], b[0]); c != 0 {
			return c
		}
		return cmp.Compare(a[1], b[1])
	})
}

// decompose cuts a polygon (outer counter-clockwise, holes clockwise, all
// clean) into convex counter-clockwise parts whose union is the polygon.
//
// Ears are clipped (Meisters 1975), then diagonals that are not needed for
// convexity are removed again (Hertel and Mehlhorn 1983). Where clipping does
// not account for the whole area, as on outlines that touch themselves, the
// polygon is cut into horizontal trapezoids instead: more parts, no
// assumptions.
func decompose(outer []orb.Point, holes [][]orb.Point) [][]orb.Point {
	want := ringArea(outer)
	for _, h := range holes {
		want += ringArea(h)
	}
	if len(holes) == 0 && isConvex(outer) {
		return [][]orb.Point{outer}
	}
	if pts, ok := bridge(outer, holes); ok {
		if parts, ok := clipEars(pts); ok && coversArea(parts, want) {
			parts = mergeParts(parts)
			if coversArea(parts, want) {
				return parts
			}
		}
	}
	return trapezoids(outer, holes)
}

func coversArea(parts [][]orb.Point, want float64) bool {
	sum := 0.0
	for _, p := range parts {
		a := ringArea(p)
		if a < 0 {
			return false
		}
		sum += a
	}
	return math.Abs(sum-want) <= 1e-9*math.Abs(want)
}

func isConvex(pts []orb.Point) bool {
	n := len(pts)
	turn := 0.0
	for i := range pts {
		a, b, c := pts[i], pts[(i+1)%n], pts[(i+2)%n]
		if cross(a, b, c) < 0 {
			return false
		}
		turn += steady.Atan2(cross(a, b, c), float64((b[0]-a[0])*(c[0]-b[0]))+float64((b[1]-a[1])*(c[1]-b[1])))
	}
	return math.Abs(turn-2*math.Pi) < 0.1
}

// bridge joins the holes to the outer ring by doubled edges, so that one ring
// remains.
func bridge(outer []orb.Point, holes [][]orb.Point) ([]orb.Point, bool) {
	ring := append([]orb.Point(nil), outer...)
	rest := append([][]orb.Point(nil), holes...)
	slices.SortFunc(rest, func(a, b []orb.Point) int { return cmp.Compare(maxX(b), maxX(a)) })
	for k, h := range rest {
		bi, bj, best := -1, -1, math.Inf(1)
		for i, p := range ring {
			for j, q := range h {
				d := steady.Hypot(p[0]-q[0], p[1]-q[1])
				if d >= best || d == 0 {
					continue
				}
				if insideWedge(ring, i, q) && insideWedge(h, j, p) && sees(p, q, ring, rest[k:]) {
					bi, bj, best = i, j, d
				}
			}
		}
		if bi < 0 {
			return nil, false
		}
		joined := append([]orb.Point(nil), ring[:bi+1]...)
		joined = append(joined, h[bj:]...)
		joined = append(joined, h[:bj+1]...)
		joined = append(joined, ring[bi:]...)
		ring = joined
	}
	return ring, true
}

func maxX(pts []orb.Point) float64 {
	m := math.Inf(-1)
	for _, p := range pts {
		m = math.Max(m, p[0])
	}
	return m
}

// insideWedge tells whether q lies in the interior angle of the ring at i.
func insideWedge(ring []orb.Point, i int, q orb.Point) bool {
	n := len(ring)
	a, b, c := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
	if cross(a, b, c) >= 0 {
		return cross(a, b, q) > 0 && cross(b, c, q) > 0
	}
	return cross(a, b, q) > 0 || cross(b, c, q) > 0
}

func sees(p, q orb.Point, ring []orb.Point, holes [][]orb.Point) bool {
	if blocked(p, q, ring) {
		return false
	}
	for _, h := range holes {
		if blocked(p, q, h) {
			return false
		}
	}
	return true
}

func blocked(p, q orb.Point, ring []orb.Point) bool {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if a == p || a == q || b == p || b == q {
			// A neighbour on the segment itself blocks as well.
			if a != p && a != q && onSegment(p, q, a) || b != p && b != q && onSegment(p, q, b) {
				return true
			}
			continue
		}
		s, t := cross(p, q, a), cross(p, q, b)
		u, v := cross(a, b, p), cross(a, b, q)
		if (s >= 0) != (t > 0) && (u >= 0) != (v > 0) || onSegment(p, q, a) || onSegment(p, q, b) {
			return true
		}
	}
	return false
}

func onSegment(p, q, a orb.Point) bool {
	return cross(p, q, a) == 0 &&
		math.Min(p[0], q[0]) <= a[0] && a[0] <= math.Max(p[0], q[0]) &&
		math.Min(p[1], q[1]) <= a[1] && a[1] <= math.Max(p[1], q[1])
}

// clipEars cuts a counter-clockwise ring into triangles, the fattest ear
// first, since fat triangles merge into fewer convex parts.
func clipEars(ring []orb.Point) ([][]orb.Point, bool) {
	n := len(ring)
	next, prev := make([]int, n), make([]int, n)
	for i := range ring {
		next[i], prev[i] = (i+1)%n, (i+n-1)%n
	}
	quality := make([]float64, n)
	rate := func(i int) float64 {
		a, b, c := ring[prev[i]], ring[i], ring[next[i]]
		area := cross(a, b, c)
		if area <= 0 {
			return -1
		}
		for j := next[next[i]]; j != prev[i]; j = next[j] {
			p := ring[j]
			if p == a || p == b || p == c {
				continue
			}
			if cross(ring[prev[j]], p, ring[next[j]]) > 0 {
				continue
			}
			if cross(a, b, p) >= 0 && cross(b, c, p) >= 0 && cross(c, a, p) >= 0 {
				return -1
			}
		}
		longest := math.Max(sqDist(a, b), math.Max(sqDist(b, c), sqDist(c, a)))
		return area / longest
	}
	for i := range ring {
		quality[i] = rate(i)
	}
	var out [][]orb.Point
	left, at := n, 0
	for left > 3 {
		best, bestQ := -1, 0.0
		for k, i := 0, at; k < left; k, i = k+1, next[i] {
			if quality[i] > bestQ {
				best, bestQ = i, quality[i]
			}
		}
		if best < 0 {
			// Only folded corners are left: drop one that encloses nothing.
			for k, i := 0, at; k < left; k, i = k+1, next[i] {
				if cross(ring[prev[i]], ring[i], ring[next[i]]) == 0 {
					best = i
					break
				}
			}
			if best < 0 {
				return nil, false
			}
		} else {
			out = append(out, []orb.Point{ring[prev[best]], ring[best], ring[next[best]]})
		}
		p, q := prev[best], next[best]
		next[p], prev[q] = q, p
		left--
		at = p
		quality[p], quality[q] = rate(p), rate(q)
		// A reflex corner that vanished may free ears elsewhere.
		for k, i := 0, at; k < left; k, i = k+1, next[i] {
			if quality[i] < 0 {
				quality[i] = rate(i)
			}
		}
	}
	a, b, c := ring[prev[at]], ring[at], ring[next[at]]
	if cross(a, b, c) > 0 {
		out = append(out, []orb.Point{a, b, c})
	}
	return out, true
}

func sqDist(a, b orb.Point) float64 {
	dx, dy := a[0]-b[0], a[1]-b[1]
	return float64(dx*dx) + float64(dy*dy)
}

// mergeParts removes diagonals between parts, longest first, wherever the
// union stays convex.
func mergeParts(parts [][]orb.Point) [][]orb.Point {
	type edge struct{ a, b orb.Point }
	for {
		owner := make(map[edge]int, 4*len(parts))
		for k, p := range parts {
			for i, a := range p {
				owner[edge{a, p[(i+1)%len(p)]}] = k
			}
		}
		bestLen, bi, bj := -1.0, -1, -1
		var bestPart []orb.Point
		for k, p := range parts {
			for i, a := range p {
				b := p[(i+1)%len(p)]
				other, ok := owner[edge{b, a}]
				if !ok || other <= k {
					continue
				}
				l := sqDist(a, b)
				if l <= bestLen {
					continue
				}
				if m := joinAt(p, parts[other], a, b); m != nil {
					bestLen, bi, bj, bestPart = l, k, other, m
				}
			}
		}
		if bi < 0 {
			return parts
		}
		parts[bi] = bestPart
		parts = append(parts[:bj], parts[bj+1:]...)
	}
}

// joinAt unites two parts along the edge a to b of p, or returns nil if the
// union is not convex.
func joinAt(p, q []orb.Point, a, b orb.Point) []orb.Point {
	i := slices.Index(p, a)
	for p[(i+1)%len(p)] != b {
		i = (i + 1) % len(p)
	}
	j := slices.Index(q, b)
	for q[(j+1)%len(q)] != a {
		j = (j + 1) % len(q)
	}
	var out []orb.Point
	for k := range p {
		out = append(out, p[(i+1+k)%len(p)])
	}
	for k := 1; k+1 < len(q); k++ {
		out = append(out, q[(j+1+k)%len(q)])
	}
	if !isConvex(out) {
		return nil
	}
	return out
}

// trapezoids cuts along the horizontal through every vertex, by even-odd
// filling.
func trapezoids(outer []orb.Point, holes [][]orb.Point) [][]orb.Point {
	type seg struct{ a, b orb.Point } // a below b
	var segs []seg
	var ys []float64
	for _, r := range append([][]orb.Point{outer}, holes...) {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			ys = append(ys, a[1])
			if a[1] > b[1] {
				a, b = b, a
			}
			if a[1] != b[1] {
				segs = append(segs, seg{a, b})
			}
		}
	}
	slices.Sort(ys)
	ys = slices.Compact(ys)
	at := func(s seg, y float64) float64 {
		return s.a[0] + float64((s.b[0]-s.a[0])*((y-s.a[1])/(s.b[1]-s.a[1])))
	}
	var out [][]orb.Point
	for k := 0; k+1 < len(ys); k++ {
		lo, hi := ys[k], ys[k+1]
		mid := lo + (hi-lo)/2
		var row []seg
		for _, s := range segs {
			if s.a[1] <= lo && s.b[1] >= hi {
				row = append(row, s)
			}
		}
		slices.SortFunc(row, func(s, t seg) int { return cmp.Compare(at(s, mid), at(t, mid)) })
		for i := 0; i+1 < len(row); i += 2 {
			q := convexHull([]orb.Point{{at(row[i], lo), lo}, {at(row[i+1], lo), lo}, {at(row[i+1], hi), hi}, {at(row[i], hi), hi}})
			if len(q) >= 3 && ringArea(q) > 0 {
				out = append(out, q)
			}
		}
	}
	return out
}
