package drawing

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// affine maps (x, y) to (a·x + c·y + e, b·x + d·y + f).
type affine struct{ a, b, c, d, e, f float64 }

var identity = affine{a: 1, d: 1}

func translation(x, y float64) affine { return affine{1, 0, 0, 1, x, y} }
func scaling(x, y float64) affine     { return affine{x, 0, 0, y, 0, 0} }

// rotation turns counter-clockwise by radians where y points up.
func rotation(rad float64) affine {
	s, c := steady.Sincos(rad)
	return affine{c, s, -s, c, 0, 0}
}

// rotationDeg is rotation by degrees, exact at right angles.
func rotationDeg(deg float64) affine {
	switch math.Mod(math.Mod(deg, 360)+360, 360) {
	case 0:
		return identity
	case 90:
		return affine{0, 1, -1, 0, 0, 0}
	case 180:
		return affine{-1, 0, 0, -1, 0, 0}
	case 270:
		return affine{0, -1, 1, 0, 0, 0}
	}
	return rotation(deg * math.Pi / 180)
}

// mul is the map that applies n first, then m.
func (m affine) mul(n affine) affine {
	return affine{
		float64(m.a*n.a) + float64(m.c*n.b), float64(m.b*n.a) + float64(m.d*n.b),
		float64(m.a*n.c) + float64(m.c*n.d), float64(m.b*n.c) + float64(m.d*n.d),
		float64(m.a*n.e) + float64(m.c*n.f) + m.e, float64(m.b*n.e) + float64(m.d*n.f) + m.f,
	}
}

func (m affine) point(p orb.Point) orb.Point {
	return orb.Point{float64(m.a*p[0]) + float64(m.c*p[1]) + m.e, float64(m.b*p[0]) + float64(m.d*p[1]) + m.f}
}

// vector maps a direction: it is not moved.
func (m affine) vector(p orb.Point) orb.Point {
	return orb.Point{float64(m.a*p[0]) + float64(m.c*p[1]), float64(m.b*p[0]) + float64(m.d*p[1])}
}

func (m affine) det() float64 { return float64(m.a*m.d) - float64(m.b*m.c) }

// size is the scale of the map: the root of how it changes areas.
func (m affine) size() float64 { return math.Sqrt(math.Abs(m.det())) }

// inverse returns the map back; ok is false where there is none.
func (m affine) inverse() (inv affine, ok bool) {
	det := m.det()
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return identity, false
	}
	inv = affine{a: m.d / det, b: -m.b / det, c: -m.c / det, d: m.a / det}
	inv.e = -(float64(inv.a*m.e) + float64(inv.c*m.f))
	inv.f = -(float64(inv.b*m.e) + float64(inv.d*m.f))
	return inv, true
}

func (m affine) finite() bool {
	for _, v := range [6]float64{m.a, m.b, m.c, m.d, m.e, m.f} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

func sub(a, b orb.Point) orb.Point              { return orb.Point{a[0] - b[0], a[1] - b[1]} }
func add(a, b orb.Point) orb.Point              { return orb.Point{a[0] + b[0], a[1] + b[1]} }
func mulPoint(a orb.Point, k float64) orb.Point { return orb.Point{a[0] * k, a[1] * k} }
func cross(a, b orb.Point) float64              { return float64(a[0]*b[1]) - float64(a[1]*b[0]) }
func dot(a, b orb.Point) float64                { return float64(a[0]*b[0]) + float64(a[1]*b[1]) }
func length(a orb.Point) float64                { return steady.Hypot(a[0], a[1]) }
func distance(a, b orb.Point) float64           { return steady.Hypot(a[0]-b[0], a[1]-b[1]) }
func lerp(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + float64(t*(b[0]-a[0])), a[1] + float64(t*(b[1]-a[1]))}
}
