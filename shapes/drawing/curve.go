package drawing

import (
	"github.com/paulmach/orb"
)

// A curve is one smooth part of an outline, walked from its start to its end.
// Three kinds cover every entity, and each maps onto its own kind under any
// affine map.
type curve interface {
	start() orb.Point
	end() orb.Point
	mapped(m affine) curve
	reversed() curve
	// sweep is twice the area between the curve and the point o: the integral
	// of (p-o) × dp.
	sweep(o orb.Point) float64
	// length is the arc length.
	length() float64
	// outer appends a polyline from start (left out) to end (included) that
	// keeps to the right of the curve or on it, within tol.
	outer(out []orb.Point, tol float64) []orb.Point
	// chords appends a polyline from start (left out) to end (included) with
	// its vertices on the curve, within tol.
	chords(out []orb.Point, tol float64) []orb.Point
	// hull is a set of points in whose bounding box the curve lies.
	hull() []orb.Point
}

// lineCurve is the straight line from a to b.
type lineCurve struct{ a, b orb.Point }

func (l lineCurve) start() orb.Point          { return l.a }
func (l lineCurve) end() orb.Point            { return l.b }
func (l lineCurve) mapped(m affine) curve     { return lineCurve{m.point(l.a), m.point(l.b)} }
func (l lineCurve) reversed() curve           { return lineCurve{l.b, l.a} }
func (l lineCurve) sweep(o orb.Point) float64 { return cross(sub(l.a, o), sub(l.b, o)) }
func (l lineCurve) length() float64           { return distance(l.a, l.b) }
func (l lineCurve) hull() []orb.Point         { return []orb.Point{l.a, l.b} }
func (l lineCurve) outer(out []orb.Point, _ float64) []orb.Point {
	return append(out, l.b)
}
func (l lineCurve) chords(out []orb.Point, _ float64) []orb.Point {
	return append(out, l.b)
}
