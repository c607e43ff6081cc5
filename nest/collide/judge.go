package collide

import "math"

// Overlap tells whether a and b, with b's centre moved by (tx, ty) relative to
// a's, come closer than gap: for gap 0, whether their interiors meet by more
// than tol. It is the judge of every layout.
//
// Two convex parts are apart if some edge of one has the whole other part on
// its outer side (Gottschalk et al. 1996, separating axes); that is exact. At
// least gap apart needs the distance of vertices as well.
func Overlap(a, b *Body, tx, ty, gap, tol float64) bool {
	g := gap - tol
	if apart(&a.Box, &b.Box, tx, ty, g) {
		return false
	}
	for i := range a.Boxes {
		if apart(&a.Boxes[i], &b.Box, tx, ty, g) {
			continue
		}
		for j := range b.Boxes {
			if apart(&a.Boxes[i], &b.Boxes[j], tx, ty, g) {
				continue
			}
			if partsMeet(a, i, b, j, tx, ty, g) {
				return true
			}
		}
	}
	return false
}

func apart(a, b *Box, tx, ty, g float64) bool {
	return b.MinX+tx-a.MaxX >= g || a.MinX-b.MaxX-tx >= g ||
		b.MinY+ty-a.MaxY >= g || a.MinY-b.MaxY-ty >= g
}

// partsMeet tells whether part i of a and part j of b are closer than g; g may
// be slightly negative.
func partsMeet(a *Body, i int, b *Body, j int, tx, ty, g float64) bool {
	widest := separation(a, i, b, j, tx, ty, g)
	if widest >= g {
		return false
	}
	w := separation(b, j, a, i, -tx, -ty, g)
	if w >= g {
		return false
	}
	widest = math.Max(widest, w)
	if widest <= 0 {
		return true // no separating axis: the interiors meet
	}
	return partDistance(a, i, b, j, tx, ty) < g
}

// separation is the largest distance by which an edge of part i of a has part
// j of b on its outer side; it stops early at enough.
func separation(a *Body, i int, b *Body, j int, tx, ty, enough float64) float64 {
	c := a.Shape.C
	bx := b.X[b.Shape.Start[j]:b.Shape.Start[j+1]]
	by := b.Y[b.Shape.Start[j]:b.Shape.Start[j+1]]
	by = by[:len(bx)]
	widest := math.Inf(-1)
	for k := a.Shape.Start[i]; k < a.Shape.Start[i+1]; k++ {
		nx, ny := a.NX[k], a.NY[k]
		low := math.Inf(1)
		for v := range bx {
			if d := nx*bx[v] + ny*by[v]; d < low {
				low = d
			}
		}
		if low += nx*tx + ny*ty - c[k]; low > widest {
			if low >= enough {
				return low
			}
			widest = low
		}
	}
	return widest
}

// partDistance is the distance of two convex parts that do not meet.
func partDistance(a *Body, i int, b *Body, j int, tx, ty float64) float64 {
	return math.Sqrt(math.Min(vertexToEdges(a, i, b, j, tx, ty), vertexToEdges(b, j, a, i, -tx, -ty)))
}

// vertexToEdges is the least squared distance from a vertex of part j of b to
// an edge of part i of a.
func vertexToEdges(a *Body, i int, b *Body, j int, tx, ty float64) float64 {
	lo, hi := a.Shape.Start[i], a.Shape.Start[i+1]
	best := math.Inf(1)
	for v := b.Shape.Start[j]; v < b.Shape.Start[j+1]; v++ {
		x, y := b.X[v]+tx, b.Y[v]+ty
		p := hi - 1
		for k := lo; k < hi; k++ {
			dx, dy := a.X[k]-a.X[p], a.Y[k]-a.Y[p]
			ex, ey := x-a.X[p], y-a.Y[p]
			t := (ex*dx + ey*dy) / (dx*dx + dy*dy)
			t = math.Max(0, math.Min(1, t))
			ex, ey = ex-t*dx, ey-t*dy
			best = math.Min(best, ex*ex+ey*ey)
			p = k
		}
	}
	return best
}

// Depth is how far the bodies sink into each other: the largest over pairs of
// parts of the least shift that parts them, 0 where the judge sees no overlap.
func Depth(a, b *Body, tx, ty, gap, tol float64) float64 {
	if apart(&a.Box, &b.Box, tx, ty, gap-tol) {
		return 0
	}
	deepest := 0.0
	for i := range a.Boxes {
		for j := range b.Boxes {
			if apart(&a.Boxes[i], &b.Boxes[j], tx, ty, gap-tol-deepest) {
				continue
			}
			w := separation(a, i, b, j, tx, ty, gap-tol)
			if w >= gap-tol {
				continue
			}
			w = math.Max(w, separation(b, j, a, i, -tx, -ty, gap-tol))
			if w > 0 {
				w = math.Max(w, partDistance(a, i, b, j, tx, ty))
			}
			if gap-w > tol {
				deepest = math.Max(deepest, gap-w)
			}
		}
	}
	return deepest
}
