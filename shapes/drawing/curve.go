package drawing

import (
	"math"
	"slices"

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
	s, c := math.Sincos(t)
	return orb.Point{a.c[0] + a.u[0]*c + a.v[0]*s, a.c[1] + a.u[1]*c + a.v[1]*s}
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
	return cross(sub(a.p0, o), sub(a.p1, o)) + cross(a.u, a.v)*angleLessSine(a.t1-a.t0)
}

// angleLessSine is t - sin t.
func angleLessSine(t float64) float64 {
	if math.Abs(t) > 0.5 {
		return t - math.Sin(t)
	}
	q := t * t
	return t * q / 6 * (1 - q/20*(1-q/42*(1-q/72*(1-q/110*(1-q/156)))))
}

func (a arcCurve) length() float64 {
	lu, lv := length(a.u), length(a.v)
	if math.Abs(lu-lv) <= 1e-12*lu && math.Abs(dot(a.u, a.v)) <= 1e-12*lu*lu {
		return lu * math.Abs(a.t1-a.t0)
	}
	speed := func(t float64) float64 {
		s, c := math.Sincos(t)
		return math.Hypot(-a.u[0]*s+a.v[0]*c, -a.u[1]*s+a.v[1]*c)
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
		t := math.Atan2(a.v[i], a.u[i])
		k := math.Ceil((lo - t) / math.Pi)
		for n := 0.0; n < 4 && t+(k+n)*math.Pi <= hi; n++ {
			out = append(out, a.at(t+(k+n)*math.Pi))
		}
	}
	return out
}

// longAxis is no less than the ellipse's longer half axis.
func (a arcCurve) longAxis() float64 {
	// The half axes are the singular values of [u v].
	q := dot(a.u, a.u) + dot(a.v, a.v)
	w := cross(a.u, a.v)
	d := math.Max(q*q-4*w*w, 0)
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
		step = math.Min(step, 2*math.Acos(r/(r+tol)))
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
	k := 1 / math.Cos(half)
	for i := range n {
		s, c := math.Sincos(a.t0 + half*float64(2*i+1))
		out = append(out, orb.Point{a.c[0] + k*(a.u[0]*c+a.v[0]*s), a.c[1] + k*(a.u[1]*c+a.v[1]*s)})
	}
	return append(out, a.p1)
}

// bezier is a Bézier curve of any degree from 1; w holds the weights of a
// rational one, all positive, and is nil otherwise.
type bezier struct {
	p []orb.Point
	w []float64
}

func (b bezier) start() orb.Point  { return b.p[0] }
func (b bezier) end() orb.Point    { return b.p[len(b.p)-1] }
func (b bezier) hull() []orb.Point { return b.p }

func (b bezier) mapped(m affine) curve {
	out := bezier{make([]orb.Point, len(b.p)), b.w}
	for i, p := range b.p {
		out.p[i] = m.point(p)
	}
	return out
}

func (b bezier) reversed() curve {
	out := bezier{slices.Clone(b.p), slices.Clone(b.w)}
	slices.Reverse(out.p)
	slices.Reverse(out.w)
	return out
}

// state is the place and the derivative at t.
func (b bezier) state(t float64) (p, d orb.Point) {
	n := len(b.p) - 1
	var x, y, w [maxDegree + 1]float64
	for i, q := range b.p {
		w[i] = 1
		if b.w != nil {
			w[i] = b.w[i]
		}
		x[i], y[i] = q[0]*w[i], q[1]*w[i]
	}
	for r := n; r > 1; r-- {
		for i := range r {
			x[i] += t * (x[i+1] - x[i])
			y[i] += t * (y[i+1] - y[i])
			w[i] += t * (w[i+1] - w[i])
		}
	}
	k := float64(n)
	dx, dy, dw := k*(x[1]-x[0]), k*(y[1]-y[0]), k*(w[1]-w[0])
	px, py, pw := x[0]+t*(x[1]-x[0]), y[0]+t*(y[1]-y[0]), w[0]+t*(w[1]-w[0])
	p = orb.Point{px / pw, py / pw}
	return p, orb.Point{(dx - p[0]*dw) / pw, (dy - p[1]*dw) / pw}
}

func (b bezier) sweep(o orb.Point) float64 {
	return integrate(func(t float64) float64 {
		p, d := b.state(t)
		return cross(sub(p, o), d)
	}, 0, 1)
}

func (b bezier) length() float64 {
	return integrate(func(t float64) float64 {
		_, d := b.state(t)
		return length(d)
	}, 0, 1)
}

// splitAt cuts the curve at t.
func (b bezier) splitAt(t float64) (l, r bezier) {
	n := len(b.p) - 1
	l.p, r.p = make([]orb.Point, n+1), make([]orb.Point, n+1)
	q := slices.Clone(b.p)
	if b.w == nil {
		for k := 0; k <= n; k++ {
			l.p[k], r.p[n-k] = q[0], q[n-k]
			for i := range n - k {
				q[i] = lerp(q[i], q[i+1], t)
			}
		}
		return l, r
	}
	l.w, r.w = make([]float64, n+1), make([]float64, n+1)
	w := slices.Clone(b.w)
	for i := range q {
		q[i] = mulPoint(b.p[i], w[i])
	}
	for k := 0; k <= n; k++ {
		l.p[k], l.w[k] = mulPoint(q[0], 1/w[0]), w[0]
		r.p[n-k], r.w[n-k] = mulPoint(q[n-k], 1/w[n-k]), w[n-k]
		for i := range n - k {
			q[i], w[i] = lerp(q[i], q[i+1], t), w[i]+t*(w[i+1]-w[i])
		}
	}
	l.p[0], r.p[n] = b.p[0], b.p[n]
	r.p[0] = l.p[n]
	return l, r
}

