package collide

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// Errors of NewShape. They come wrapped with the ring and the vertex at fault.
var (
	ErrNotFinite  = errors.New("a coordinate is not a finite number")
	ErrDegenerate = errors.New("the ring encloses no area")
)

// A Shape is one kind of ply, prepared once: convex parts and inscribed circles
// about the centre of its bounding box. It is not changed after NewShape and
// may be shared.
type Shape struct {
	// X, Y are the vertices of the parts, one part after the other, each
	// counter-clockwise. NX, NY is the outward unit normal of the edge from
	// each vertex to the next of its part and C the edge's offset:
	// NX·x + NY·y = C on the edge.
	X, Y, NX, NY, C []float64
	// Start[k] is the first vertex of part k; it has one entry more than
	// there are parts.
	Start []int32
	// Poles are inscribed circles, the largest first.
	Poles []Pole
	// HullX, HullY is the convex hull, counter-clockwise.
	HullX, HullY []float64
	// CenterX, CenterY is what was subtracted from the caller's coordinates.
	CenterX, CenterY float64
	// Area is the area without holes, HullArea that of the hull.
	Area, HullArea float64
	// Diameter is the largest distance between two vertices, Radius the
	// largest from the centre.
	Diameter, Radius float64
}

// NewShape prepares a polygon. The rings may be closed or not and run either
// way; repeated and collinear vertices are welcome.
func NewShape(exterior orb.Ring, holes []orb.Ring) (*Shape, error) {
	outer, err := readRing(exterior, "exterior")
	if err != nil {
		return nil, err
	}
	if ringArea(outer) < 0 {
		outer = reversed(outer)
	}
	b := orb.Ring(outer).Bound()
	s := &Shape{CenterX: (b.Min[0] + b.Max[0]) / 2, CenterY: (b.Min[1] + b.Max[1]) / 2}
	move := func(pts []orb.Point) []orb.Point {
		out := make([]orb.Point, len(pts))
		for i, p := range pts {
			out[i] = orb.Point{p[0] - s.CenterX, p[1] - s.CenterY}
		}
		return out
	}
	outer = move(outer)
	var inner [][]orb.Point
	for i, h := range holes {
		r, err := readRing(h, fmt.Sprintf("hole %d", i))
		if errors.Is(err, ErrDegenerate) {
			continue // a slit removes nothing
		}
		if err != nil {
			return nil, err
		}
		if ringArea(r) > 0 {
			r = reversed(r)
		}
		inner = append(inner, move(r))
	}
	s.Area = ringArea(outer)
	for _, h := range inner {
		s.Area += ringArea(h)
	}
	if !(s.Area > 0) {
		return nil, fmt.Errorf("holes: %w", ErrDegenerate)
	}
	hull := convexHull(outer)
	s.HullArea = ringArea(hull)
	for i, p := range hull {
		s.HullX, s.HullY = append(s.HullX, p[0]), append(s.HullY, p[1])
		s.Radius = math.Max(s.Radius, steady.Hypot(p[0], p[1]))
		for _, q := range hull[:i] {
			s.Diameter = math.Max(s.Diameter, steady.Hypot(p[0]-q[0], p[1]-q[1]))
		}
	}
	s.addParts(decompose(outer, inner))
	if len(s.Start) == 1 {
		return nil, fmt.Errorf("exterior: %w", ErrDegenerate)
	}
	s.Poles = findPoles(append([][]orb.Point{outer}, inner...), s.Area)
	return s, nil
}

func readRing(r orb.Ring, name string) ([]orb.Point, error) {
	for i, p := range r {
		for _, v := range p {
			// Beyond 1e150 products of coordinates overflow.
			if math.IsNaN(v) || math.Abs(v) > 1e150 {
				return nil, fmt.Errorf("%s, vertex %d: %w", name, i, ErrNotFinite)
			}
		}
	}
	pts := cleanRing(r)
	b := orb.Ring(pts).Bound()
	size := math.Max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
	if len(pts) < 3 || math.Abs(ringArea(pts)) <= flatTolerance*size*size {
		return nil, fmt.Errorf("%s: %w", name, ErrDegenerate)
	}
	return pts, nil
}

func (s *Shape) addParts(parts [][]orb.Point) {
	s.Start = append(s.Start, 0)
	for _, p := range parts {
		p = cleanRing(p)
		if len(p) < 3 {
			continue
		}
		for i, a := range p {
			b := p[(i+1)%len(p)]
			l := steady.Hypot(b[0]-a[0], b[1]-a[1])
			nx, ny := (b[1]-a[1])/l, -(b[0]-a[0])/l
			s.X, s.Y = append(s.X, a[0]), append(s.Y, a[1])
			s.NX, s.NY = append(s.NX, nx), append(s.NY, ny)
			// The larger offset of both ends, so that no vertex of the
			// part lies outside for rounding.
			s.C = append(s.C, math.Max(float64(nx*a[0])+float64(ny*a[1]), float64(nx*b[0])+float64(ny*b[1])))
		}
		s.Start = append(s.Start, int32(len(s.X)))
	}
}

// Parts is the number of convex parts.
func (s *Shape) Parts() int { return len(s.Start) - 1 }

// NewRectangle is an obstacle: a rectangle about the origin, without poles.
func NewRectangle(width, height float64) *Shape {
	hx, hy := width/2, height/2
	return &Shape{
		X: []float64{-hx, hx, hx, -hx}, Y: []float64{-hy, -hy, hy, hy},
		NX: []float64{0, 1, 0, -1}, NY: []float64{-1, 0, 1, 0},
		C: []float64{hy, hx, hy, hx}, Start: []int32{0, 4},
		HullX: []float64{-hx, hx, hx, -hx}, HullY: []float64{-hy, -hy, hy, hy},
		Area: width * height, HullArea: width * height,
		Diameter: steady.Hypot(width, height), Radius: steady.Hypot(hx, hy),
	}
}
