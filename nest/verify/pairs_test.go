package verify_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
)

// moved turns a polygon by deg about the origin, mirrors nothing, and shifts
// it.
func moved(p nest.Polygon, deg, dx, dy float64) nest.Polygon {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	ring := func(r nest.Ring) nest.Ring {
		out := make(nest.Ring, len(r))
		for i, v := range r {
			out[i] = nest.Point{cos*v[0] - sin*v[1] + dx, sin*v[0] + cos*v[1] + dy}
		}
		return out
	}
	q := nest.Polygon{Outline: ring(p.Outline)}
	for _, h := range p.Holes {
		q.Holes = append(q.Holes, ring(h))
	}
	return q
}

// rounded puts a polygon on the record's decimals.
func rounded(p nest.Polygon) nest.Polygon {
	q := moved(p, 0, 0, 0)
	for _, r := range append([]nest.Ring{q.Outline}, q.Holes...) {
		for i := range r {
			r[i] = nest.Point{nest.Round(r[i][0]), nest.Round(r[i][1])}
		}
	}
	return q
}

// star is a random polygon around the origin, of size about 1.
func star(rng *rand.Rand) nest.Polygon {
	n := 3 + rng.IntN(12)
	angles := make([]float64, n)
	for i := range angles {
		angles[i] = rng.Float64() * 2 * math.Pi
	}
	slices.Sort(angles)
	var p nest.Polygon
	for _, a := range angles {
		r := 0.2 + rng.Float64()*0.8
		p.Outline = append(p.Outline, nest.Point{r * math.Cos(a), r * math.Sin(a)})
	}
	return p
}

// lattice is a random orthogonal or slanted polygon with vertices on an eighth
// lattice: a star rounded to it, so that much is collinear and shared.
func lattice(rng *rand.Rand) nest.Polygon {
	p := star(rng)
	for i, v := range p.Outline {
		p.Outline[i] = nest.Point{math.Round(v[0]*8) / 8, math.Round(v[1]*8) / 8}
	}
	return p
}

// comb is a staircase or comb: long runs of aligned edges.
//
//	+--+  +--+  +--+
//	|  |  |  |  |  |
//	|  +--+  +--+  |
//	+--------------+
func comb(rng *rand.Rand) nest.Polygon {
	n := 1 + rng.IntN(4)
	w := 1 / float64(2*n+1)
	h := 0.25 * float64(1+rng.IntN(3))
	p := nest.Polygon{Outline: nest.Ring{{0, 0}, {1, 0}, {1, 1}}}
	for i := range n {
		x := 1 - w*float64(2*i+1)
		p.Outline = append(p.Outline, nest.Point{x, 1}, nest.Point{x, h}, nest.Point{x - w, h}, nest.Point{x - w, 1})
	}
	p.Outline = append(p.Outline, nest.Point{0, 1})
	return p
}

// frame is a rectangle with a cut-out.
func frame(rng *rand.Rand) nest.Polygon {
	p := rectangle(1, 0.75)
	p.Holes = []nest.Ring{{{0.25, 0.25}, {0.25, 0.5}, {0.75, 0.5}, {0.75, 0.25}}}
	if rng.IntN(2) == 0 {
		p.Holes = append(p.Holes, nest.Ring{{0.875, 0.25}, {0.8125, 0.5}, {0.9375, 0.5}})
	}
	return p
}

func anyPolygon(rng *rand.Rand) nest.Polygon {
	switch rng.IntN(6) {
	case 0:
		return lattice(rng)
	case 1:
		return comb(rng)
	case 2:
		return frame(rng)
	case 3:
		return rectangle(float64(1+rng.IntN(4))/4, float64(1+rng.IntN(4))/4)
	default:
		return star(rng)
	}
}

