package remnant

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
)

func bound(x0, y0, x1, y1 float64) orb.Bound {
	return orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}}
}

func block(x0, y0, x1, y1 float64) nest.Polygon {
	return nest.Polygon{Outline: corners(bound(x0, y0, x1, y1))}
}

func area(b orb.Bound) float64 { return (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1]) }

// By hand: 100 × 60 with a block 40 × 30 in the lower left corner leaves
// 60 × 60 to the right of it or 100 × 30 above it; 3600 wins, then 40 × 30.
func TestRectanglesByHand(t *testing.T) {
	f := Field{Area: bound(0, 0, 100, 60), Blocked: []nest.Polygon{block(0, 0, 40, 30)}}
	require.Equal(t, []orb.Bound{bound(40, 0, 100, 60), bound(0, 30, 40, 60)}, Rectangles(f, Limits{MinLength: 10, MinWidth: 10}))
	require.Equal(t, []orb.Bound{bound(0, 30, 100, 60)}, Rectangles(f, Limits{MinLength: 80, MinWidth: 10}))
	require.Empty(t, Rectangles(f, Limits{MinLength: 101, MinWidth: 10}))
	require.Len(t, Rectangles(f, Limits{MinLength: 10, MinWidth: 10, Most: 1}), 1)
	require.Equal(t, []orb.Bound{bound(0, 0, 100, 60)}, Rectangles(Field{Area: f.Area}, Limits{}))
	require.Empty(t, Rectangles(Field{Area: f.Area, Blocked: []nest.Polygon{block(-1, -1, 101, 61)}}, Limits{}))
	require.Empty(t, Rectangles(Field{}, Limits{}))
}

// What a cut-out leaves is free; a ply in it is not.
func TestRectanglesInCutOut(t *testing.T) {
	frame := block(0, 0, 200, 200)
	frame.Holes = []nest.Ring{{{50, 50}, {50, 150}, {150, 150}, {150, 50}}}
	f := Field{Area: bound(0, 0, 200, 200), Blocked: []nest.Polygon{frame}}
	require.Equal(t, []orb.Bound{bound(50, 50, 150, 150)}, Rectangles(f, Limits{MinLength: 20, MinWidth: 20}))
	f.Blocked = append(f.Blocked, block(50, 50, 100, 150))
	require.Equal(t, []orb.Bound{bound(100, 50, 150, 150)}, Rectangles(f, Limits{MinLength: 20, MinWidth: 20}))
}

// Blocks on whole millimetres: the first rectangle is as large as the largest
// of all rectangles between any sides.
func TestLargestAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(5, 40).Draw(t, "w"), rapid.IntRange(5, 30).Draw(t, "h")
		f := Field{Area: bound(0, 0, float64(w), float64(h))}
		var boxes []orb.Bound
		xs, ys := []int{0, w}, []int{0, h}
		for range rapid.IntRange(0, 6).Draw(t, "n") {
			x, y := rapid.IntRange(0, w-1).Draw(t, "x"), rapid.IntRange(0, h-1).Draw(t, "y")
			x1, y1 := rapid.IntRange(x+1, w).Draw(t, "x1"), rapid.IntRange(y+1, h).Draw(t, "y1")
			b := bound(float64(x), float64(y), float64(x1), float64(y1))
			boxes = append(boxes, b)
			f.Blocked = append(f.Blocked, nest.Polygon{Outline: corners(b)})
			xs, ys = append(xs, x, x1), append(ys, y, y1)
		}
		lim := Limits{MinLength: float64(rapid.IntRange(1, 8).Draw(t, "least along")), MinWidth: float64(rapid.IntRange(1, 8).Draw(t, "least across"))}
		best := 0.0
		for _, x0 := range xs {
			for _, x1 := range xs {
				for _, y0 := range ys {
					for _, y1 := range ys {
						b := bound(float64(x0), float64(y0), float64(x1), float64(y1))
						if float64(x1-x0) < lim.MinLength || float64(y1-y0) < lim.MinWidth {
							continue
						}
						clear := true
						for _, o := range boxes {
							clear = clear && !(o.Min[0] < b.Max[0] && b.Min[0] < o.Max[0] && o.Min[1] < b.Max[1] && b.Min[1] < o.Max[1])
						}
						if clear {
							best = math.Max(best, area(b))
						}
					}
				}
			}
		}
		got := Rectangles(f, lim)
		first := 0.0
		if len(got) > 0 {
			first = area(got[0])
		}
		if math.Abs(first-best) > 1e-6 {
			t.Fatalf("found %v, the largest is %v", first, best)
		}
	})
}

// Triangles at any place: an outside geometry library finds no rectangle that
// meets a triangle or another rectangle, and none smaller than asked.
func TestRectanglesAreFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Field{Area: bound(15, 20, 1015, 520)}
		var shapes []sf.Geometry
		for range rapid.IntRange(1, 8).Draw(t, "n") {
			x, y := rapid.Float64Range(0, 1000).Draw(t, "x"), rapid.Float64Range(0, 500).Draw(t, "y")
			at := func(label string) nest.Point {
				return nest.Point{nest.Round(x + rapid.Float64Range(-200, 200).Draw(t, label)), nest.Round(y + rapid.Float64Range(-200, 200).Draw(t, label))}
			}
			p := nest.Polygon{Outline: nest.Ring{at("a"), at("b"), at("c")}}
			g := outside(p.Outline)
			if g.Validate() != nil {
				continue
			}
			f.Blocked = append(f.Blocked, p)
			shapes = append(shapes, g)
		}
		lim := Limits{MinLength: 100, MinWidth: 50}
		for _, b := range Rectangles(f, lim) {
			if b.Max[0]-b.Min[0] < 100-grain || b.Max[1]-b.Min[1] < 50-grain || !f.Area.Contains(b.Min) || !f.Area.Contains(b.Max) {
				t.Fatalf("%v is too small or outside", b)
			}
			g := outside(corners(b))
			for _, s := range shapes {
				common, err := sf.Intersection(g, s)
				if err != nil {
					t.Skip("the outside library gives up")
				}
				if a := common.Area(); a > 1e-3 {
					t.Fatalf("%v shares %v mm² with an obstacle or another rectangle", b, a)
				}
			}
			shapes = append(shapes, g)
		}
	})
}

func outside(r nest.Ring) sf.Geometry {
	var flat []float64
	for _, p := range append(r, r[0]) {
		flat = append(flat, p[0], p[1])
	}
	return sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(flat, sf.DimXY))}).AsGeometry()
}
