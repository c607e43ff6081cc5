package leastlength

import (
	"cmp"
	"math"
	"slices"

	"plyroom/nest/collide"
)

// Middle bounds the length by what crosses the line half way across the strip.
// A ply of height h above half the width W covers that line wherever it lies:
// its lowest point is at some y in [0, W-h], so the line meets it at a height
// between h - W/2 and W/2 above its lowest point. There it cuts an interval or
// more out of the line, of a total length not below the least section over
// these heights, least over the poses as well. Sections of different plies are
// disjoint and lie in [0, L]; two plies in succession along the line are a gap
// apart. So L is at least the sum of the least sections, plus a gap less than
// there are such plies.
func Middle(s *Strip) float64 {
	sum, n := 0.0, 0
	for _, p := range s.Plies {
		if len(p.Poses) == 0 {
			continue
		}
		least := math.Inf(1)
		for _, b := range p.Poses {
			h := b.Box.Height()
			if h <= s.Width/2 {
				least = 0
				break
			}
			least = math.Min(least, leastSection(b, b.Box.MinY+h-s.Width/2, b.Box.MinY+s.Width/2))
		}
		if least > 0 && !math.IsInf(least, 1) {
			sum += float64(p.Count) * least
			n += p.Count
		}
	}
	if n == 0 {
		return 0
	}
	// A little less for the rounding of sections.
	return (sum + float64(n-1)*s.Gap) * (1 - 1e-12)
}

// leastSection is the least length of a horizontal line through the body at a
// height between lo and hi. Within each convex part the section is concave in
// the height; over all parts it is linear between the heights of vertices, with
// jumps at them. So the least is approached at a vertex height or an end, from
// one side or the other; both sides are taken at the middle of the adjoining
// stretches by extending the linear piece.
func leastSection(b *collide.Body, lo, hi float64) float64 {
	levels := []float64{lo, hi}
	for _, y := range b.Y {
		if y > lo && y < hi {
			levels = append(levels, y)
		}
	}
	slices.Sort(levels)
	levels = slices.Compact(levels)
	least := math.Inf(1)
	if lo == hi {
		return section(b, lo)
	}
	for k := 0; k+1 < len(levels); k++ {
		u, v := levels[k], levels[k+1]
		// The section is linear on (u, v): two inner values give both ends.
		p, q := u+(v-u)/4, u+(v-u)*3/4
		if !(u < p && p < q && q < v) {
			return 0 // too close to tell: claim nothing
		}
		sp, sq := section(b, p), section(b, q)
		slope := (sq - sp) * 2
		mid := (sp + sq) / 2
		least = math.Min(least, math.Min(mid-slope/2, mid+slope/2))
	}
	return math.Max(0, least)
}

// section is the length of the body on the horizontal line at y. Parts do not
// overlap, so their sections add up.
func section(b *collide.Body, y float64) float64 {
	sum := 0.0
	for k := range b.Boxes {
		if l, r, ok := partSection(b, k, y); ok {
			sum += r - l
		}
	}
	return sum
}

// partSection is the interval of convex part k on the horizontal line at y.
func partSection(b *collide.Body, k int, y float64) (l, r float64, ok bool) {
	l, r = math.Inf(1), math.Inf(-1)
	lo, hi := int(b.Shape.Start[k]), int(b.Shape.Start[k+1])
	for i := lo; i < hi; i++ {
		j := i + 1
		if j == hi {
			j = lo
		}
		ya, yb := b.Y[i], b.Y[j]
		if math.Min(ya, yb) > y || math.Max(ya, yb) < y {
			continue
		}
		if ya == yb {
			l, r = math.Min(l, math.Min(b.X[i], b.X[j])), math.Max(r, math.Max(b.X[i], b.X[j]))
			continue
		}
		x := b.X[i] + (b.X[j]-b.X[i])*((y-ya)/(yb-ya))
		l, r = math.Min(l, x), math.Max(r, x)
	}
	return l, r, l <= r
}

// rectangle is one that lies inside a ply.
type rectangle struct{ w, h float64 }

// rectanglesIn lists rectangles inside the convex parts of a body: between any
// two of some levels of a part, as wide as the part is at both (a convex part is
// at least as wide between).
func rectanglesIn(b *collide.Body) []rectangle {
	const most = 12 // levels of one part
	var out []rectangle
	for k := range b.Boxes {
		lo, hi := int(b.Shape.Start[k]), int(b.Shape.Start[k+1])
		box := b.Boxes[k]
		var levels []float64
		if hi-lo <= most {
			levels = append(levels, b.Y[lo:hi]...)
		}
		for i := range 9 {
			levels = append(levels, box.MinY+box.Height()*float64(i)/8)
		}
		slices.SortFunc(levels, cmp.Compare[float64])
		levels = slices.Compact(levels)
		for i, u := range levels {
			lu, ru, ok := partSection(b, k, u)
			if !ok {
				continue
			}
			for _, v := range levels[i+1:] {
				lv, rv, ok := partSection(b, k, v)
				if w := math.Min(ru, rv) - math.Max(lu, lv); ok && w > 0 {
					out = append(out, rectangle{w, v - u})
				}
			}
		}
	}
	return out
}
