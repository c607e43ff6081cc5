package main

import "math"

// A pt is a place on the sheet, mm, y up.
type pt struct{ x, y float64 }

// A corner is a vertex of a loop with the way to the next one: straight, an
// arc (bulge is the tangent of a quarter of its angle, positive
// counter-clockwise), or a cubic curve.
type corner struct {
	pt
	bulge float64
	cubic bool
	c1    pt
	c2    pt
}

// A loop is a closed line.
type loop []corner

// Kinds of open lines, by the layer or class they are drawn in.
const (
	datumLine = "DATUM"
	notchLine = "NOTCH"
	slitLine  = "SLIT"
)

// A line is an open line inside a shape.
type line struct {
	kind string
	pts  []pt
}

// How a shape is drawn in a DXF sheet.
type drawnAs int

const (
	asPolyline drawnAs = iota
	asLoose            // lines, arcs and circles, in no order
	asBlock            // a block and one insert of it
)

// A shape is one outline.
type shape struct {
	name  string
	outer loop
	holes []loop
	lines []line
	as    drawnAs
	// turn is how far the shape is turned on its sheet, degrees; its datum
	// line then says where its axis is.
	turn float64
}

// pen builds a loop.
type pen struct{ l loop }

func from(x, y float64) *pen { return &pen{loop{{pt: pt{x, y}}}} }

// to draws a straight line.
func (p *pen) to(x, y float64) *pen {
	p.l = append(p.l, corner{pt: pt{x, y}})
	return p
}

// arc draws an arc to a place.
func (p *pen) arc(bulge, x, y float64) *pen {
	p.l[len(p.l)-1].bulge = bulge
	return p.to(x, y)
}

// curve draws a cubic curve to a place.
func (p *pen) curve(x1, y1, x2, y2, x, y float64) *pen {
	last := &p.l[len(p.l)-1]
	last.cubic, last.c1, last.c2 = true, pt{x1, y1}, pt{x2, y2}
	return p.to(x, y)
}

// close goes straight back to the first corner.
func (p *pen) close() loop { return p.l }

// closeArc goes back along an arc.
func (p *pen) closeArc(bulge float64) loop {
	p.l[len(p.l)-1].bulge = bulge
	return p.l
}

// closeCurve goes back along a cubic curve.
func (p *pen) closeCurve(x1, y1, x2, y2 float64) loop {
	last := &p.l[len(p.l)-1]
	last.cubic, last.c1, last.c2 = true, pt{x1, y1}, pt{x2, y2}
	return p.l
}

// quarter is the bulge of a quarter circle.
var quarter = math.Tan(math.Pi / 8)

func bulgeOf(deg float64) float64 { return math.Tan(deg * math.Pi / 720) }

// poly is a polygon from x, y, x, y, …
func poly(xy ...float64) loop {
	p := from(xy[0], xy[1])
	for i := 2; i < len(xy); i += 2 {
		p.to(xy[i], xy[i+1])
	}
	return p.close()
}

// rounded is a rectangle with rounded corners.
func rounded(x, y, w, h, r float64) loop {
	return from(x+r, y).to(x+w-r, y).arc(quarter, x+w, y+r).
		to(x+w, y+h-r).arc(quarter, x+w-r, y+h).
		to(x+r, y+h).arc(quarter, x, y+h-r).
		to(x, y+r).closeTo(quarter)
}

// closeTo turns the last corner's way into an arc back to the first corner.
func (p *pen) closeTo(bulge float64) loop { return p.closeArc(bulge) }

// chamfered is a rectangle with its corners cut off.
func chamfered(w, h, c float64) loop {
	return poly(c, 0, w-c, 0, w, c, w, h-c, w-c, h, c, h, 0, h-c, 0, c)
}

// disc is a circle, counter-clockwise.
func disc(cx, cy, r float64) loop {
	return from(cx+r, cy).arc(1, cx-r, cy).closeArc(1)
}

// slot is a rectangle with half circles for ends, w long over all.
func slot(cx, cy, w, h float64) loop {
	r := h / 2
	return from(cx-w/2+r, cy-r).to(cx+w/2-r, cy-r).arc(1, cx+w/2-r, cy+r).
		to(cx-w/2+r, cy+r).closeArc(1)
}

// ellipse is drawn with four cubic curves, as drawing programs do.
func ellipse(cx, cy, a, b float64) loop {
	const k = 0.5522847498307936
	return from(cx+a, cy).
		curve(cx+a, cy+k*b, cx+k*a, cy+b, cx, cy+b).
		curve(cx-k*a, cy+b, cx-a, cy+k*b, cx-a, cy).
		curve(cx-a, cy-k*b, cx-k*a, cy-b, cx, cy-b).
		closeCurve(cx+k*a, cy-b, cx+a, cy-k*b)
}

func polar(r, deg float64) pt {
	return pt{r * math.Cos(deg*math.Pi/180), r * math.Sin(deg*math.Pi/180)}
}

// band is a sector of a ring between two radii and two angles.
func band(outer, inner, a0, a1 float64) loop {
	p, q, r, s := polar(outer, a0), polar(outer, a1), polar(inner, a1), polar(inner, a0)
	return from(p.x, p.y).arc(bulgeOf(a1-a0), q.x, q.y).to(r.x, r.y).arc(-bulgeOf(a1-a0), s.x, s.y).close()
}

