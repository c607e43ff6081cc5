package bound

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

// byChords is the bound by what can stand across the strip at one place.
//
// Let a line stand across the strip at x. The pieces it meets have disjoint
// chords on it (connected parts of their material), so the chords' shares of
// the width sum to at most 1. A function f from [0,1] to [0,1] is dual feasible
// where shares that sum to at most 1 have values that sum to at most 1. So the
// values f(chord/width), summed over all pieces, are at most 1 at every x, and
// the integral of that sum over x is at most the free length of the strip: the
// strip is at least as long as the sum over pieces of the least integral any
// allowed rotation gives. f(s) = s is the bound by area; functions that ignore
// what is small or round up what is large see what cannot stand beside each
// other. (Dual feasible functions as bounds: Fekete and Schepers, New Classes
// of Fast Lower Bounds for Bin Packing Problems, 2001; from memory.)
//
// With a gap g every chord is counted g longer on a width g larger: chords of
// different pieces on one line lie g apart.
//
// Where a piece may turn through an interval, the interval is divided, and in
// each part the piece is replaced by what it covers at every rotation of the
// part: the piece turned to the middle, eroded by the way its outermost point
// moves. A chord of the smaller set lies inside a chord of the piece; several
// may lie inside one, and the functions used here are superadditive, so their
// values sum to no more than the chord's own. Where a piece may turn any way,
// it is replaced by the largest circle found in it.
func byChords(s Strip, pieces []Piece) float64 {
	profiles := make([][]profile, len(pieces))
	shares := []float64{}
	for i := range pieces {
		if pieces[i].Count == 0 {
			continue
		}
		profiles[i] = pieces[i].profiles(s)
		for _, pr := range profiles[i] {
			shares = append(shares, pr.largest())
		}
	}
	best := 0.0
	for _, f := range functions(shares) {
		sum := 0.0
		for i := range pieces {
			if pieces[i].Count == 0 {
				continue
			}
			least := math.Inf(1)
			for _, pr := range profiles[i] {
				least = math.Min(least, pr.integral(f))
			}
			sum += float64(float64(pieces[i].Count) * least)
		}
		best = math.Max(best, sum)
	}
	return best
}

// A profile is a shape's chords in one rotation, slab by slab.
type profile []slab

// A slab is a stretch of x over which a chord's share of the width runs
// straight from one value to another.
type slab struct{ dx, from, to float64 }

func (p profile) largest() float64 {
	m := 0.0
	for _, s := range p {
		m = math.Max(m, math.Max(s.from, s.to))
	}
	return m
}

func (p profile) integral(f function) float64 {
	sum := 0.0
	for _, s := range p {
		sum += float64(s.dx * f.mean(s.from, s.to))
	}
	return sum
}

// part is the widest part an interval of rotations is divided into, degrees;
// widest the largest interval that is divided at all.
const (
	part   = 1.0
	widest = 20.0
)

// profiles lists the piece's chords at every rotation, or what is surely less.
func (p *Piece) profiles(s Strip) []profile {
	var out []profile
	var disc profile
	for _, t := range p.turns() {
		switch {
		case t.fixed():
			out = append(out, chords(s, geom.Polygon{Exterior: p.Exterior, Holes: p.Holes}, t.Mirrored, t.From))
		case t.To-t.From > widest:
			if disc == nil {
				disc = p.disc(s)
			}
			out = append(out, disc)
		default:
			n := int(math.Ceil((t.To - t.From) / part))
			step := (t.To - t.From) / float64(n)
			for k := range n {
				out = append(out, p.swept(s, t.Mirrored, t.From+float64((float64(k)+0.5)*step), step/2))
			}
		}
	}
	return out
}

// disc is the profile of a polygon inscribed in the largest circle found in
// the piece's material: no more than the circle's, whatever the rotation.
func (p *Piece) disc(s Strip) profile {
	b := geom.Bound(p.Exterior)
	_, r := geom.Pole(p.Exterior, p.Holes, math.Max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])*1e-2)
	if r <= 0 {
		return profile{}
	}
	const corners = 32
	ring := make(orb.Ring, corners)
	for i := range ring {
		sin, cos := steady.Sincos(2 * math.Pi * float64(i) / corners)
		ring[i] = orb.Point{r * cos, r * sin}
	}
	return chords(s, geom.Polygon{Exterior: ring}, false, 0)
}