// pairKinds make two polygons of size about 1 that stand in some relation,
// most of them degenerate.
var pairKinds = []struct {
	name string
	make func(rng *rand.Rand) (a, b nest.Polygon)
}{
	{"anywhere", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		return anyPolygon(rng), moved(anyPolygon(rng), rng.Float64()*360, rng.Float64()*2-1, rng.Float64()*2-1)
	}},
	{"on one lattice", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		step := func() float64 { return float64(rng.IntN(13)-6) / 8 }
		return anyPolygon(rng), moved(anyPolygon(rng), 0, step(), step())
	}},
	{"equal", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		p := anyPolygon(rng)
		return p, p
	}},
	{"equal, slid along an edge", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		p := anyPolygon(rng)
		i := rng.IntN(len(p.Outline))
		v, w := p.Outline[i], p.Outline[(i+1)%len(p.Outline)]
		s := rng.Float64()*2 - 1
		return p, moved(p, 0, s*(w[0]-v[0]), s*(w[1]-v[1]))
	}},
	{"half turn about the middle of an edge", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		p := anyPolygon(rng)
		i := rng.IntN(len(p.Outline))
		v, w := p.Outline[i], p.Outline[(i+1)%len(p.Outline)]
		return p, moved(p, 180, v[0]+w[0], v[1]+w[1])
	}},
	{"vertex on vertex", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		p, q := anyPolygon(rng), moved(anyPolygon(rng), rng.Float64()*360, 0, 0)
		v, w := p.Outline[rng.IntN(len(p.Outline))], q.Outline[rng.IntN(len(q.Outline))]
		return p, moved(q, 0, v[0]-w[0], v[1]-w[1])
	}},
	{"vertex on edge", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		p, q := anyPolygon(rng), moved(anyPolygon(rng), rng.Float64()*360, 0, 0)
		i := rng.IntN(len(p.Outline))
		a, b := p.Outline[i], p.Outline[(i+1)%len(p.Outline)]
		s := rng.Float64()
		w := q.Outline[rng.IntN(len(q.Outline))]
		return p, moved(q, 0, a[0]+s*(b[0]-a[0])-w[0], a[1]+s*(b[1]-a[1])-w[1])
	}},
	{"edge along edge", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		p, q := anyPolygon(rng), anyPolygon(rng)
		i, j := rng.IntN(len(p.Outline)), rng.IntN(len(q.Outline))
		a, b := p.Outline[i], p.Outline[(i+1)%len(p.Outline)]
		c, d := q.Outline[j], q.Outline[(j+1)%len(q.Outline)]
		turn := math.Atan2(a[1]-b[1], a[0]-b[0]) - math.Atan2(d[1]-c[1], d[0]-c[0])
		q = moved(q, turn*180/math.Pi, 0, 0)
		c = q.Outline[j]
		s := rng.Float64()
		return p, moved(q, 0, a[0]+s*(b[0]-a[0])-c[0], a[1]+s*(b[1]-a[1])-c[1])
	}},
	{"inside", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		q := anyPolygon(rng)
		for i, v := range q.Outline {
			q.Outline[i] = nest.Point{v[0] / 4, v[1] / 4}
		}
		q.Holes = nil
		return anyPolygon(rng), moved(q, rng.Float64()*360, rng.Float64()-0.5, rng.Float64()-0.5)
	}},
	{"filling a cut-out", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		p := frame(rng)
		q := nest.Polygon{Outline: slices.Clone(p.Holes[0])}
		slices.Reverse(q.Outline)
		turn := rng.Float64() * 360
		return moved(p, turn, 0, 0), moved(q, turn, 0, 0)
	}},
	{"slivers", func(rng *rand.Rand) (nest.Polygon, nest.Polygon) {
		thin := math.Pow(10, -1-4*rng.Float64())
		return rectangle(1, 0.5), moved(rectangle(1, thin), rng.Float64()*4-2, rng.Float64()*0.5, 0.5-rng.Float64()*thin)
	}},
}

// scales are the sizes of polygons, mm.
var scales = []float64{1e-3, 1e-2, 0.1, 1, 10, 100, 1e3, 1e4, 1e5, 1e6}

// pairAt makes a pair of one kind and size, far from the origin at times,
// shifted by a few millionths at times, and rounded as a record is, at times
// not.
func pairAt(rng *rand.Rand, kind int, scale float64) (nest.Polygon, nest.Polygon) {
	a, b := pairKinds[kind].make(rng)
	grow := func(p nest.Polygon) nest.Polygon {
		for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
			for i := range r {
				r[i] = nest.Point{r[i][0] * scale, r[i][1] * scale}
			}
		}
		return p
	}
	a, b = grow(moved(a, 0, 0, 0)), grow(moved(b, 0, 0, 0))
	if rng.IntN(2) == 0 {
		turn, far := rng.Float64()*360, scale*float64(rng.IntN(100))
		a, b = moved(a, turn, far, -far), moved(b, turn, far, -far)
	}
	if rng.IntN(2) == 0 {
		step := func() float64 { return float64(rng.IntN(21)-10) * 1e-6 }
		b = moved(b, 0, step(), step())
	}
	if rng.IntN(4) > 0 {
		a, b = rounded(a), rounded(b)
	}
	return a, b
}

