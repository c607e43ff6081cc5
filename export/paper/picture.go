package paper

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

// A Picture is a ply as it is laid: seen looking down on the tool, the datum
// to the right.
type Picture struct {
	Exterior orb.Ring
	Holes    []orb.Ring
	// Mirror shows the opposite hand of the rings.
	Mirror bool
	// Arrow draws the fibre arrow, along the warp, at Angle (degrees,
	// counter-clockwise).
	Arrow bool
	Angle float64
	// Seams are lines in the frame of the rings where panels of a divided ply
	// meet.
	Seams []Seam
}

// A Seam is the straight line of a joint: through At, at Angle degrees.
type Seam struct {
	At    orb.Point
	Angle float64
}

// detail is how far apart the vertices of a picture are at least, mm on paper.
const detail = 0.08

// arrowLeast is the shortest fibre arrow, mm on paper.
const arrowLeast = 4.5

// Ply draws a picture as large as fits the rectangle, in its middle. The
// arrow has two heads, since fibre has no front; it lies in the middle, or
// at the widest place of the ply where the middle is narrow or cut out.
func (d *Doc) Ply(x, y, w, h float64, p Picture) {
	if len(p.Exterior) < 3 || w <= 0 || h <= 0 {
		return
	}
	t := geom.Transform{Mirror: p.Mirror}
	ext := t.Ring(p.Exterior)
	holes := make([]orb.Ring, len(p.Holes))
	for i, r := range p.Holes {
		holes[i] = t.Ring(r)
	}
	b := geom.Bound(ext)
	bw, bh := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]
	scale := math.Min(w/math.Max(bw, 1e-9), h/math.Max(bh, 1e-9))
	if math.IsNaN(scale) || math.IsInf(scale, 0) || scale <= 0 {
		return
	}
	cx, cy := (b.Min[0]+b.Max[0])/2, (b.Min[1]+b.Max[1])/2
	at := func(q orb.Point) (float64, float64) {
		return x + w/2 + float64((q[0]-cx)*scale), y + h/2 - float64((q[1]-cy)*scale)
	}
	d.pen(Thin, 0)
	d.brush(0.88)
	d.path(ext, at)
	for _, r := range holes {
		d.path(r, at)
	}
	d.pdf.DrawPath("DF*")
	for _, m := range p.Seams {
		at0 := t.Point(m.At)
		angle := m.Angle
		if p.Mirror {
			angle = -angle
		}
		sx, sy := at(at0)
		sin, cos := steady.SincosDegrees(angle)
		long := w + h + steady.Hypot(sx-x, sy-y)
		d.Clipped(x+w/2-bw*scale/2, y+h/2-bh*scale/2, bw*scale, bh*scale, func() {
			d.Dashed(sx-float64(cos*long), sy+float64(sin*long), sx+float64(cos*long), sy-float64(sin*long), Medium, 0)
		})
	}
	if p.Arrow {
		centre := arrowPlace(ext, holes, math.Max(bw, bh)/200)
		ax, ay := at(centre)
		half := reach(ext, holes, centre, p.Angle) * scale * 0.8
		d.Arrow(ax, ay, math.Max(arrowLeast, 2*half), p.Angle)
	}
}

// arrowPlace is where the arrow lies: the middle of the box where that is well
// inside, else the widest place.
func arrowPlace(ext orb.Ring, holes []orb.Ring, precision float64) orb.Point {
	pole, radius := geom.Pole(ext, holes, precision)
	middle := geom.Bound(ext).Center()
	if geom.PointInPolygon(ext, holes, middle) != geom.Inside {
		return pole
	}
	room := geom.RingDistance(ext, middle)
	for _, h := range holes {
		room = math.Min(room, geom.RingDistance(h, middle))
	}
	if room >= 0.7*radius {
		return middle
	}
	return pole
}

// path adds a ring to the current path, without detail nobody could see.
func (d *Doc) path(r orb.Ring, at func(orb.Point) (float64, float64)) {
	lx, ly := 0.0, 0.0
	for i, p := range r {
		px, py := at(p)
		switch {
		case i == 0:
			d.pdf.MoveTo(px, py)
		case steady.Hypot(px-lx, py-ly) < detail:
			continue
		default:
			d.pdf.LineTo(px, py)
		}
		lx, ly = px, py
	}
	d.pdf.ClosePath()
}

// reach is how far one can go from a point both ways along a direction before
// meeting an edge: the shorter way.
func reach(ext orb.Ring, holes []orb.Ring, c orb.Point, deg float64) float64 {
	s, co := steady.SincosDegrees(deg)
	best := math.Inf(1)
	for _, r := range append([]orb.Ring{ext}, holes...) {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			// Distances of both ends from the line of travel.
			da := float64((a[1]-c[1])*co) - float64((a[0]-c[0])*s)
			db := float64((b[1]-c[1])*co) - float64((b[0]-c[0])*s)
			if da > 0 == (db > 0) || da == db {
				continue
			}
			f := da / (da - db)
			ux := a[0] + float64(f*(b[0]-a[0])) - c[0]
			uy := a[1] + float64(f*(b[1]-a[1])) - c[1]
			best = math.Min(best, math.Abs(float64(ux*co)+float64(uy*s)))
		}
	}
	if math.IsInf(best, 1) {
		return 0
	}
	return best
}

// Arrow draws a fibre arrow with two heads about a middle, on a white halo so
// that it shows on any ground. The angle is counter-clockwise as seen.
func (d *Doc) Arrow(x, y, length, deg float64) {
	s, c := steady.SincosDegrees(deg)
	ux, uy := c, -s
	half := length / 2
	head := math.Min(2.0, length*0.32)
	wide := head * 0.38
	shaft := half - float64(head*0.8)
	tip := func(dir, grow float64) [][2]float64 {
		tx, ty := x+float64(dir*ux*(half+float64(grow*1.6))), y+float64(dir*uy*(half+float64(grow*1.6)))
		bx, by := x+float64(dir*ux*(half-head-float64(grow*0.6))), y+float64(dir*uy*(half-head-float64(grow*0.6)))
		k := wide + grow
		return [][2]float64{{tx, ty}, {bx - float64(uy*k), by + float64(ux*k)}, {bx + float64(uy*k), by - float64(ux*k)}}
	}
	d.Line(x-float64(ux*shaft), y-float64(uy*shaft), x+float64(ux*shaft), y+float64(uy*shaft), 1.1, 1)
	d.Solid(tip(1, 0.3), 1)
	d.Solid(tip(-1, 0.3), 1)
	d.Line(x-float64(ux*shaft), y-float64(uy*shaft), x+float64(ux*shaft), y+float64(uy*shaft), 0.45, 0)
	d.Solid(tip(1, 0), 0)
	d.Solid(tip(-1, 0), 0)
}
