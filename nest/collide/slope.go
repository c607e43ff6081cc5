package collide

import "math"

// A Slope says how a measure changes as a body moves along x and along y, per
// unit of length, and as it turns about its centre, per radian.
type Slope struct{ X, Y, Turn float64 }

// MeasureSlope is Measure in full, and how it changes as the first body, a,
// moves and turns; the slope is zero where the measure is. Its jump where the
// bodies come into contact is no part of the slope.
func MeasureSlope(a, b *Body, tx, ty, gap, tol float64) (float64, Slope) {
	if apart(&a.Box, &b.Box, tx, ty, gap-tol) {
		return 0, Slope{}
	}
	m, g, proved := circleSlopes(a, b, quickPoles, tx, ty, gap)
	if !proved && !Overlap(a, b, tx, ty, gap, tol) {
		return 0, Slope{}
	}
	return m, g
}

// circleSlopes is circles with the derivatives. A circle of a with its centre
// at c, d from that of one of b, sinks in less by d/|d| per unit moved, and as
// a turns its centre moves by c turned through a right angle.
func circleSlopes(a, b *Body, limit int, tx, ty, gap float64) (m float64, g Slope, proved bool) {
	ap, bp, eps, sure := a.facing(b, limit)
	sum := 0.0
	for i := range ap {
		p := &ap[i]
		px, py, pr := p.X-tx, p.Y-ty, p.R+gap
		gx, gy := 0.0, 0.0
		for j := range bp {
			q := &bp[j]
			dx, dy := px-q.X, py-q.Y
			apart := math.Sqrt(float64(dx*dx) + float64(dy*dy))
			depth := pr + q.R - apart
			steep := min(p.R, q.R)
			if depth >= eps {
				proved = true
				sum += float64(depth * steep)
			} else {
				proved = proved || depth > sure
				tail := eps / (2*eps - depth)
				sum += float64(float64(eps*tail) * steep)
				steep *= tail * tail
			}
			if apart > 0 {
				steep /= apart
				gx -= float64(steep * dx)
				gy -= float64(steep * dy)
			}
		}
		g.X += gx
		g.Y += gy
		g.Turn += float64(p.X*gy) - float64(p.Y*gx)
	}
	m = math.Sqrt(sum)
	if m > 0 {
		f := 0.5 / m
		g = Slope{g.X * f, g.Y * f, g.Turn * f}
	}
	return m, g, proved
}
