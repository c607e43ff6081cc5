package drawing

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Flags of SPLINE.
const (
	splineClosed   = 1
	splinePeriodic = 2
)

func (f *dxfFile) readSpline(it *dxfItem, gs groups) {
	var ctrl, fit []orb.Point
	var knots, weights, heights []float64
	for _, g := range gs {
		switch g.code {
		case 10:
			ctrl = append(ctrl, orb.Point{number(g), math.NaN()})
		case 20:
			if len(ctrl) > 0 {
				ctrl[len(ctrl)-1][1] = number(g)
			}
		case 11:
			fit = append(fit, orb.Point{number(g), math.NaN()})
		case 21:
			if len(fit) > 0 {
				fit[len(fit)-1][1] = number(g)
			}
		case 30, 31:
			heights = append(heights, number(g))
		case 40:
			knots = append(knots, number(g))
		case 41:
			weights = append(weights, number(g))
		}
	}
	degree := gs.int(71, 3)
	closed := gs.int(70, 0)&(splineClosed|splinePeriodic) != 0
	if len(ctrl) == 0 {
		if len(fit) < 2 {
			it.fault(nil, "has neither control points nor fit points", "draw it again")
			return
		}
		t0, t1 := gs.vector(12), gs.vector(13)
		if gs.int(70, 0)&splineClosed != 0 {
			it.curves = fitClosed(fit)
			it.closed = true
		} else {
			it.curves = fitOpen(fit, t0, t1)
		}
		it.doubt(fit[0], "is a spline given by fit points only: the curve between them is the usual cubic one, which the file does not state", "compare it with the drawing, or save the spline with control points")
	} else {
		cs, err := bezierParts(degree, ctrl, knots, weights)
		if err != nil {
			it.fault(&ctrl[0], "is no spline: "+err.Error(), "draw it again")
			return
		}
		it.curves = cs
		it.closed = closed && distance(cs[0].start(), cs[len(cs)-1].end()) <= 1e-6*(1+extent(ctrl))
	}
	if len(heights) > 0 {
		it.flat(heights...)
	}
}

// vector is the vector of a code, or nil where there is none.
func (gs groups) vector(code int) *orb.Point {
	if !gs.has(code) {
		return nil
	}
	v := gs.point(code)
	if v == (orb.Point{}) {
		return nil
	}
	return &v
}

func extent(ps []orb.Point) float64 {
	var d float64
	for _, p := range ps {
		d = math.Max(d, distance(p, ps[0]))
	}
	return d
}

// bezierParts cuts a B-spline, rational where weights are given, into Bézier
// curves, one per knot span that is not empty. Each control point is a value
// of the spline's polar form (Ramshaw, Blossoming: a Connect-the-Dots Approach
// to Splines).
func bezierParts(degree int, ctrl []orb.Point, knots, weights []float64) ([]curve, error) {
	n := len(ctrl)
	switch {
	case degree < 1 || degree > maxDegree:
		return nil, fmt.Errorf("its degree is %d", degree)
	case n <= degree:
		return nil, fmt.Errorf("%d control points are too few for degree %d", n, degree)
	case len(knots) != n+degree+1:
		return nil, fmt.Errorf("%d knots do not go with %d control points of degree %d", len(knots), n, degree)
	case len(weights) != 0 && len(weights) != n:
		return nil, fmt.Errorf("%d weights do not go with %d control points", len(weights), n)
	}
	for i, k := range knots {
		if math.IsNaN(k) || math.IsInf(k, 0) || i > 0 && k < knots[i-1] {
			return nil, fmt.Errorf("knot %d (%g) is out of order", i+1, k)
		}
	}
	rational := false
	for i, w := range weights {
		if !(w > 0) || math.IsInf(w, 0) {
			return nil, fmt.Errorf("weight %d is %g", i+1, w)
		}
		rational = rational || w != weights[0]
	}
	var out []curve
	for i := degree; i < n; i++ {
		if knots[i] == knots[i+1] {
			continue
		}
		b := bezier{p: make([]orb.Point, degree+1)}
		if rational {
			b.w = make([]float64, degree+1)
		}
		for j := range b.p {
			x, y, w := polar(degree, i, j, ctrl, knots, weights, rational)
			if !(w > 0) {
				return nil, fmt.Errorf("its weights cancel")
			}
			b.p[j] = orb.Point{x / w, y / w}
			if rational {
				b.w[j] = w
			}
		}
		if m := len(out); m > 0 {
			// Parts of a continuous spline meet exactly.
			if prev := out[m-1].(bezier); distance(prev.end(), b.p[0]) <= 1e-9*(1+extent(ctrl)) {
				b.p[0] = prev.end()
			}
		}
		if degree == 1 {
			out = append(out, bezier{p: b.p})
			continue
		}
		out = append(out, b)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("all its knots are one")
	}
	if degree == 1 {
		for i, c := range out {
			out[i] = lineCurve{c.start(), c.end()}
		}
	}
	return out, nil
}