// toothed is a disc with V-notches cut into its edge.
func toothed(r float64, n int, width, depth float64) loop {
	half := math.Asin(width/2/r) * 180 / math.Pi
	step := 360 / float64(n)
	first := polar(r, half)
	p := from(first.x, first.y)
	for i := 1; i <= n; i++ {
		a := float64(i) * step
		in, tip, out := polar(r, a-half), polar(r-depth, a), polar(r, a+half)
		p.arc(bulgeOf(step-2*half), in.x, in.y).to(tip.x, tip.y)
		if i < n {
			p.to(out.x, out.y)
		}
	}
	return p.close()
}

// mapped applies f to every point. A transform that turns the sheet over would
// have to turn the arcs over too; none here does.
func (l loop) mapped(f func(pt) pt) loop {
	out := make(loop, len(l))
	for i, c := range l {
		c.pt, c.c1, c.c2 = f(c.pt), f(c.c1), f(c.c2)
		out[i] = c
	}
	return out
}

func (s shape) mapped(f func(pt) pt) shape {
	s.outer = s.outer.mapped(f)
	holes := make([]loop, len(s.holes))
	for i, h := range s.holes {
		holes[i] = h.mapped(f)
	}
	s.holes = holes
	lines := make([]line, len(s.lines))
	for i, l := range s.lines {
		pts := make([]pt, len(l.pts))
		for k, p := range l.pts {
			pts[k] = f(p)
		}
		lines[i] = line{l.kind, pts}
	}
	s.lines = lines
	return s
}

// turned turns a shape about the origin.
func (s shape) turned(deg float64) shape {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return s.mapped(func(p pt) pt { return pt{p.x*cos - p.y*sin, p.x*sin + p.y*cos} })
}

func (s shape) moved(dx, dy float64) shape {
	return s.mapped(func(p pt) pt { return pt{p.x + dx, p.y + dy} })
}

// sampled lists points along a loop, for its bounding box and widest place.
func (l loop) sampled() []pt {
	const steps = 24
	var out []pt
	for i, c := range l {
		d := l[(i+1)%len(l)]
		out = append(out, c.pt)
		switch {
		case c.cubic:
			for k := 1; k < steps; k++ {
				t := float64(k) / steps
				u := 1 - t
				out = append(out, pt{
					u*u*u*c.x + 3*u*u*t*c.c1.x + 3*u*t*t*c.c2.x + t*t*t*d.x,
					u*u*u*c.y + 3*u*u*t*c.c1.y + 3*u*t*t*c.c2.y + t*t*t*d.y,
				})
			}
		case c.bulge != 0:
			a := arcOf(c, d)
			for k := 1; k < steps; k++ {
				p := polar(a.r, a.from+a.sweep*float64(k)/steps)
				out = append(out, pt{a.c.x + p.x, a.c.y + p.y})
			}
		}
	}
	return out
}

// An arc is a circular way between two corners, degrees.
type arc struct {
	c           pt
	r           float64
	from, sweep float64
}

func arcOf(c corner, d corner) arc {
	dx, dy := d.x-c.x, d.y-c.y
	chord := math.Hypot(dx, dy)
	angle := 4 * math.Atan(c.bulge)
	r := chord / 2 / math.Sin(math.Abs(angle)/2)
	// The centre lies left of the chord for a counter-clockwise arc of less
	// than half a turn.
	h := chord / 2 * (1 - c.bulge*c.bulge) / (2 * c.bulge)
	centre := pt{(c.x+d.x)/2 - dy/chord*h, (c.y+d.y)/2 + dx/chord*h}
	return arc{centre, r, math.Atan2(c.y-centre.y, c.x-centre.x) * 180 / math.Pi, angle * 180 / math.Pi}
}

// bounds is the bounding box of a shape.
func (s shape) bounds() (lo, hi pt) {
	lo, hi = pt{math.Inf(1), math.Inf(1)}, pt{math.Inf(-1), math.Inf(-1)}
	for _, p := range s.outer.sampled() {
		lo.x, lo.y = math.Min(lo.x, p.x), math.Min(lo.y, p.y)
		hi.x, hi.y = math.Max(hi.x, p.x), math.Max(hi.y, p.y)
	}
	return lo, hi
}

// wide finds a place well inside the shape, away from every line, for its
// name: the best of a grid.
func (s shape) wide() (pt, float64) {
	lo, hi := s.bounds()
	var edges [][2]pt
	add := func(pts []pt, closed bool) {
		for i := range pts {
			if i+1 < len(pts) {
				edges = append(edges, [2]pt{pts[i], pts[i+1]})
			} else if closed {
				edges = append(edges, [2]pt{pts[i], pts[0]})
			}
		}
	}
	add(s.outer.sampled(), true)
	for _, h := range s.holes {
		add(h.sampled(), true)
	}
	boundary := len(edges)
	for _, l := range s.lines {
		add(l.pts, false)
	}
	const n = 48
	best, room := pt{}, -1.0
	for i := 1; i < n; i++ {
		for j := 1; j < n; j++ {
			p := pt{lo.x + (hi.x-lo.x)*float64(i)/n, lo.y + (hi.y-lo.y)*float64(j)/n}
			inside := false
			for _, e := range edges[:boundary] {
				if (e[0].y > p.y) != (e[1].y > p.y) &&
					p.x < e[0].x+(p.y-e[0].y)/(e[1].y-e[0].y)*(e[1].x-e[0].x) {
					inside = !inside
				}
			}
			if !inside {
				continue
			}
			d := math.Inf(1)
			for _, e := range edges {
				d = math.Min(d, toSegment(p, e[0], e[1]))
			}
			if d > room+1e-6 {
				best, room = p, d
			}
		}
	}
	return best, room
}

func toSegment(p, a, b pt) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	t := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		t = math.Max(0, math.Min(1, ((p.x-a.x)*dx+(p.y-a.y)*dy)/l))
	}
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}
