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
	return vertexToEdges(a, i, b, j, tx, ty, g*g) < g*g || vertexToEdges(b, j, a, i, -tx, -ty, g*g) < g*g
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
			if d := float64(nx*bx[v]) + float64(ny*by[v]); d < low {
				low = d
			}
		}
		if low += float64(nx*tx) + float64(ny*ty) - c[k]; low > widest {
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
	d := vertexToEdges(a, i, b, j, tx, ty, 0)
	return math.Sqrt(min(d, vertexToEdges(b, j, a, i, -tx, -ty, 0)))
}

// vertexToEdges is the least squared distance from a vertex of part j of b to
// an edge of part i of a. It may stop early with some value below enough.
func vertexToEdges(a *Body, i int, b *Body, j int, tx, ty, enough float64) float64 {
	ax, ay := a.X[a.Shape.Start[i]:a.Shape.Start[i+1]], a.Y[a.Shape.Start[i]:a.Shape.Start[i+1]]
	ay = ay[:len(ax)]
	box := &a.Boxes[i]
	best := math.Inf(1)
	for v := b.Shape.Start[j]; v < b.Shape.Start[j+1]; v++ {
		x, y := b.X[v]+tx, b.Y[v]+ty
		// A vertex farther from the box than the best so far is no use.
		var ox, oy float64
		if x < box.MinX {
			ox = box.MinX - x
		} else if x > box.MaxX {
			ox = x - box.MaxX
		}
		if y < box.MinY {
			oy = box.MinY - y
		} else if y > box.MaxY {
			oy = y - box.MaxY
		}
		if float64(ox*ox)+float64(oy*oy) >= best {
			continue
		}
		px, py := ax[len(ax)-1], ay[len(ax)-1]
		for k := range ax {
			qx, qy := ax[k], ay[k]
			dx, dy := qx-px, qy-py
			ex, ey := x-px, y-py
			if t := float64(ex*dx) + float64(ey*dy); t > 0 {
				if l := float64(dx*dx) + float64(dy*dy); t >= l {
					ex, ey = x-qx, y-qy
				} else {
					t /= l
					ex, ey = ex-float64(t*dx), ey-float64(t*dy)
				}
			}
			if d := float64(ex*ex) + float64(ey*ey); d < best {
				if best = d; d < enough {
					return d
				}
			}
			px, py = qx, qy
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
