package toolpath

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// A Segment is one straight line or arc of a circle, from where the one before
// ended, in layout coordinates, mm.
type Segment struct {
	To orb.Point
	// Centre and Sweep are those of an arc; Sweep is in degrees,
	// counter-clockwise positive, at most 120 either way, and 0 for a straight
	// line.
	Centre orb.Point
	Sweep  float64
}

// Segments are the cut's line as it is to be drawn: where it starts, and what
// follows. A closed cut ends where it starts. Curves are arcs where the
// machine's ArcTolerance allows.
func (p *Path) Segments(c *Cut) (start orb.Point, segs []Segment) {
	line := c.Points
	if c.Closed {
		line = append(line[:len(line):len(line)], line[0])
	}
	return segments(line, c.Closed, p.Machine.ArcTolerance)
}

// segments turns a polyline into straight lines and, where tol is above 0,
// arcs. Of a closed line the last vertex repeats the first.
//
// The record holds curves flattened to polygons. An arc stands for four edges
// or more where every point of it lies within tol of them, and every point of
// them within tol of it: seen from the arc's centre the edges must run one way
// round, and their distance from it must stay within tol of the radius. Each
// arc begins where the one before ended, so vertices between arcs and lines
// move by tol at most, and others not at all.
func segments(line orb.LineString, closed bool, tol float64) (start orb.Point, segs []Segment) {
	if len(line) == 0 {
		return orb.Point{}, nil
	}
	f := fitter{line: line, closed: closed, tol: tol}
	if tol <= 0 {
		f.tol = 0
	}
	f.run()
	return f.start, f.segs
}

const (
	// arcEdges is the least number of edges that an arc stands for: through
	// three points there is always a circle.
	arcEdges = 4
	// arcSweep is the least turn of an arc, degrees.
	arcSweep = 3
	// arcLargest is the largest radius of an arc, mm: flatter ones are as good
	// as straight, and their centres lose digits.
	arcLargest = 20_000
	// arcPart is the largest sweep of one segment, degrees.
	arcPart = 120
)

// A fitter walks along a polyline.
type fitter struct {
	line   orb.LineString
	closed bool
	tol    float64

	start orb.Point
	segs  []Segment
	at    orb.Point // where the last segment ended
	// bound says that an arc must begin at at, which an arc or a short line
	// has reached.
	bound bool
}

// A disc is a circle that a run of edges keeps to.
type disc struct {
	c        orb.Point
	r        float64
	from, to orb.Point // on the circle
	sweep    float64   // radians, from from to to
}

func (f *fitter) run() {
	last := len(f.line) - 1
	f.start, f.at = f.line[0], f.line[0]
	for i := 0; i < last; {
		j, d, ok := f.longest(i)
		if !ok {
			i++
			to := f.line[i]
			if i == last && f.closed {
				to = f.start
			}
			f.segs = append(f.segs, Segment{To: to})
			// A short line would turn noticeably if its end moved.
			f.bound = dist(f.at, to) < 20*f.tol
			f.at = to
			continue
		}
		switch {
		case len(f.segs) == 0:
			f.start = d.from
		case !f.bound:
			f.segs[len(f.segs)-1].To = d.from
		}
		f.arc(d)
		f.at, f.bound = d.to, true
		i = j
	}
}

// arc adds a run's arc, in parts.
func (f *fitter) arc(d disc) {
	n := max(1, int(math.Ceil(math.Abs(d.sweep)*180/math.Pi/arcPart-1e-9)))
	a := steady.Atan2(d.from[1]-d.c[1], d.from[0]-d.c[0])
	for i := 1; i <= n; i++ {
		to := d.to
		if i < n {
			s, c := steady.Sincos(a + d.sweep*float64(i)/float64(n))
			to = orb.Point{d.c[0] + float64(d.r*c), d.c[1] + float64(d.r*s)}
		}
		f.segs = append(f.segs, Segment{To: to, Centre: d.c, Sweep: d.sweep * 180 / math.Pi / float64(n)})
	}
}

