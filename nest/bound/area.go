package bound

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

// byArea is the bound by area on the free length of the strip.
//
// Without a gap: the interiors of the pieces are disjoint and lie on the strip,
// so length × width is at least what they cover. They cover their material,
// and each cut-out that stays empty in part is covered as well, in the sense
// that no piece outside it can use it. Let a piece be outermost where it lies
// in no cut-out. The outermost pieces, cut-outs filled, are disjoint too; what
// they cover is all material, plus all cut-outs, less the filled area of the
// pieces that lie in cut-outs. Only pieces that fit some cut-out can be those,
// hence the second term below.
//
// With a gap g: the pieces grown by g/2 all round (sums with a disc) are
// disjoint and lie on the strip grown by g/2, so (length+g)·(width+g) is at
// least the sum of their areas; each blocked stretch adds another g. By the
// inequality of Brunn and Minkowski the sum of a set of area A with a disc of
// radius g/2 has at least the area (√A + √π·g/2)².
func byArea(s Strip, pieces []Piece) float64 {
	material, grown, cutOuts, movable := 0.0, 0.0, 0.0, 0.0
	for i := range pieces {
		p := &pieces[i]
		n := float64(p.Count)
		a := p.material()
		material += float64(n * a)
		side := math.Sqrt(a) + math.Sqrt(math.Pi)*s.Gap/2
		grown += float64(n * side * side)
		for _, h := range p.Holes {
			cutOuts += float64(n * geom.Area(h))
		}
		if fitsSomeHole(pieces, i) {
			movable += float64(n * geom.Area(p.Exterior))
		}
	}
	best := (material + math.Max(0, cutOuts-movable)) / s.Width
	if s.Gap > 0 {
		// Pieces grown reach g/2 over each end of the strip and into blocked
		// stretches from both sides.
		ends := float64(1 + len(merged(s.Blocked)))
		best = math.Max(best, grown/(s.Width+s.Gap)-float64(s.Gap*ends))
	}
	return best
}

// fitsSomeHole reports whether nothing speaks against piece i lying in a
// cut-out of one of the pieces: its area, its diameter and its widest place
// are no larger than the cut-out's.
func fitsSomeHole(pieces []Piece, i int) bool {
	p := &pieces[i]
	area, across := geom.Area(p.Exterior), diameter(p.Exterior)
	inner := -1.0
	for j := range pieces {
		if pieces[j].Count == 0 || i == j && pieces[j].Count < 2 {
			continue
		}
		for _, h := range pieces[j].Holes {
			if area > geom.Area(h)*(1+1e-9) || across > diameter(h)*(1+1e-9) {
				continue
			}
			if inner < 0 {
				// The widest circle found in the piece is real; the search for
				// the one in the hole may fall short by its precision.
				_, inner = geom.Pole(p.Exterior, nil, across*poleStep)
			}
			_, room := geom.Pole(geom.Oriented(h, true), nil, across*poleStep)
			if inner <= room+float64(across*poleStep) {
				return true
			}
		}
	}
	return false
}

// poleStep is the precision of widest places, as a share of a diameter.
const poleStep = 1e-3

// diameter is the largest distance of two vertices.
func diameter(r orb.Ring) float64 {
	hull := geom.ConvexHull(r)
	d := 0.0
	for i, a := range hull {
		for _, b := range hull[:i] {
			d = math.Max(d, steady.Hypot(a[0]-b[0], a[1]-b[1]))
		}
	}
	return d
}
