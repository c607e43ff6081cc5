package collide

import "math"

// Measure is the graded overlap of two bodies, zero exactly where Overlap is
// false. It grows with how deep the inscribed circles sink into each other,
// and still falls with distance after they have parted, so that a search is
// always told which way is better (after Gardeyn, Vanden Berghe and Wauters
// 2025). Its unit is a length.
//
// Circles that sink into each other by more than tol prove the overlap, so the
// judge is asked only about near misses. The measure may stop early with some
// value that is not below enough; +Inf gives it in full.
func Measure(a, b *Body, tx, ty, gap, tol, enough float64) float64 {
	if apart(&a.Box, &b.Box, tx, ty, gap-tol) {
		return 0
	}
	m, proved := circles(a, b, quickPoles, tx, ty, gap, enough)
	if !proved && !Overlap(a, b, tx, ty, gap, tol) {
		return 0
	}
	return m
}

// quickPoles is how many circles are used where no table has them prepared:
// more change the search little and cost their square.
const quickPoles = 7

// PairScale is a fixed factor of the measure of two shapes, so that large
// plies, which are hard to move later, count for more.
func PairScale(a, b *Shape) float64 {
	return math.Sqrt(math.Sqrt(a.HullArea) * math.Sqrt(b.HullArea))
}

// facing is the circles of two bodies that are measured against each other, at
// most limit of each, the depth over which the measure decays past contact, and
// the depth that proves an overlap.
func (a *Body) facing(b *Body, limit int) (ap, bp []Pole, eps, sure float64) {
	eps = tailShare * math.Max(a.Shape.Diameter, b.Shape.Diameter)
	return a.Poles[:min(limit, len(a.Poles))], b.Poles[:min(limit, len(b.Poles))], eps, 1e-6 * eps
}

// circles sums, over pairs of inscribed circles, how far they sink into each
// other times the smaller radius; past contact the depth decays
// hyperbolically over eps. The square root of the sum is a length. At most
// limit circles of each are used.
func circles(a, b *Body, limit int, tx, ty, gap, enough float64) (m float64, proved bool) {
	ap, bp, eps, sure := a.facing(b, limit)
	enough *= enough
	sum := 0.0
	for i := range ap {
		p := &ap[i]
		px, py, pr := p.X-tx, p.Y-ty, p.R+gap
		for j := range bp {
			q := &bp[j]
			dx, dy := px-q.X, py-q.Y
			depth := pr + q.R - math.Sqrt(float64(dx*dx)+float64(dy*dy))
			if depth >= eps {
				proved = true
			} else {
				proved = proved || depth > sure
				depth = eps * eps / (2*eps - depth)
			}
			sum += float64(depth * min(p.R, q.R))
		}
		if proved && sum >= enough {
			break
		}
	}
	return math.Sqrt(sum), proved
}

// ObstacleMeasure is the graded overlap of a ply with an obstacle that has no
// circles, from the depth between parts. PairScale is not included.
func ObstacleMeasure(obstacle, b *Body, tx, ty, tol float64) float64 {
	d := Depth(obstacle, b, tx, ty, 0, tol)
	if d == 0 {
		return 0
	}
	return math.Sqrt(d * b.Shape.Diameter)
}