// longest is the furthest vertex that an arc from vertex i may reach.
func (f *fitter) longest(i int) (j int, d disc, ok bool) {
	last := len(f.line) - 1
	if f.tol == 0 || last-i < arcEdges {
		return 0, d, false
	}
	if d, ok = f.disc(i, i+arcEdges); !ok {
		return 0, d, false
	}
	good, bad := i+arcEdges, last+1
	for step := arcEdges; ; step *= 2 {
		k := min(good+step, last)
		if k == good {
			break
		}
		e, ok := f.disc(i, k)
		if !ok {
			bad = k
			break
		}
		good, d = k, e
	}
	for bad-good > 1 {
		k := (good + bad) / 2
		if e, ok := f.disc(i, k); ok {
			good, d = k, e
		} else {
			bad = k
		}
	}
	return good, d, math.Abs(d.sweep)*180/math.Pi >= arcSweep
}

// disc fits a circle to the edges between two vertices and proves it.
func (f *fitter) disc(i, j int) (d disc, ok bool) {
	var fixed []orb.Point
	if f.bound {
		fixed = append(fixed, f.at)
	}
	closing := f.closed && j == len(f.line)-1
	if closing && i > 0 {
		fixed = append(fixed, f.start)
	}
	run := f.line[i : j+1]
	if d.c, ok = circleThrough(run, fixed); !ok {
		return d, false
	}
	var sweep float64
	if d.c, d.r, sweep, ok = f.centred(run, d.c, fixed); !ok || d.r < 4*f.tol || d.r > arcLargest || math.Abs(sweep) > 2*math.Pi+1e-9 {
		return d, false
	}
	d.from, d.to = onCircle(d.c, d.r, run[0]), onCircle(d.c, d.r, run[len(run)-1])
	if f.bound {
		d.from = f.at
	}
	if closing {
		d.to = f.start
		if i == 0 {
			d.to = d.from
		}
	}
	if dist(d.from, run[0]) > f.tol || dist(d.to, run[len(run)-1]) > f.tol {
		return d, false
	}
	// The ends given may stand a little before or after the vertices.
	d.sweep = sweep + turned(d.c, run[len(run)-1], d.to) - turned(d.c, run[0], d.from)
	return d, d.sweep*sweep > 0 && math.Abs(dist(d.to, d.c)-d.r) < 1e-6
}

// centred moves the centre of a circle until the run's edges keep within the
// tolerance of it: least squares is not the least of the largest distance. It
// searches along and across the middle of the arc, in steps that change that
// distance by about the tolerance and less.
func (f *fitter) centred(run orb.LineString, c orb.Point, fixed []orb.Point) (at orb.Point, r, sweep float64, ok bool) {
	off := func(c orb.Point) (off, r, sweep float64) {
		lo, hi, sweep, ok := roundAbout(run, c)
		if !ok {
			return math.Inf(1), 0, 0
		}
		r = (lo + hi) / 2
		if len(fixed) > 0 {
			r = dist(fixed[0], c)
		}
		return math.Max(hi-r, r-lo), r, sweep
	}
	best, r, sweep := off(c)
	if best <= f.tol || best > 3*f.tol {
		return c, r, sweep, best <= f.tol
	}
	half := math.Min(math.Abs(sweep)/2, math.Pi/2)
	mid := run[len(run)/2]
	u := orb.Point{(mid[0] - c[0]) / dist(c, mid), (mid[1] - c[1]) / dist(c, mid)}
	axes := []orb.Point{scaled(u, f.tol/(1-steady.Cos(half))), scaled(orb.Point{-u[1], u[0]}, f.tol/steady.Sin(half))}
	if len(fixed) == 2 {
		// The centre stays on the bisector of the two.
		l := dist(fixed[0], fixed[1])
		b := orb.Point{-(fixed[1][1] - fixed[0][1]) / l, (fixed[1][0] - fixed[0][0]) / l}
		axes = []orb.Point{scaled(b, f.tol/(1-steady.Cos(half)))}
	}
	for step := 1.0; step > 1.0/32 && best > f.tol; {
		better := false
		for _, a := range axes {
			for _, k := range [2]float64{step, -step} {
				q := orb.Point{c[0] + float64(k*a[0]), c[1] + float64(k*a[1])}
				if d, rq, sq := off(q); d < best {
					c, best, r, sweep, better = q, d, rq, sq, true
					break
				}
			}
		}
		if !better {
			step /= 2
		}
	}
	return c, r, sweep, best <= f.tol
}

