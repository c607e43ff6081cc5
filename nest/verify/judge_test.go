package verify_test

import (
	"fmt"
	"math"
	"math/big"

	"github.com/peterstace/simplefeatures/geom"

	"plyroom/nest"
	"plyroom/nest/verify"
)

// outside converts a polygon for the outside library; false where that finds
// it invalid or flat.
func outside(p nest.Polygon) (geom.Geometry, bool) {
	ring := func(r nest.Ring) []float64 {
		out := make([]float64, 0, 2*len(r)+2)
		for _, v := range r {
			out = append(out, v[0], v[1])
		}
		return append(out, r[0][0], r[0][1])
	}
	if len(p.Outline) < 3 {
		return geom.Geometry{}, false
	}
	rings := [][]float64{ring(p.Outline)}
	for _, h := range p.Holes {
		rings = append(rings, ring(h))
	}
	g := geom.NewPolygonXY(rings...)
	if g.Validate() != nil || g.Area() == 0 || selfTouching(p) {
		return geom.Geometry{}, false
	}
	return g.AsGeometry(), true
}

// selfTouching reports whether two edges of one ring that are no neighbours
// meet once they are on the lattice, in whole numbers of any size: the library
// works in float64 and takes some such rings for valid, and then its overlay
// is no longer to be trusted.
func selfTouching(p nest.Polygon) bool {
	for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
		var v [][2]int64
		for _, q := range r {
			w := [2]int64{int64(math.Round(q[0] * 1e6)), int64(math.Round(q[1] * 1e6))}
			if len(v) == 0 || v[len(v)-1] != w {
				v = append(v, w)
			}
		}
		for len(v) > 1 && v[0] == v[len(v)-1] {
			v = v[:len(v)-1]
		}
		n := len(v)
		turn := func(a, b, c [2]int64) int {
			x := new(big.Int).Mul(big.NewInt(b[0]-a[0]), big.NewInt(c[1]-a[1]))
			return x.Cmp(new(big.Int).Mul(big.NewInt(b[1]-a[1]), big.NewInt(c[0]-a[0])))
		}
		on := func(a, b, c [2]int64) bool {
			return turn(a, b, c) == 0 && min(a[0], b[0]) <= c[0] && c[0] <= max(a[0], b[0]) && min(a[1], b[1]) <= c[1] && c[1] <= max(a[1], b[1])
		}
		for i := range n {
			a, b := v[i], v[(i+1)%n]
			if n < 3 || on(a, b, v[(i+2)%n]) || on(b, v[(i+2)%n], a) {
				return true
			}
			for j := i + 2; j < n && (j+1)%n != i; j++ {
				c, d := v[j], v[(j+1)%n]
				if on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b) ||
					turn(a, b, c)*turn(a, b, d) < 0 && turn(c, d, a)*turn(c, d, b) < 0 {
					return true
				}
			}
		}
	}
	return false
}

// judge compares overlap and distance of two polygons with the outside
// library's opinion; the error says where they part. The second result is
// whether the pair could be judged.
//
// A region that holds no disc of radius r has an area of at most r times its
// perimeter (its inner parallel curves are no longer than its rim), so what is
// passed as rounding must be that thin everywhere.
func judge(a, b nest.Polygon) (overlap, judged bool, err error) {
	ga, okA := outside(a)
	gb, okB := outside(b)
	if !okA || !okB {
		return false, false, nil
	}
	common, err := geom.Intersection(ga, gb)
	if err != nil {
		return false, false, nil
	}
	at, depth, overlap := verify.Overlap(a, b)
	if at2, depth2, overlap2 := verify.Overlap(b, a); overlap2 != overlap || math.Abs(depth2-depth) > 1e-9+1e-9*depth {
		return overlap, true, fmt.Errorf("overlap depends on the order: %v %g at %v, %v %g at %v", overlap, depth, at, overlap2, depth2, at2)
	}
	// The outside library works in float64: allow it some units of the
	// largest coordinate.
	noise := 1e-13 * (extent(a) + extent(b))
	// What is not on the lattice is snapped to it first: 0.71 units a vertex.
	if !onLattice(a) || !onLattice(b) {
		noise += 0.71 * verify.Grid
	}
	if overlap {
		// A place in both and deep in one is proof; the library's overlay is not
		// asked, for it now and then denies what its distances show.
		p := geom.NewPointXY(at[0], at[1]).AsGeometry()
		for _, g := range []geom.Geometry{ga, gb} {
			if d, ok := geom.Distance(p, g); !ok || d > 1e-9+noise {
				return true, true, fmt.Errorf("the place shown, %v, is %g outside one of the two", at, d)
			}
		}
		da, _ := geom.Distance(p, ga.Boundary())
		db, _ := geom.Distance(p, gb.Boundary())
		if got := max(da, db); got < verify.RoundingAllowance-2*noise || got < depth*(1-1e-9)-1e-9-2*noise {
			return true, true, fmt.Errorf("the place shown, %v, is %g deep, not %g", at, got, depth)
		}
		return true, true, nil
	}
	for _, piece := range common.Dump() {
		if piece.Type() != geom.TypePolygon {
			continue
		}
		rim := piece.Boundary().Length()
		if most := (2.5*verify.RoundingAllowance + noise) * rim; piece.Area() > most {
			// The library's overlay now and then returns a polygon that its
			// own distances deny.
			if p := piece.PointOnSurface().AsGeometry(); !within(p, ga, noise) || !within(p, gb, noise) {
				return false, false, nil
			}
			return false, true, fmt.Errorf("no overlap found; the library finds %g mm² within %g mm", piece.Area(), rim)
		}
	}
	want, _ := geom.Distance(ga, gb)
	if got, _ := verify.Distance(a, b); math.Abs(got-want) > 1e-9+2*noise && max(got, want) > verify.RoundingAllowance+2*noise {
		return false, true, fmt.Errorf("distance %.9g; the library finds %.9g", got, want)
	}
	return false, true, nil
}

// within reports whether a point lies in a polygon or no farther than noise
// outside.
func within(p, g geom.Geometry, noise float64) bool {
	d, ok := geom.Distance(p, g)
	return ok && d <= noise
}

func onLattice(p nest.Polygon) bool {
	for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
		for _, v := range r {
			if v[0] != nest.Round(v[0]) || v[1] != nest.Round(v[1]) {
				return false
			}
		}
	}
	return true
}

func extent(p nest.Polygon) float64 {
	most := 0.0
	for _, v := range p.Outline {
		most = max(most, math.Abs(v[0]), math.Abs(v[1]))
	}
	return most
}
