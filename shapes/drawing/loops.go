package drawing

import (
	"fmt"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// A loop is a closed run of curves, counter-clockwise.
type loop struct {
	curves []curve
	from   *origin
	first  int       // place in the file
	area   float64   // inside the curves, mm²
	around float64   // length, mm
	ring   orb.Ring  // flattened to contain the true area, counter-clockwise
	bound  orb.Bound // of ring
	body   *indexed  // of ring
	slits  []*chain  // that were drawn as parts of the loop
}

// A chain is an open run of curves.
type chain struct {
	curves []curve
	from   *origin
	role   role
}

func (c *chain) start() orb.Point { return c.curves[0].start() }
func (c *chain) end() orb.Point   { return c.curves[len(c.curves)-1].end() }

func (c *chain) length() float64 {
	var l float64
	for _, x := range c.curves {
		l += x.length()
	}
	return l
}

func (c *chain) line(tol float64) orb.LineString {
	out := orb.LineString{c.start()}
	for _, x := range c.curves {
		out = x.chords(out, tol)
	}
	return out
}

// sound measures loops, turns them counter-clockwise, flattens them, and
// leaves out those that no ply can have.
func (s *sheet) sound(loops []*loop) []*loop {
	var out []*loop
	for _, l := range loops {
		if s.halted {
			return nil
		}
		l.measure()
		at := l.curves[0].start()
		if thin(l.curves) {
			s.localFault(l.curves, l.from, at, "the outline encloses no area", "delete or redraw it")
			s.loosen(l.curves)
			continue
		}
		var crossed bool
		if l.ring, at, crossed = s.flatten(l.curves); crossed {
			// Only then: it may run in and out along one line.
			if s.takeSpikes(l); len(l.curves) > 0 {
				l.measure()
				l.ring, at, crossed = s.flatten(l.curves)
			}
		}
		if s.halted {
			return nil
		}
		if crossed {
			s.localFault(l.curves, l.from, at, "the outline crosses or touches itself", "draw it so that it does not")
			s.loosen(l.curves)
			continue
		}
		if l.area < leastArea || len(l.ring) < 3 {
			at = l.curves[0].start()
			s.localFault(l.curves, l.from, at, "the outline encloses no area", "delete or redraw it")
			s.loosen(l.curves)
			continue
		}
		l.bound = geom.Bound(l.ring)
		l.body = newIndexed(l.ring)
		out = append(out, l)
	}
	return s.dropTwins(out)
}

// measure sets area and length, and turns the loop counter-clockwise.
func (l *loop) measure() {
	o := l.curves[0].start()
	var twice float64
	l.around = 0
	for _, c := range l.curves {
		twice += c.sweep(o)
		l.around += c.length()
	}
	l.area = twice / 2
	if l.area < 0 {
		l.area = -l.area
		l.curves = reversedCurves(l.curves)
	}
}

// leastArea is the least area of a loop, mm²: a hundredth of a millimetre
// squared.
const leastArea = 1e-4

// thin reports whether the curves lie along one line.
func thin(cs []curve) bool {
	a, b := cs[0].start(), cs[0].start()
	each := func(f func(orb.Point)) {
		for _, c := range cs {
			for _, p := range c.hull() {
				f(p)
			}
		}
	}
	each(func(p orb.Point) {
		if distance(p, a) > distance(b, a) {
			b = p
		}
	})
	l := distance(a, b)
	wide := 0.0
	each(func(p orb.Point) { wide = max(wide, abs(cross(sub(b, a), sub(p, a)))) })
	return l == 0 || wide/l < 1e-8*l || wide/l < 1e-6
}

// loosen keeps curves for the picture.
func (s *sheet) loosen(cs []curve) {
	c := chain{curves: cs}
	s.loose = append(s.loose, c.line(s.opt.Chord))
}

// flatten makes a ring that keeps to the right of the curves. Where the
// tangents of a narrow place cross, finer ones may not; crossed says that no
// tolerance helped, or that the curves themselves cross, at the place given.
func (s *sheet) flatten(cs []curve) (r orb.Ring, at orb.Point, crossed bool) {
	for tol := s.opt.Chord; tol > s.opt.Chord/300; tol /= 4 {
		r = r[:0]
		for _, c := range cs {
			if r = c.outer(r, tol); s.vertices+len(r) > MaxVertices {
				s.halt(0, fmt.Sprintf("the outlines have more than %d vertices", MaxVertices), "widen the chord tolerance, or split the drawing")
				return nil, at, true
			}
		}
		r = geom.Clean(r)
		if at, crossed = geom.SelfIntersection(r); !crossed {
			s.vertices += len(r)
			return r, at, false
		}
		if !curved(cs) {
			break
		}
	}
	return r, at, crossed
}

func curved(cs []curve) bool {
	for _, c := range cs {
		if _, straight := c.(lineCurve); !straight {
			return true
		}
	}
	return false
}

// dropTwins leaves out loops drawn twice.
func (s *sheet) dropTwins(loops []*loop) []*loop {
	type key struct{ x, y int64 }
	seen := map[key][]*loop{}
	var out []*loop
	q := 4 * s.opt.Join
	for _, l := range loops {
		k := key{int64(l.bound.Min[0] / q), int64(l.bound.Min[1] / q)}
		twin := false
		for dx := int64(-1); dx <= 1 && !twin; dx++ {
			for dy := int64(-1); dy <= 1 && !twin; dy++ {
				near := seen[key{k.x + dx, k.y + dy}]
				// Twins usually follow each other; hundreds of outlines from one
				// corner are not all compared.
				for _, m := range near[max(0, len(near)-300):] {
					if s.twins(l, m) {
						twin = true
						at := l.curves[0].start()
						s.problem(shapes.Repair, l.from, &at, fmt.Sprintf("is drawn twice (the other is %s); one was left out", m.from.label()), "")
						break
					}
				}
			}
		}
		if twin {
			continue
		}
		seen[k] = append(seen[k], l)
		out = append(out, l)
	}
	return out
}

// twins reports whether two loops run along each other within the joining
// tolerance.
func (s *sheet) twins(a, b *loop) bool {
	tol := s.opt.Join
	for i := range 2 {
		if abs(a.bound.Min[i]-b.bound.Min[i]) > 2*tol || abs(a.bound.Max[i]-b.bound.Max[i]) > 2*tol {
			return false
		}
	}
	if abs(a.area-b.area) > float64(tol*(a.around+b.around))+float64(1e-9*a.area) || abs(a.around-b.around) > float64(1e-3*a.around)+8*tol {
		return false
	}
	step := max(1, len(a.ring)/64)
	for i := 0; i < len(a.ring); i += step {
		if !b.body.near(a.ring[i], 2*tol+2*s.opt.Chord) {
			return false
		}
	}
	return true
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
