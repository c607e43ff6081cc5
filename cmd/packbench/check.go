package main

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes/strip"
)

// checkedWidth is what the strip's width is scaled to for the check, in mm: the
// verifier's lattice is then finer than 1e-9 of the width.
const checkedWidth = 10_000

// edgeAllowance is how far a vertex may pass the strip's edge, as a share of
// the width: the rounding of a placement.
const edgeAllowance = 1e-9

// check lists every fault of a layout, from its outlines alone.
func (r *result) check(in *strip.Instance) []string {
	var faults []string
	fault := func(format string, args ...any) { faults = append(faults, fmt.Sprintf(format, args...)) }
	seen := map[[2]int]bool{}
	count := make([]int, len(in.Items))
	polys := make([]nest.Polygon, len(r.Placements))
	type box struct{ x0, y0, x1, y1 float64 }
	boxes := make([]box, len(r.Placements))
	scale := checkedWidth / in.Width
	for i, p := range r.Placements {
		key := [2]int{p.Item, p.Copy}
		if seen[key] {
			fault("item %d copy %d is laid twice", p.Item, p.Copy)
		}
		seen[key] = true
		count[p.Item]++
		if !allowed(in.Items[p.Item].Rotations, p.Rotation) {
			fault("item %d copy %d is turned by %v degrees", p.Item, p.Copy, p.Rotation)
		}
		b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, v := range p.Outline {
			b = box{min(b.x0, v[0]), min(b.y0, v[1]), max(b.x1, v[0]), max(b.y1, v[1])}
			polys[i].Outline = append(polys[i].Outline, nest.Point{v[0] * scale, v[1] * scale})
		}
		slack := edgeAllowance * in.Width
		if !(b.x0 >= -slack && b.y0 >= -slack && b.y1 <= in.Width+slack && b.x1 <= r.Length+slack) {
			fault("item %d copy %d reaches over the edge: %v", p.Item, p.Copy, b)
		}
		boxes[i] = b
	}
	for i, it := range in.Items {
		if count[i] != it.Quantity {
			fault("item %d is laid %d times, not %d", i, count[i], it.Quantity)
		}
	}
	for i := range polys {
		for j := range i {
			a, b := boxes[i], boxes[j]
			if a.x0 >= b.x1 || b.x0 >= a.x1 || a.y0 >= b.y1 || b.y0 >= a.y1 {
				continue
			}
			if at, depth, bad := verify.Overlap(polys[i], polys[j]); bad {
				p, q := r.Placements[i], r.Placements[j]
				fault("item %d copy %d overlaps item %d copy %d by %.3g at (%.6g, %.6g)",
					p.Item, p.Copy, q.Item, q.Copy, depth/scale, at[0]/scale, at[1]/scale)
			}
		}
	}
	return faults
}

func allowed(angles []float64, a float64) bool {
	if angles == nil {
		return true
	}
	for _, v := range angles {
		if math.Abs(math.Mod(a-v, 360)) < 1e-9 {
			return true
		}
	}
	return false
}
