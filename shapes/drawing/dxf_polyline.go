package drawing

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/steady"
)

func (f *dxfFile) readLWPolyline(it *dxfItem, gs groups) {
	var pts []orb.Point
	var bulges []float64
	for _, g := range gs {
		switch g.code {
		case 10:
			pts = append(pts, orb.Point{number(g), math.NaN()})
			bulges = append(bulges, 0)
		case 20:
			if len(pts) > 0 {
				pts[len(pts)-1][1] = number(g)
			}
		case 42:
			if len(pts) > 0 {
				bulges[len(pts)-1] = number(g)
			}
		}
	}
	it.polyline(pts, bulges, gs.int(70, 0)&1 != 0, it.plane(gs))
}

func number(g group) float64 {
	if v, ok := g.float(); ok {
		return v
	}
	return math.NaN()
}

// Flags of POLYLINE and VERTEX.
const (
	polyClosed   = 1
	polySpline   = 4
	poly3D       = 8
	polyMesh     = 16
	polyFaceMesh = 64
	vertexFrame  = 16
)

func (f *dxfFile) readPolyline(it *dxfItem, gs groups) {
	flags := gs.int(70, 0)
	var pts []orb.Point
	var bulges, heights []float64
	for {
		g, ok := f.r.next()
		if !ok {
			break
		}
		if g.code != 0 {
			continue
		}
		if word(g) != "VERTEX" {
			if word(g) == "SEQEND" {
				f.groups()
			} else {
				f.r.back()
			}
			break
		}
		vs := f.groups()
		if vs.int(70, 0)&vertexFrame != 0 {
			continue // a control point of a fitted spline
		}
		pts = append(pts, orb.Point{vs.float(10, math.NaN()), vs.float(20, math.NaN())})
		bulges = append(bulges, vs.float(42, 0))
		heights = append(heights, vs.float(30, 0))
		if len(pts) > MaxCurves {
			f.s.halt(f.r.line, fmt.Sprintf("one polyline has more than %d vertices", MaxCurves), "split it")
			return
		}
	}
	if flags&(polyMesh|polyFaceMesh) != 0 {
		it.skip = "a mesh"
		return
	}
	m := identity
	if flags&poly3D == 0 {
		m = it.plane(gs)
	}
	it.polyline(pts, bulges, flags&polyClosed != 0, m)
	if flags&poly3D != 0 && len(heights) > 0 {
		it.flat(heights...)
	}
}

// polyline sets the curves from vertices and bulges.
func (it *dxfItem) polyline(pts []orb.Point, bulges []float64, closed bool, m affine) {
	n := len(pts)
	if n == 0 {
		it.fault(nil, "has no vertices", "delete it")
		return
	}
	last := n - 1
	if closed {
		last = n
	}
	for i := 0; i < last; i++ {
		a, b := pts[i], pts[(i+1)%n]
		if a == b {
			continue
		}
		if bulges[i] == 0 {
			it.curves = append(it.curves, lineCurve{m.point(a), m.point(b)})
		} else {
			it.curves = append(it.curves, bulgeArc(a, b, bulges[i]).mapped(m))
		}
	}
	if len(it.curves) == 0 {
		p := m.point(pts[0])
		it.trouble = append(it.trouble, trouble{shapes.Repair, &p, "has no length and was left out", ""})
		it.skip = "without length"
	}
	it.closed = closed
}

// bulgeArc is the arc from a to b with the tangent of a quarter of its angle
// given, positive counter-clockwise.
func bulgeArc(a, b orb.Point, bulge float64) curve {
	// With the chord halved by m and h = bulge·chord/2 the rise, the centre
	// lies on the perpendicular at (1/bulge - bulge)/4 of the chord.
	chord := sub(b, a)
	if math.Abs(bulge) < 1e-7 { // rises less than a nanometre per 20 mm
		return lineCurve{a, b}
	}
	k := (1/bulge - bulge) / 4
	c := orb.Point{(a[0]+b[0])/2 - float64(k*chord[1]), (a[1]+b[1])/2 + float64(k*chord[0])}
	u := sub(a, c)
	return arcCurve{c: c, u: u, v: orb.Point{-u[1], u[0]}, t0: 0, t1: 4 * steady.Atan(bulge), p0: a, p1: b}
}
