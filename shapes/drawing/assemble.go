package drawing

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// assemble turns pieces, texts and points into outlines.
func (s *sheet) assemble() {
	kept := s.pieces[:0]
	told := map[string]bool{}
	for _, p := range s.pieces {
		if p.from.role() == roleIgnore {
			s.passOver(p.from.kind, "layer or class named as drawing furniture", p.from.entity)
			if key := p.from.layer + "\x00" + p.from.class; !told[key] {
				told[key] = true
				at := p.start()
				s.problem(shapes.Doubt, p.from, &at, fmt.Sprintf("layer or class %q is taken for drawing furniture and passed over", clip(p.from.furniture())), "rename it where it holds plies")
			}
			continue
		}
		kept = append(kept, p)
	}
	s.pieces = kept
	if len(s.pieces) == 0 {
		if len(s.Problems.Faults()) == 0 {
			s.problem(shapes.Fault, nil, nil, "the drawing holds no line that could be an outline", "check that the plies are on layers that show, and in model space")
		}
		return
	}
	groups, shared := s.partition()
	var plies []*ply
	for _, group := range groups {
		plies = append(plies, s.assembleGroup(group)...)
	}
	s.shareMarks(plies, shared)
	s.order(plies)
	s.giveMarks(plies)
	s.giveNames(plies)
	for _, p := range plies {
		s.emit(p)
	}
	if len(s.Outlines) == 0 && len(s.Problems.Faults()) == 0 {
		s.problem(shapes.Fault, nil, nil, "the drawing holds no closed outline", "close the outlines, or widen the gap limit")
	}
}

// partition splits the pieces by layer where the options ask for it. Layers
// that hold nothing but marks, slits and datum lines are shared by all.
func (s *sheet) partition() (groups [][]*piece, shared []*piece) {
	if !s.opt.PerLayer {
		return [][]*piece{s.pieces}, nil
	}
	plain := map[string]bool{}
	for _, p := range s.pieces {
		if p.from.role() == rolePlain || p.closed {
			plain[p.from.layer] = true
		}
	}
	index := map[string]int{}
	for _, p := range s.pieces {
		key := p.from.layer
		if !plain[key] {
			shared = append(shared, p)
			continue
		}
		i, ok := index[key]
		if !ok {
			i = len(groups)
			index[key] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], p)
	}
	return groups, shared
}

// shareMarks gives lines of shared layers to the plies they lie in, and a datum
// line to every ply that has none of its own.
func (s *sheet) shareMarks(plies []*ply, shared []*piece) {
	var roles [roleIgnore][]*piece
	for _, p := range shared {
		roles[p.from.role()] = append(roles[p.from.role()], p)
	}
	for r, ps := range roles {
		if len(ps) == 0 {
			continue
		}
		loops, open := s.join(ps, role(r))
		for _, l := range loops {
			open = append(open, &chain{curves: l.curves, from: l.from, role: role(r)})
		}
		if role(r) != roleDatum {
			s.attach(plies, open)
			continue
		}
		for _, c := range open {
			for _, p := range plies {
				if p.datum == nil {
					s.mark(p, c, c.line(s.opt.Chord))
				}
			}
		}
	}
}

// assembleGroup joins and nests pieces that belong together. Lines are joined
// only with lines of their own role.
func (s *sheet) assembleGroup(pieces []*piece) []*ply {
	var roles [roleIgnore][]*piece
	for _, p := range pieces {
		r := p.from.role()
		roles[r] = append(roles[r], p)
	}
	var loops []*loop
	var open []*chain
	for r, ps := range roles {
		if len(ps) == 0 {
			continue
		}
		l, o := s.join(ps, role(r))
		for _, x := range l {
			if role(r) == roleMark || role(r) == roleDatum {
				open = append(open, &chain{curves: x.curves, from: x.from, role: role(r)})
				continue
			}
			loops = append(loops, x)
		}
		open = append(open, o...)
	}
	loops = s.sound(loops)
	for _, l := range loops {
		open = append(open, l.slits...)
	}
	plies := s.nest(loops)
	for _, p := range plies {
		p.layer = pieces[0].from.layer
	}
	s.attach(plies, open)
	return plies
}

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

// A ply is an outline being put together.
type ply struct {
	outer *loop
	holes []*loop
	holeR []orb.Ring
	holeX []*indexed // of holeR
	holeT rtree.RTreeG[*indexed]
	marks []shapes.Mark
	names map[NameSource]string
	name  string
	layer string
	datum *chain
	slits float64 // length of slits, mm
	first int
}

func reversedCurves(cs []curve) []curve {
	out := make([]curve, len(cs))
	for i, c := range cs {
		out[len(cs)-1-i] = c.reversed()
	}
	return out
}

// sound measures loops, turns them counter-clockwise, flattens them, and
// leaves out those that no ply can have.
func (s *sheet) sound(loops []*loop) []*loop {
	var out []*loop
	for _, l := range loops {
		l.measure()
		at := l.curves[0].start()
		if thin(l.curves) {
			s.problem(shapes.Fault, l.from, &at, "the outline encloses no area", "delete or redraw it")
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
		if crossed {
			s.problem(shapes.Fault, l.from, &at, "the outline crosses or touches itself", "draw it so that it does not")
			s.loosen(l.curves)
			continue
		}
		if l.area < leastArea || len(l.ring) < 3 {
			s.problem(shapes.Fault, l.from, &at, "the outline encloses no area", "delete or redraw it")
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
			r = c.outer(r, tol)
		}
		r = geom.Clean(r)
		if at, crossed = geom.SelfIntersection(r); !crossed {
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
	if abs(a.area-b.area) > tol*(a.around+b.around)+1e-9*a.area || abs(a.around-b.around) > 1e-3*a.around+8*tol {
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

// order puts plies in the order of the file.
func (s *sheet) order(plies []*ply) {
	slices.SortStableFunc(plies, func(a, b *ply) int { return a.first - b.first })
}

// emit makes the outline.
func (s *sheet) emit(p *ply) {
	o := &shapes.Outline{
		Name: p.name, Exterior: p.outer.ring, Holes: p.holeR, Marks: p.marks,
		Area: p.outer.area, Perimeter: p.outer.around + p.slits, Source: s.source(p.outer.from),
	}
	for _, h := range p.holes {
		o.Area -= h.area
		o.Perimeter += h.around
	}
	s.placed = append(s.placed, o)
	s.Outlines = append(s.Outlines, s.alongDatum(p, o))
}

func (s *sheet) source(from *origin) string {
	if from == nil {
		return s.File
	}
	return s.File + ", " + from.label()
}
