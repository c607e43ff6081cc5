package geom

import (
	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// A Transform mirrors (y to -y), then rotates counter-clockwise, then moves.
type Transform struct {
	Mirror bool
	// Rotation is in degrees.
	Rotation float64
	X, Y     float64
}

// Point transforms one point.
func (t Transform) Point(p orb.Point) orb.Point {
	s, c := steady.SincosDegrees(t.Rotation)
	return t.apply(p, s, c)
}

func (t Transform) apply(p orb.Point, s, c float64) orb.Point {
	x, y := p[0], p[1]
	if t.Mirror {
		y = -y
	}
	return orb.Point{float64(x*c) - float64(y*s) + t.X, float64(x*s) + float64(y*c) + t.Y}
}

// Ring transforms a ring and keeps its direction of travel: a mirrored ring is
// listed in reverse.
func (t Transform) Ring(r orb.Ring) orb.Ring {
	s, c := steady.SincosDegrees(t.Rotation)
	out := make(orb.Ring, len(r))
	for i, p := range r {
		k := i
		if t.Mirror {
			k = len(r) - 1 - i
		}
		out[k] = t.apply(p, s, c)
	}
	return out
}

// Line transforms a line, in its own order.
func (t Transform) Line(l orb.LineString) orb.LineString {
	s, c := steady.SincosDegrees(t.Rotation)
	out := make(orb.LineString, len(l))
	for i, p := range l {
		out[i] = t.apply(p, s, c)
	}
	return out
}

// Bound is the bounding box of the transformed ring, without making the ring.
func (t Transform) Bound(r orb.Ring) orb.Bound {
	if len(r) == 0 {
		return orb.Bound{}
	}
	s, c := steady.SincosDegrees(t.Rotation)
	first := t.apply(r[0], s, c)
	b := orb.Bound{Min: first, Max: first}
	for _, p := range r[1:] {
		p = t.apply(p, s, c)
		if p[0] < b.Min[0] {
			b.Min[0] = p[0]
		} else if p[0] > b.Max[0] {
			b.Max[0] = p[0]
		}
		if p[1] < b.Min[1] {
			b.Min[1] = p[1]
		} else if p[1] > b.Max[1] {
			b.Max[1] = p[1]
		}
	}
	return b
}
