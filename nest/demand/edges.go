package demand

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes/geom"
)

// LeastWeb is the narrowest strip of fabric a seam may leave between itself, or
// the end of its lap, and an edge or corner of the ply beside it, mm: a knife
// tears what is narrower.
const LeastWeb = 1

const (
	// onEdge is how far off an edge a seam may lie and still run along it, mm:
	// turning and clipping round to geom.Grid.
	onEdge = 2 * geom.Grid
	// edgeStep is how far from a seam along an edge its panels end, mm, so
	// that clipping opens a cut-out that ends there instead of leaving a
	// bridge without width. It passes onEdge and one rounding; what is lost is
	// less than any knife resolves.
	edgeStep = 5 * geom.Grid
	// flatSlope is the rise of an edge, over its length along the seam, up to
	// which it runs along the seam.
	flatSlope = 1e-3
)

// A level is where a ply's edge runs along a seam or turns back from it: no
// seam may come near, lest it leave a web.
type level struct {
	lo, hi   float64 // across the seam
	from, to float64 // along the seam; set where flat
	flat     bool    // an edge, else a corner
}

// touched reports whether a cut at a height runs along the level's edge.
func (l level) touched(at float64) bool {
	return l.flat && math.Abs(l.lo-at) <= onEdge && math.Abs(l.hi-at) <= onEdge
}

// levels lists the levels of polygons in the frame turned by -axis, for seams
// at y (across 1) or at x (across 0).
func levels(axis float64, across int, polys ...nest.Polygon) []level {
	turn := geom.Transform{Rotation: -axis}
	var out []level
	for _, p := range polys {
		for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
			out = append(out, ringLevels(turn.Ring(toOrb(r)), across)...)
		}
	}
	return out
}

func ringLevels(r orb.Ring, across int) []level {
	var out []level
	n := len(r)
	// The last edge that rises or falls, and the levels of what lies between
	// it and the next one: an edge along the seam, or a corner.
	var last float64
	flat := false
	for i := range 2 * n { // twice round: the first round finds where to begin
		a, b := r[i%n], r[(i+1)%n]
		rise, run := b[across]-a[across], b[1-across]-a[1-across]
		if math.Abs(run) >= LeastWeb && math.Abs(rise) <= flatSlope*math.Abs(run) {
			flat = true
			if i >= n {
				out = append(out, level{flat: true, lo: min(a[across], b[across]), hi: max(a[across], b[across]),
					from: min(a[1-across], b[1-across]), to: max(a[1-across], b[1-across])})
			}
			continue
		}
		if rise == 0 {
			continue
		}
		if i >= n && last*rise < 0 && !flat {
			out = append(out, level{lo: a[across], hi: a[across]})
		}
		last, flat = rise, false
	}
	return out
}

// stretch is a part of a seam, from end to end along it.
type stretch [2]float64

// free lists the stretches of a seam that run along edges of the ply, so that
// only one side of it has fabric.
func free(edges []level, at float64) []stretch {
	var out []stretch
	for _, l := range edges {
		if l.touched(at) {
			out = append(out, stretch{l.from, l.to})
		}
	}
	return out
}

// without is what remains of a stretch outside others.
func (s stretch) without(others []stretch) []stretch {
	rest := []stretch{s}
	for _, o := range others {
		var next []stretch
		for _, p := range rest {
			for _, q := range []stretch{{p[0], min(p[1], o[0])}, {max(p[0], o[1]), p[1]}} {
				if q[1]-q[0] > 2*edgeStep {
					next = append(next, q)
				}
			}
		}
		rest = next
	}
	return rest
}

// freeSeams lists the free stretches of all butted seams, for the record. A
// lap has fabric on both sides wherever its outline is whole.
func (s *seams) freeSeams(cut nest.Polygon) [][2]nest.Point {
	if s.lap > 0 {
		return nil
	}
	var out [][2]nest.Point
	for across, seams := range [2][]float64{s.along, s.across} {
		edges := levels(s.axis, across, cut)
		for _, at := range seams {
			for _, f := range free(edges, at) {
				var ends [2]nest.Point
				for i := range ends {
					ends[i][across], ends[i][1-across] = nest.Round(at), nest.Round(f[i])
				}
				out = append(out, ends)
			}
		}
	}
	return out
}
