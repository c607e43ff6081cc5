package geom

import (
	"errors"
	"fmt"
	"math"

	clipper "github.com/ctessum/go.clipper"
	"github.com/paulmach/orb"
)

// A Polygon is an area: an open counter-clockwise exterior with open clockwise
// cut-outs.
type Polygon struct {
	Exterior orb.Ring
	Holes    []orb.Ring
}

// Area is the polygon's area, mm².
func (p Polygon) Area() float64 { return PolygonArea(p.Exterior, p.Holes) }

// ErrOffset is wrapped by every error of Offset.
var ErrOffset = errors.New("offset")

// Offset grows (delta > 0) or shrinks (delta < 0) an area by delta mm all
// round, with round corners; cut-outs shrink or vanish as the material grows.
// The result contains the exact offset and stands off it by no more than
// chordTol plus a few steps of Grid (chordTol 0 means ChordDefault). Growing
// gives one polygon, unless the exterior was not simple; shrinking may give
// several or none. A delta smaller than Grid returns the area as it is.
//
// Rings may run in either direction. Offset fails on coordinates that are not
// finite or beyond CoordinateLimit, and on rings with no area.
func Offset(exterior orb.Ring, holes []orb.Ring, delta, chordTol float64) (out []Polygon, err error) {
	defer func() {
		if r := recover(); r != nil {
			out, err = nil, fmt.Errorf("%w: the clipping library gave up: %v", ErrOffset, r)
		}
	}()
	if chordTol <= 0 {
		chordTol = ChordDefault
	}
	if math.IsNaN(delta) || math.Abs(delta) > CoordinateLimit {
		return nil, fmt.Errorf("%w: distance %g mm out of range", ErrOffset, delta)
	}
	for _, r := range append([]orb.Ring{exterior}, holes...) {
		for _, p := range r {
			if !InRange(p) {
				return nil, fmt.Errorf("%w: coordinate (%g, %g) out of range", ErrOffset, p[0], p[1])
			}
		}
	}
	if math.Abs(delta) < Grid {
		p := Polygon{Exterior: Oriented(Clean(exterior), true)}
		for _, h := range holes {
			p.Holes = append(p.Holes, Oriented(Clean(h), false))
		}
		return []Polygon{p}, nil
	}
	g := newGrid(Bound(exterior).Center())
	outer := g.path(exterior, true)
	if len(outer) < 3 {
		return nil, fmt.Errorf("%w: exterior has no area", ErrOffset)
	}
	co := clipper.NewClipperOffset()
	co.AddPath(outer, clipper.JtRound, clipper.EtClosedPolygon)
	for _, h := range holes {
		if p := g.path(h, false); len(p) >= 3 {
			co.AddPath(p, clipper.JtRound, clipper.EtClosedPolygon)
		}
	}
	// Vertices round to the grid on the way in, at crossings and on the way
	// out: four steps cover that. Chords of the round corners fall short of
	// the arc by the arc tolerance, up to three times that where the library
	// rounds the number of steps down: the margin covers it.
	d := delta + 4*Grid
	if delta > 0 {
		d += chordTol / 2
	}
	co.ArcTolerance = math.Max(chordTol/8/Grid, 0.25)
	tree := co.Execute2(d / Grid)
	for _, n := range tree.Childs() {
		g.collect(n, &out)
	}
	return out, nil
}

// InRange reports whether both coordinates are finite and within
// CoordinateLimit.
func InRange(p orb.Point) bool {
	return math.Abs(p[0]) <= CoordinateLimit && math.Abs(p[1]) <= CoordinateLimit
}

// grid maps points to the integer grid about an origin and back.
type grid struct{ origin orb.Point }

func newGrid(o orb.Point) grid { return grid{orb.Point{math.Round(o[0]), math.Round(o[1])}} }

// path is the ring on the grid without repeated and collinear vertices, or nil
// where nothing is left.
func (g grid) path(r orb.Ring, ccw bool) clipper.Path {
	q := make(orb.Ring, len(r))
	for i, p := range r {
		q[i] = orb.Point{math.Round((p[0] - g.origin[0]) / Grid), math.Round((p[1] - g.origin[1]) / Grid)}
	}
	q = Clean(q)
	if len(q) < 3 || SignedArea(q) == 0 {
		return nil
	}
	q = Oriented(q, ccw)
	out := make(clipper.Path, len(q))
	for i, p := range q {
		out[i] = clipper.NewIntPoint(clipper.CInt(p[0]), clipper.CInt(p[1]))
	}
	return out
}

func (g grid) ring(p clipper.Path, ccw bool) orb.Ring {
	r := make(orb.Ring, len(p))
	for i, v := range p {
		r[i] = orb.Point{float64(float64(v.X)*Grid) + g.origin[0], float64(float64(v.Y)*Grid) + g.origin[1]}
	}
	return Oriented(Clean(r), ccw)
}

func (g grid) collect(n *clipper.PolyNode, out *[]Polygon) {
	p := Polygon{Exterior: g.ring(n.Contour(), true)}
	for _, h := range n.Childs() {
		if r := g.ring(h.Contour(), false); len(r) >= 3 {
			p.Holes = append(p.Holes, r)
		}
		for _, inner := range h.Childs() {
			g.collect(inner, out)
		}
	}
	if len(p.Exterior) >= 3 {
		*out = append(*out, p)
	}
}