// Overlap and distance agree with an outside library, pair for pair.
func TestPairsAgainstOutsideLibrary(t *testing.T) {
	rounds := 40
	if testing.Short() {
		rounds = 4
	}
	for kind := range pairKinds {
		t.Run(pairKinds[kind].name, func(t *testing.T) {
			t.Parallel()
			overlaps, judged := 0, 0
			for _, scale := range scales {
				for seed := range rounds {
					rng := rand.New(rand.NewPCG(uint64(kind), uint64(seed)))
					a, b := pairAt(rng, kind, scale)
					overlap, ok, err := judge(a, b)
					if err != nil {
						t.Errorf("scale %g, seed %d: %v\na = %v\nb = %v", scale, seed, err, a, b)
					}
					if ok {
						judged++
					}
					if overlap {
						overlaps++
					}
				}
			}
			t.Logf("%d pairs judged, %d overlap", judged, overlaps)
			if judged < rounds*len(scales)/4 {
				t.Errorf("only %d of %d pairs could be judged", judged, rounds*len(scales))
			}
		})
	}
}

// Pairs known to have passed or failed elsewhere, at every scale.
func TestNamedPairs(t *testing.T) {
	square := rectangle(1, 1)
	for _, c := range []struct {
		name string
		a, b nest.Polygon
		want bool
	}{
		{"equal", square, square, true},
		{"aligned, overlapping by 93 %", square, moved(square, 0, 0.07, 0), true},
		{"aligned, overlapping by all but a sliver", square, moved(square, 0, 1e-2, 0), true},
		{"side by side", square, moved(square, 0, 1, 0), false},
		{"corner to corner", square, moved(square, 0, 1, 1), false},
		{"inside", square, moved(rectangle(0.5, 0.5), 0, 0.25, 0.25), true},
		{"inside along one edge", square, moved(rectangle(0.5, 0.5), 0, 0, 0.25), true},
		{"inside in a corner", square, rectangle(0.5, 0.5), true},
		{"a band across, ends aligned", square, moved(rectangle(1, 0.5), 0, 0, 0.25), true},
		{"a cross, no vertex inside", square, moved(rectangle(2, 0.5), 0, -0.5, 0.25), true},
		// Both squares have their corners on the other's edges.
		{"crossing at vertices only", square, moved(rectangle(math.Sqrt2, math.Sqrt2), 45, 0.5, -0.5), true},
		{"diamond in a square", square, nest.Polygon{Outline: nest.Ring{{0.5, 0}, {1, 0.5}, {0.5, 1}, {0, 0.5}}}, true},
		// The edges of the star meet those of its mirror image at vertices.
		{"two triangles on one base", nest.Polygon{Outline: nest.Ring{{0, 0}, {1, 0}, {0.5, 1}}},
			nest.Polygon{Outline: nest.Ring{{0, 0}, {1, 0}, {0.5, 0.5}}}, true},
		{"two triangles on two sides of one base", nest.Polygon{Outline: nest.Ring{{0, 0}, {1, 0}, {0.5, 1}}},
			nest.Polygon{Outline: nest.Ring{{1, 0}, {0, 0}, {0.5, -1}}}, false},
		{"a vertex in a notch", nest.Polygon{Outline: nest.Ring{{0, 0}, {1, 0}, {1, 1}, {0.5, 0.25}, {0, 1}}},
			nest.Polygon{Outline: nest.Ring{{0.5, 0.25}, {1, 1}, {0, 1}}}, false},
		{"a vertex past a notch", nest.Polygon{Outline: nest.Ring{{0, 0}, {1, 0}, {1, 1}, {0.5, 0.25}, {0, 1}}},
			nest.Polygon{Outline: nest.Ring{{0.5, 0.125}, {1, 1}, {0, 1}}}, true},
		{"a needle through", square, nest.Polygon{Outline: nest.Ring{{-1, 0.5}, {2, 0.5}, {2, 0.51}}}, true},
		{"apart", square, moved(square, 30, 3, 0), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, scale := range scales {
				for _, turn := range []float64{0, 90, 180, 270, 33.3} {
					for _, reversed := range []bool{false, true} {
						grow := func(p nest.Polygon) nest.Polygon {
							p = moved(p, turn, 0, 0)
							for i, v := range p.Outline {
								p.Outline[i] = nest.Point{v[0] * scale, v[1] * scale}
							}
							if reversed {
								slices.Reverse(p.Outline)
							}
							return rounded(p)
						}
						a, b := grow(c.a), grow(c.b)
						if _, depth, got := verify.Overlap(a, b); got != c.want {
							t.Errorf("scale %g, turned %g, reversed %v: overlap = %v (%g deep), want %v", scale, turn, reversed, got, depth, c.want)
						}
						if _, _, err := judge(a, b); err != nil {
							t.Errorf("scale %g, turned %g: %v", scale, turn, err)
						}
					}
				}
			}
		})
	}
}