func (b bezier) chords(out []orb.Point, tol float64) []orb.Point {
	return b.divide(out, tol, 0, bezier.chordFlat)
}

func (b bezier) outer(out []orb.Point, tol float64) []orb.Point {
	return b.divide(out, tol, 0, bezier.outerFlat)
}

// maxCuts bounds how often a part of a curve is cut again: a two-hundred-
// thousandth of a curve is below every tolerance that the coordinate limit
// leaves sensible.
const maxCuts = 18

// divide cuts the curve until each part is flat: flat appends the vertices of a
// part and says how far they stand off it, infinitely far where the part is too
// crooked to tell. What a part stands off falls with the square of its length,
// so it tells how many parts will do.
func (b bezier) divide(out []orb.Point, tol float64, depth int, flat func(bezier, []orb.Point) ([]orb.Point, float64)) []orb.Point {
	if depth >= maxCuts {
		return append(out, b.end())
	}
	n := len(out)
	out, off := flat(b, out)
	if off <= tol {
		return out
	}
	out = out[:n]
	parts := 2
	if k := math.Ceil(1.02 * math.Sqrt(off/tol)); k > 2 && !math.IsInf(off, 0) {
		parts = int(math.Min(k, 64))
	}
	for ; parts > 1; parts-- {
		var l bezier
		l, b = b.splitAt(1 / float64(parts))
		out = l.divide(out, tol, depth+1, flat)
	}
	return b.divide(out, tol, depth+1, flat)
}

// height is how far the curve may lie from its chord: for degrees two and three
// a half and three quarters of how far its control points do, where it has no
// weights.
func (b bezier) height() float64 {
	var h float64
	a, e := b.start(), b.end()
	for _, p := range b.p[1 : len(b.p)-1] {
		h = math.Max(h, segmentDistance(a, e, p))
	}
	if b.w == nil {
		switch len(b.p) {
		case 3:
			h *= 0.5
		case 4:
			h *= 0.75
		}
	}
	return h
}

func (b bezier) chordFlat(out []orb.Point) ([]orb.Point, float64) {
	return append(out, b.end()), b.height()
}

// outerFlat appends a polyline on the right of the curve. The curve lies in
// the hull of its control points, so the part of the hull on the right of the
// chord is always such a polyline; where the control polygon only turns right
// that is the chord itself, and where it only turns left the two end tangents,
// carried on until they meet, do with one vertex.
func (b bezier) outerFlat(out []orb.Point) ([]orb.Point, float64) {
	a, e := b.start(), b.end()
	chord := sub(e, a)
	l := length(chord)
	n := len(b.p) - 1
	if l == 0 {
		if extent(b.p) > 0 {
			return out, math.Inf(1)
		}
		return out, 0
	}
	left, right, last := true, true, 0.0
	for i := 1; i < n; i++ {
		along := dot(sub(b.p[i], a), chord) / l
		if along < last || along > l {
			return out, math.Inf(1) // it doubles back
		}
		last = along
		off := cross(chord, sub(b.p[i], a))
		left = left && off <= 0 // it turns left and lies right of its chord
		right = right && off >= 0
	}
	switch {
	case right:
		return append(out, e), b.height()
	case left:
		m, _ := b.state(0.5)
		x, ok := tangentsMeet(b.p)
		if !ok {
			return out, math.Inf(1)
		}
		return append(out, x, e), distance(x, m)
	}
	return append(append(out, rightHull(b.p)...), e), 2 * b.height()
}

// tangentsMeet is where the end legs of a control polygon meet when carried
// on; ok is false where they do not meet between the ends, or where a control
// point lies outside them.
func tangentsMeet(p []orb.Point) (x orb.Point, ok bool) {
	n := len(p) - 1
	i, j := 1, n-1
	for i < n && p[i] == p[0] {
		i++
	}
	for j > 0 && p[j] == p[n] {
		j--
	}
	u, v := sub(p[i], p[0]), sub(p[n], p[j])
	w := cross(u, v)
	if w <= 1e-12*length(u)*length(v) {
		return x, false
	}
	chord := sub(p[n], p[0])
	t := cross(chord, v) / w
	s := cross(chord, u) / w // x is also p[n] + s·v
	if t < 0 || s > 0 {
		return x, false
	}
	x = add(p[0], mulPoint(u, t))
	eps := 1e-9 * length(chord)
	for _, q := range p[1:n] {
		if cross(u, sub(q, p[0])) < -eps*length(u) || cross(v, sub(q, p[n])) < -eps*length(v) {
			return x, false
		}
	}
	return x, true
}

// rightHull is the part of the hull of the points to the right of the way from
// the first to the last, both left out. The points advance along that way.
func rightHull(p []orb.Point) []orb.Point {
	hull := make([]orb.Point, 0, len(p))
	for _, q := range p {
		for len(hull) > 1 && cross(sub(hull[len(hull)-1], hull[len(hull)-2]), sub(q, hull[len(hull)-1])) <= 0 {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, q)
	}
	return hull[1 : len(hull)-1]
}