// swept is the profile of what the piece covers at every rotation within off
// degrees of middle.
func (p *Piece) swept(s Strip, mirrored bool, middle, off float64) profile {
	centre := geom.Bound(p.Exterior).Center()
	reach := 0.0
	for _, v := range p.Exterior {
		reach = math.Max(reach, steady.Hypot(v[0]-centre[0], v[1]-centre[1]))
	}
	// The chord of an arc of off degrees is how far the outermost point moves.
	erode := 2 * reach * steady.Sin(off*math.Pi/360)
	chord := math.Max(erode/100, 4*geom.Grid)
	inner, err := geom.Offset(p.Exterior, p.Holes, -(erode + 2*chord + 8*geom.Grid), chord)
	if err != nil {
		return profile{}
	}
	var out profile
	for _, q := range inner {
		out = append(out, chords(s, q, mirrored, middle)...)
	}
	return out
}

// chords cuts a polygon, mirrored and rotated, into slabs between neighbouring
// vertices and lists the chords of its material in each.
func chords(s Strip, p geom.Polygon, mirrored bool, rotation float64) profile {
	t := geom.Transform{Mirror: mirrored, Rotation: rotation}
	var edges [][2]orb.Point
	var xs []float64
	for _, r := range append([]orb.Ring{p.Exterior}, p.Holes...) {
		ring := t.Ring(r)
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			xs = append(xs, a[0])
			switch {
			case a[0] < b[0]:
				edges = append(edges, [2]orb.Point{a, b})
			case b[0] < a[0]:
				edges = append(edges, [2]orb.Point{b, a})
			}
		}
	}
	slices.Sort(xs)
	xs = slices.Compact(xs)
	slices.SortFunc(edges, func(a, b [2]orb.Point) int {
		switch {
		case a[0][0] < b[0][0]:
			return -1
		case a[0][0] > b[0][0]:
			return 1
		}
		return 0
	})
	var out profile
	var open [][2]orb.Point
	next := 0
	for k := 0; k+1 < len(xs); k++ {
		x0, x1 := xs[k], xs[k+1]
		for ; next < len(edges) && edges[next][0][0] <= x0; next++ {
			open = append(open, edges[next])
		}
		open = slices.DeleteFunc(open, func(e [2]orb.Point) bool { return e[1][0] <= x0 })
		out = append(out, slabChords(s, open, x0, x1)...)
	}
	return out
}

// slabChords pairs the edges that cross a slab, from below, into chords. Of
// two chords of one piece that come closer than the gap only the longer is
// kept: another piece need not have room between them.
func slabChords(s Strip, open [][2]orb.Point, x0, x1 float64) profile {
	type crossing struct{ y0, y1 float64 }
	cs := make([]crossing, len(open))
	for i, e := range open {
		cs[i] = crossing{yAt(e, x0), yAt(e, x1)}
	}
	slices.SortFunc(cs, func(a, b crossing) int {
		switch d := a.y0 + a.y1 - b.y0 - b.y1; {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	type chord struct{ lo, hi crossing }
	var kept []chord
	for i := 0; i+1 < len(cs); i += 2 {
		c := chord{cs[i], cs[i+1]}
		if n := len(kept); n > 0 && s.Gap > 0 {
			last := kept[n-1]
			if math.Min(c.lo.y0-last.hi.y0, c.lo.y1-last.hi.y1) < s.Gap {
				if c.hi.y0-c.lo.y0+c.hi.y1-c.lo.y1 > last.hi.y0-last.lo.y0+last.hi.y1-last.lo.y1 {
					kept[n-1] = c
				}
				continue
			}
		}
		kept = append(kept, c)
	}
	out := make(profile, 0, len(kept))
	for _, c := range kept {
		share := func(lo, hi float64) float64 {
			return math.Min(1, math.Max(0, hi-lo+s.Gap)/(s.Width+s.Gap))
		}
		out = append(out, slab{x1 - x0, share(c.lo.y0, c.hi.y0), share(c.lo.y1, c.hi.y1)})
	}
	return out
}

func yAt(e [2]orb.Point, x float64) float64 {
	a, b := e[0], e[1]
	return a[1] + float64((b[1]-a[1])*((x-a[0])/(b[0]-a[0])))
}