// polar is the spline's polar form on span i with the later end of the span
// given j times and the earlier one for the rest.
func polar(degree, i, j int, ctrl []orb.Point, knots, weights []float64, rational bool) (x, y, w float64) {
	var xs, ys, ws [maxDegree + 1]float64
	for k := range degree + 1 {
		p := ctrl[i-degree+k]
		ws[k] = 1
		if rational {
			ws[k] = weights[i-degree+k]
		}
		xs[k], ys[k] = p[0]*ws[k], p[1]*ws[k]
	}
	for r := 1; r <= degree; r++ {
		arg := knots[i]
		if r <= j {
			arg = knots[i+1]
		}
		for k := degree; k >= r; k-- {
			lo, hi := knots[i-degree+k], knots[i+1+k-r]
			a := (arg - lo) / (hi - lo)
			xs[k] = float64((1-a)*xs[k-1]) + float64(a*xs[k])
			ys[k] = float64((1-a)*ys[k-1]) + float64(a*ys[k])
			ws[k] = float64((1-a)*ws[k-1]) + float64(a*ws[k])
		}
	}
	return xs[degree], ys[degree], ws[degree]
}

// fitOpen is the cubic through the points with continuous curvature, each span
// as long in the parameter as its chord. Where no end tangent is given the
// curvature vanishes there.
func fitOpen(p []orb.Point, t0, t1 *orb.Point) []curve {
	p, h := chordSteps(p)
	n := len(p)
	if n < 2 {
		return nil
	}
	if n == 2 && t0 == nil && t1 == nil {
		return []curve{lineCurve{p[0], p[1]}}
	}
	lo, di, up := make([]float64, n), make([]float64, n), make([]float64, n)
	rhs := make([]orb.Point, n)
	end := func(i int, t *orb.Point, a, b int, step float64) {
		if t != nil {
			di[i] = 1
			rhs[i] = mulPoint(*t, 1/length(*t))
			return
		}
		di[i] = 2
		if i == 0 {
			up[i] = 1
		} else {
			lo[i] = 1
		}
		rhs[i] = mulPoint(sub(p[b], p[a]), 3/step)
	}
	end(0, t0, 0, 1, h[0])
	end(n-1, t1, n-2, n-1, h[n-2])
	for i := 1; i < n-1; i++ {
		lo[i], di[i], up[i] = h[i], 2*(h[i-1]+h[i]), h[i-1]
		rhs[i] = add(mulPoint(sub(p[i], p[i-1]), 3*h[i]/h[i-1]), mulPoint(sub(p[i+1], p[i]), 3*h[i-1]/h[i]))
	}
	return hermite(p, h, solveTridiagonal(lo, di, up, rhs))
}

// fitClosed is fitOpen for a closed curve.
func fitClosed(p []orb.Point) []curve {
	if len(p) > 1 && p[0] == p[len(p)-1] {
		p = p[:len(p)-1]
	}
	// The system is cyclic. Its solution forgets what lies far off by a factor
	// of more than three per point, so wrapping round for a while and solving
	// the open system gives it to the last digit.
	const wrap = 40
	n := len(p)
	if n < 3 {
		return fitOpen(append(p, p[0]), nil, nil)
	}
	long := make([]orb.Point, 0, n+2*wrap+1)
	for i := -wrap; i <= n+wrap; i++ {
		long = append(long, p[((i%n)+n)%n])
	}
	cs := fitOpen(long, nil, nil)
	if len(cs) != len(long)-1 {
		return fitOpen(append(p, p[0]), nil, nil)
	}
	return cs[wrap : wrap+n]
}

// chordSteps drops repeated points and measures the chords.
func chordSteps(p []orb.Point) ([]orb.Point, []float64) {
	var q []orb.Point
	var h []float64
	for _, x := range p {
		if len(q) > 0 {
			d := distance(q[len(q)-1], x)
			if d == 0 {
				continue
			}
			h = append(h, d)
		}
		q = append(q, x)
	}
	return q, h
}

// hermite turns points and derivatives into cubics.
func hermite(p []orb.Point, h []float64, d []orb.Point) []curve {
	out := make([]curve, 0, len(h))
	for i := range h {
		out = append(out, bezier{p: []orb.Point{p[i], add(p[i], mulPoint(d[i], h[i]/3)), sub(p[i+1], mulPoint(d[i+1], h[i]/3)), p[i+1]}})
	}
	return out
}

// solveTridiagonal solves a system that is dominated by its diagonal.
func solveTridiagonal(lo, di, up []float64, rhs []orb.Point) []orb.Point {
	n := len(di)
	for i := 1; i < n; i++ {
		m := lo[i] / di[i-1]
		di[i] -= float64(m * up[i-1])
		rhs[i] = sub(rhs[i], mulPoint(rhs[i-1], m))
	}
	rhs[n-1] = mulPoint(rhs[n-1], 1/di[n-1])
	for i := n - 2; i >= 0; i-- {
		rhs[i] = mulPoint(sub(rhs[i], mulPoint(rhs[i+1], up[i])), 1/di[i])
	}
	return rhs
}