func scaled(p orb.Point, k float64) orb.Point { return orb.Point{p[0] * k, p[1] * k} }

// turned is the angle from a to b seen from c, radians in (-π, π].
func turned(c, a, b orb.Point) float64 {
	ux, uy, vx, vy := a[0]-c[0], a[1]-c[1], b[0]-c[0], b[1]-c[1]
	return steady.Atan2(float64(ux*vy)-float64(uy*vx), float64(ux*vx)+float64(uy*vy))
}

func onCircle(c orb.Point, r float64, p orb.Point) orb.Point {
	k := r / dist(c, p)
	return orb.Point{c[0] + float64(k*(p[0]-c[0])), c[1] + float64(k*(p[1]-c[1]))}
}

// roundAbout is the least and the largest distance of a polyline from c, and
// the angle it turns round it, radians; ok is false where it turns both ways.
func roundAbout(run orb.LineString, c orb.Point) (lo, hi, sweep float64, ok bool) {
	lo = math.Inf(1)
	for k := 1; k < len(run); k++ {
		a, b := run[k-1], run[k]
		t := turned(c, a, b)
		if t == 0 || t*sweep < 0 {
			return 0, 0, 0, false
		}
		sweep += t
		da, db := dist(c, a), dist(c, b)
		hi = math.Max(hi, math.Max(da, db))
		lo = math.Min(lo, math.Min(da, db))
		// The foot of the perpendicular, where it falls on the edge.
		ex, ey := b[0]-a[0], b[1]-a[1]
		if s := float64((c[0]-a[0])*ex) + float64((c[1]-a[1])*ey); s > 0 && s < float64(ex*ex)+float64(ey*ey) {
			lo = math.Min(lo, math.Abs(float64(ex*(c[1]-a[1]))-float64(ey*(c[0]-a[0])))/steady.Hypot(ex, ey))
		}
	}
	return lo, hi, sweep, lo > 0
}

// circleThrough is the centre of the circle that fits a polyline's vertices and
// the middles of its edges, in the sense of least squares of the power of each
// point (Kåsa's fit), through the fixed points, of which there are two at most.
func circleThrough(run orb.LineString, fixed []orb.Point) (orb.Point, bool) {
	o := run[0]
	if len(fixed) > 0 {
		o = fixed[0]
	}
	// With the origin at o a circle is x² + y² = 2ax + 2by + c; c is 0 where it
	// passes through o.
	var n, sx, sy, sxx, sxy, syy, sz, sxz, syz float64
	add := func(p orb.Point) {
		x, y := p[0]-o[0], p[1]-o[1]
		z := float64(x*x) + float64(y*y)
		n++
		sx, sy, sz = sx+x, sy+y, sz+z
		sxx, sxy, syy = sxx+float64(x*x), sxy+float64(x*y), syy+float64(y*y)
		sxz, syz = sxz+float64(x*z), syz+float64(y*z)
	}
	for k, p := range run {
		add(p)
		if k > 0 {
			add(orb.Point{float64((p[0] + run[k-1][0]) / 2), float64((p[1] + run[k-1][1]) / 2)})
		}
	}
	if len(fixed) == 2 {
		return onBisector(fixed, sxx, sxy, syy, sxz, syz)
	}
	if len(fixed) == 0 {
		sxx, sxy, syy = sxx-sx*sx/n, sxy-sx*sy/n, syy-sy*sy/n
		sxz, syz = sxz-sx*sz/n, syz-sy*sz/n
	}
	det := float64(sxx*syy) - float64(sxy*sxy)
	if !(math.Abs(det) > 1e-12*(sxx+syy)*(sxx+syy)) {
		return orb.Point{}, false
	}
	return orb.Point{o[0] + (float64(sxz*syy)-float64(syz*sxy))/(2*det), o[1] + (float64(syz*sxx)-float64(sxz*sxy))/(2*det)}, true
}

