package drawing

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

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
		x[i], y[i] = float64(q[0]*w[i]), float64(q[1]*w[i])
	}
	for r := n; r > 1; r-- {
		for i := range r {
			x[i] += float64(t * (x[i+1] - x[i]))
			y[i] += float64(t * (y[i+1] - y[i]))
			w[i] += float64(t * (w[i+1] - w[i]))
		}
	}
	k := float64(n)
	dx, dy, dw := float64(k*(x[1]-x[0])), float64(k*(y[1]-y[0])), float64(k*(w[1]-w[0]))
	px, py, pw := x[0]+float64(t*(x[1]-x[0])), y[0]+float64(t*(y[1]-y[0])), w[0]+float64(t*(w[1]-w[0]))
	p = orb.Point{px / pw, py / pw}
	return p, orb.Point{(dx - float64(p[0]*dw)) / pw, (dy - float64(p[1]*dw)) / pw}
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
			q[i], w[i] = lerp(q[i], q[i+1], t), w[i]+float64(t*(w[i+1]-w[i]))
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
