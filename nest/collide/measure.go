package collide

import "math"

// Measure is the graded overlap of two bodies, zero exactly where Overlap is
// false. It grows with how deep the inscribed circles sink into each other,
// and still falls with distance after they have parted, so that a search is
// always told which way is better (after Gardeyn, Vanden Berghe and Wauters
// 2025). Its unit is a length.
//
// Circles that sink into each other by more than tol prove the overlap, so the
// judge is asked only about near misses.
func Measure(a, b *Body, tx, ty, gap, tol float64) float64 {
	if apart(&a.Box, &b.Box, tx, ty, gap-tol) {
		return 0
	}
	m, proved := circles(a, b, tx, ty, gap)
	if !proved && !Overlap(a, b, tx, ty, gap, tol) {
		return 0
	}
	return m
}

// PairScale is a fixed factor of the measure of two shapes, so that large
// plies, which are hard to move later, count for more.
func PairScale(a, b *Shape) float64 {
	return math.Sqrt(math.Sqrt(a.HullArea) * math.Sqrt(b.HullArea))
}

// circles sums, over pairs of inscribed circles, how far they sink into each
// other times the smaller radius; past contact the depth decays
// hyperbolically over eps. The square root of the sum is a length.
func circles(a, b *Body, tx, ty, gap float64) (m float64, proved bool) {
	eps := tailShare * math.Max(a.Shape.Diameter, b.Shape.Diameter)
	sure := 1e-6 * eps
	sum := 0.0
	for i := range a.Poles {
		p := &a.Poles[i]
		px, py, pr := p.X-tx, p.Y-ty, p.R+gap
		for j := range b.Poles {
			q := &b.Poles[j]
			dx, dy := px-q.X, py-q.Y
			depth := pr + q.R - math.Sqrt(dx*dx+dy*dy)
			if depth >= eps {
				proved = true
			} else {
				proved = proved || depth > sure
				depth = eps * eps / (2*eps - depth)
			}
			sum += depth * min(p.R, q.R)
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