// onBisector is the best centre on the perpendicular bisector of two points;
// sums are about the first of them.
func onBisector(fixed []orb.Point, sxx, sxy, syy, sxz, syz float64) (orb.Point, bool) {
	a, b := fixed[0], fixed[1]
	l := dist(a, b)
	if l < 1e-9 {
		return orb.Point{}, false
	}
	mx, my := float64((b[0]-a[0])/2), float64((b[1]-a[1])/2)
	ux, uy := -(b[1]-a[1])/l, (b[0]-a[0])/l
	// Least squares of z - 2(m + t·u)·p over t.
	num := float64(sxz*ux) + float64(syz*uy) - 2*(float64(mx*(float64(ux*sxx)+float64(uy*sxy)))+float64(my*(float64(ux*sxy)+float64(uy*syy))))
	den := 2 * (float64(ux*ux*sxx) + float64(2*ux*uy*sxy) + float64(uy*uy*syy))
	if !(den > 0) {
		return orb.Point{}, false
	}
	t := num / den
	return orb.Point{a[0] + mx + float64(t*ux), a[1] + my + float64(t*uy)}, true
}

// heading is the direction at the beginning of a segment from a, degrees.
func (s *Segment) heading(a orb.Point) float64 {
	if s.Sweep == 0 {
		return headingOf(a, s.To)
	}
	return normal(headingOf(s.Centre, a) + math.Copysign(90, s.Sweep))
}

// endHeading is the direction at the end of a segment from a, degrees.
func (s *Segment) endHeading(a orb.Point) float64 {
	if s.Sweep == 0 {
		return headingOf(a, s.To)
	}
	return normal(headingOf(s.Centre, s.To) + math.Copysign(90, s.Sweep))
}

// swept is the length of an arc's way, or of a straight one, from a.
func swept(a, to, centre orb.Point, sweep float64) float64 {
	if sweep == 0 {
		return dist(a, to)
	}
	return dist(centre, to) * math.Abs(sweep) * math.Pi / 180
}

// short drops segments of no length.
func short(start orb.Point, segs []Segment) []Segment {
	at := start
	return slices.DeleteFunc(segs, func(s Segment) bool {
		if s.Sweep == 0 && dist(at, s.To) < 1e-9 {
			return true
		}
		at = s.To
		return false
	})
}

// Chords are points along the segment, as of a Move.
func (s *Segment) Chords(tol float64) orb.LineString {
	return chords(s.To, s.Centre, s.Sweep, tol)
}

// chords are points along an arc that ends at to, its end last.
func chords(to, centre orb.Point, sweep, tol float64) orb.LineString {
	if sweep == 0 {
		return orb.LineString{to}
	}
	r := dist(centre, to)
	step := 30.0
	if tol < r {
		step = math.Min(step, 2*steady.Acos(1-tol/r)*180/math.Pi)
	}
	n := max(1, int(math.Ceil(math.Abs(sweep)/step)))
	x, y := to[0]-centre[0], to[1]-centre[1]
	out := make(orb.LineString, 0, n)
	for i := 1; i < n; i++ {
		s, c := steady.SincosDegrees(-sweep * float64(n-i) / float64(n))
		out = append(out, orb.Point{centre[0] + float64(x*c) - float64(y*s), centre[1] + float64(x*s) + float64(y*c)})
	}
	return append(out, to)
}
