package drawing

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// arcCurve is c + u·cos t + v·sin t for t from t0 to t1, in either direction:
// an arc of a circle where u and v are equal and at right angles, of an
// ellipse otherwise. p0 and p1 are its ends, kept as they were given.
type arcCurve struct {
	c, u, v orb.Point
	t0, t1  float64
	p0, p1  orb.Point
}

// newArc sets the ends from the angles; a full turn ends exactly where it
// starts.
func newArc(c, u, v orb.Point, t0, t1 float64) arcCurve {
	a := arcCurve{c: c, u: u, v: v, t0: t0, t1: t1}
	a.p0, a.p1 = a.at(t0), a.at(t1)
	if math.Abs(math.Abs(t1-t0)-2*math.Pi) < 1e-12 {
		a.p1 = a.p0
	}
	return a
}

func (a arcCurve) at(t float64) orb.Point {
	s, c := steady.Sincos(t)
	return orb.Point{a.c[0] + float64(a.u[0]*c) + float64(a.v[0]*s), a.c[1] + float64(a.u[1]*c) + float64(a.v[1]*s)}
}

func (a arcCurve) start() orb.Point { return a.p0 }
func (a arcCurve) end() orb.Point   { return a.p1 }

func (a arcCurve) mapped(m affine) curve {
	return arcCurve{m.point(a.c), m.vector(a.u), m.vector(a.v), a.t0, a.t1, m.point(a.p0), m.point(a.p1)}
}

func (a arcCurve) reversed() curve {
	a.t0, a.t1 = a.t1, a.t0
	a.p0, a.p1 = a.p1, a.p0
	return a
}

func (a arcCurve) sweep(o orb.Point) float64 {
	// The triangle to the chord and the segment beyond it; the latter keeps its
	// digits however flat the arc is.
	return cross(sub(a.p0, o), sub(a.p1, o)) + float64(cross(a.u, a.v)*angleLessSine(a.t1-a.t0))
}

// angleLessSine is t - sin t.
func angleLessSine(t float64) float64 {
	if math.Abs(t) > 0.5 {
		return t - steady.Sin(t)
	}
	q := t * t
	return t * q / 6 * (1 - float64(q/20*(1-float64(q/42*(1-float64(q/72*(1-float64(q/110*(1-q/156)))))))))
}

func (a arcCurve) length() float64 {
	lu, lv := length(a.u), length(a.v)
	if math.Abs(lu-lv) <= 1e-12*lu && math.Abs(dot(a.u, a.v)) <= 1e-12*lu*lu {
		return lu * math.Abs(a.t1-a.t0)
	}
	speed := func(t float64) float64 {
		s, c := steady.Sincos(t)
		return steady.Hypot(float64(-a.u[0]*s)+float64(a.v[0]*c), float64(-a.u[1]*s)+float64(a.v[1]*c))
	}
	n := math.Ceil(math.Abs(a.t1-a.t0) / (math.Pi / 8))
	var sum float64
	for i := 0.0; i < n; i++ {
		sum += integrate(speed, a.t0+(a.t1-a.t0)*i/n, a.t0+(a.t1-a.t0)*(i+1)/n)
	}
	return math.Abs(sum)
}

func (a arcCurve) hull() []orb.Point {
	out := []orb.Point{a.p0, a.p1, a.at((a.t0 + a.t1) / 2)}
	lo, hi := math.Min(a.t0, a.t1), math.Max(a.t0, a.t1)
	if !(hi-lo < 7) || math.Abs(lo) > 1e6 {
		return append(out, orb.Point{math.NaN(), math.NaN()}) // no arc of a drawing
	}
	// The places furthest along each axis.
	for i := range 2 {
		t := steady.Atan2(a.v[i], a.u[i])
		k := math.Ceil((lo - t) / math.Pi)
		for n := 0.0; n < 4 && t+float64((k+n)*math.Pi) <= hi; n++ {
			out = append(out, a.at(t+float64((k+n)*math.Pi)))
		}
	}
	return out
}

// longAxis is no less than the ellipse's longer half axis.
func (a arcCurve) longAxis() float64 {
	// The half axes are the singular values of [u v].
	q := dot(a.u, a.u) + dot(a.v, a.v)
	w := cross(a.u, a.v)
	d := math.Max(float64(q*q)-float64(4*w*w), 0)
	return math.Sqrt((q + math.Sqrt(d)) / 2)
}

// maxArcChords bounds the chords of one arc.
const maxArcChords = 1 << 14

// chordCount is how many equal steps in t keep within tol, at most a sixth of
// a turn each. The ellipse is a squeezed circle, so what holds for a circle of
// the longer half axis holds for it; tangents stand off a little more than
// chords, and the count is for them.
func (a arcCurve) chordCount(tol float64) int {
	r := a.longAxis()
	turn := math.Abs(a.t1 - a.t0)
	step := math.Pi / 3
	if r > tol {
		step = math.Min(step, 2*steady.Acos(r/(r+tol)))
	}
	n := math.Ceil(turn/step - 1e-9)
	if !(n >= 1) {
		return 1
	}
	return int(math.Min(n, maxArcChords))
}

func (a arcCurve) chords(out []orb.Point, tol float64) []orb.Point {
	n := a.chordCount(tol)
	for i := 1; i < n; i++ {
		out = append(out, a.at(a.t0+(a.t1-a.t0)*float64(i)/float64(n)))
	}
	return append(out, a.p1)
}

func (a arcCurve) outer(out []orb.Point, tol float64) []orb.Point {
	if cross(a.u, a.v)*(a.t1-a.t0) <= 0 {
		return a.chords(out, tol) // it turns right: chords are outside
	}
	// It turns left: the tangents at equal steps meet half a step on, further
	// out by 1/cos.
	n := a.chordCount(tol)
	half := (a.t1 - a.t0) / float64(2*n)
	k := 1 / steady.Cos(half)
	for i := range n {
		s, c := steady.Sincos(a.t0 + float64(half*float64(2*i+1)))
		out = append(out, orb.Point{a.c[0] + float64(k*(float64(a.u[0]*c)+float64(a.v[0]*s))), a.c[1] + float64(k*(float64(a.u[1]*c)+float64(a.v[1]*s)))})
	}
	return append(out, a.p1)
}
