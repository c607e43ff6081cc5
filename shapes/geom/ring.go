package geom

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// SignedArea is the area inside a ring, mm², positive counter-clockwise. The
// ring may be open or closed. Coordinates are taken relative to the first
// vertex, so that a small shape far from the origin keeps its digits.
func SignedArea(r orb.Ring) float64 {
	if len(r) < 3 {
		return 0
	}
	ox, oy := r[0][0], r[0][1]
	var sum float64
	for i := 1; i+1 < len(r); i++ {
		ax, ay := r[i][0]-ox, r[i][1]-oy
		bx, by := r[i+1][0]-ox, r[i+1][1]-oy
		sum += float64(ax*by) - float64(bx*ay)
	}
	return sum / 2
}

// Area is the unsigned area inside a ring, mm².
func Area(r orb.Ring) float64 { return math.Abs(SignedArea(r)) }

// PolygonArea is the area of an exterior less its holes, mm².
func PolygonArea(exterior orb.Ring, holes []orb.Ring) float64 {
	a := Area(exterior)
	for _, h := range holes {
		a -= Area(h)
	}
	return a
}

// Perimeter is the length of an open ring with its closing edge, mm.
func Perimeter(r orb.Ring) float64 {
	var sum float64
	for i := range r {
		j := (i + 1) % len(r)
		sum += steady.Hypot(r[j][0]-r[i][0], r[j][1]-r[i][1])
	}
	return sum
}

// Bound is the bounding box of a ring; an empty ring gives an empty bound at
// the origin.
func Bound(r orb.Ring) orb.Bound {
	if len(r) == 0 {
		return orb.Bound{}
	}
	b := orb.Bound{Min: r[0], Max: r[0]}
	for _, p := range r[1:] {
		b = b.Extend(p)
	}
	return b
}

// Reversed returns a copy of the ring in the other direction.
func Reversed(r orb.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

// Oriented returns the ring counter-clockwise where ccw is set, clockwise
// otherwise. The ring itself is not changed.
func Oriented(r orb.Ring, ccw bool) orb.Ring {
	if (SignedArea(r) > 0) == ccw {
		return r
	}
	return Reversed(r)
}

// Clean returns the ring open, without repeated neighbours (closer than
// Coincident) and without vertices that lie on the straight line between
// their neighbours going on in the same direction. Spikes, where the ring
// turns back on itself, are kept: they are faults for a reader to report.
func Clean(r orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(r))
	for _, p := range r {
		if n := len(out); n > 0 && near(out[n-1], p) {
			continue
		}
		out = append(out, p)
	}
	for len(out) > 1 && near(out[0], out[len(out)-1]) {
		out = out[:len(out)-1]
	}
	for changed := true; changed && len(out) > 3; {
		changed = false
		kept := out[:0:0]
		n := len(out)
		for i := range out {
			a := out[(i+n-1)%n]
			if len(kept) > 0 {
				a = kept[len(kept)-1]
			}
			b, c := out[i], out[(i+1)%n]
			if straightOn(a, b, c) {
				changed = true
				continue
			}
			kept = append(kept, b)
		}
		if len(kept) < 3 {
			break
		}
		out = kept
	}
	return out
}

func near(a, b orb.Point) bool {
	return math.Abs(a[0]-b[0]) <= Coincident && math.Abs(a[1]-b[1]) <= Coincident
}

// straightOn reports whether b lies within 1e-9 mm of the line a-c, between
// the two.
func straightOn(a, b, c orb.Point) bool {
	ux, uy := c[0]-a[0], c[1]-a[1]
	vx, vy := b[0]-a[0], b[1]-a[1]
	l := steady.Hypot(ux, uy)
	if l == 0 {
		return false
	}
	t := (float64(vx*ux) + float64(vy*uy)) / l
	return math.Abs(float64(ux*vy)-float64(uy*vx))/l <= 1e-9 && t > 0 && t < l
}