// The allowance is where it is said to be: 3 units pass, 4 do not.
func TestRoundingAllowance(t *testing.T) {
	a := rectangle(100, 50)
	for k := range 7 {
		b := moved(rectangle(80, 50), 0, nest.Round(100-float64(k)*1e-6), 10)
		if _, _, got := verify.Overlap(a, rounded(b)); got != (k > 3) {
			t.Errorf("overlap of %d units: %v", k, got)
		}
	}
}

// A ply with a neck too thin for one deep point to speak for all of it.
//
//	+------+       +------+
//	|      +-------+      |   neck of 3 units
//	|      +-------+      |
//	+------+       +------+
func TestPlyWithNeck(t *testing.T) {
	dumbbell := func(neck float64) nest.Polygon {
		return nest.Polygon{Outline: nest.Ring{
			{0, 0}, {10, 0}, {10, 5}, {20, 5}, {20, 0}, {30, 0}, {30, 10}, {20, 10}, {20, 5 + neck}, {10, 5 + neck}, {10, 10}, {0, 10},
		}}
	}
	for _, neck := range []float64{1e-6, 3e-6, 1e-5, 1e-3, 1} {
		d := dumbbell(neck)
		// Exactly one of the heads, all edges aligned.
		for _, x := range []float64{0, 20} {
			if _, _, got := verify.Overlap(d, moved(rectangle(10, 10), 0, x, 0)); !got {
				t.Errorf("neck %g: head at %g not found", neck, x)
			}
		}
		if _, _, got := verify.Overlap(d, moved(rectangle(10, 5), 0, 10, 0)); got {
			t.Errorf("neck %g: the space below the neck is free", neck)
		}
	}
}

// Two plies with necks that share their small heads, all edges aligned. The
// deepest points of both lie in the large heads.
//
//	+--------+                      +--------+
//	|        |      +------+        |        |
//	|   a    +------+ both +--------+   b    |
//	|        +------+      +--------+        |
//	|        |      +------+        |        |
//	+--------+                      +--------+
func TestPliesWithNecksShareAHead(t *testing.T) {
	for _, neck := range []float64{1e-6, 4e-6, 8e-6, 1.2e-5, 1e-3, 1} {
		a := nest.Polygon{Outline: nest.Ring{
			{0, 0}, {10, 0}, {10, 5}, {20, 5}, {20, 2}, {26, 2}, {26, 8}, {20, 8}, {20, 5 + neck}, {10, 5 + neck}, {10, 10}, {0, 10},
		}}
		var b nest.Polygon
		for _, v := range a.Outline {
			b.Outline = append(b.Outline, nest.Point{46 - v[0], v[1]})
		}
		slices.Reverse(b.Outline) // counter-clockwise like a
		for range 2 {
			at, depth, got := verify.Overlap(a, b)
			if !got {
				t.Errorf("neck %g: the shared head is not found", neck)
			}
			if at[0] < 20 || at[0] > 26 {
				t.Errorf("neck %g: found %g deep at %v", neck, depth, at)
			}
			slices.Reverse(b.Outline)
			slices.Reverse(a.Outline)
		}
	}
}

func TestDistanceByHand(t *testing.T) {
	a := rectangle(10, 10)
	for _, c := range []struct {
		b    nest.Polygon
		want float64
	}{
		{moved(rectangle(5, 5), 0, 13, 0), 3},
		{moved(rectangle(5, 5), 0, 13, 14), 5},
		{moved(rectangle(5, 5), 0, 10, 10), 0},
		{moved(rectangle(5, 5), 0, 2, 2), 0},
		{nest.Polygon{Outline: nest.Ring{{12, 5}, {20, 0}, {20, 10}}}, 2},
		{nest.Polygon{Outline: nest.Ring{{-5, -5}, {15, -5}, {15, 15}, {-5, 15}}, Holes: []nest.Ring{{{-2, -2}, {-2, 12}, {12, 12}, {12, -2}}}}, 2},
	} {
		if got, at := verify.Distance(a, c.b); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("Distance(a, %v) = %g at %v, want %g", c.b, got, at, c.want)
		}
	}
}

func ExampleOverlap() {
	a := rectangle(100, 50)
	b := moved(a, 0, 7, 0)
	at, depth, overlap := verify.Overlap(a, b)
	fmt.Println(overlap, depth, at)
	// Output: true 25 [50 25]
}
