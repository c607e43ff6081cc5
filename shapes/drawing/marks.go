package drawing

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// plyIndex finds plies by place.
type plyIndex struct {
	plies []*ply
	tree  rtree.RTreeG[int]
}

func indexPlies(plies []*ply) *plyIndex {
	x := &plyIndex{plies: plies}
	for i, p := range plies {
		x.tree.Insert(p.outer.bound.Min, p.outer.bound.Max, i)
	}
	return x
}

// at is the innermost ply whose outline holds the point, or nil; inHole says
// that the point lies in one of its cut-outs.
func (x *plyIndex) at(q orb.Point, tol float64, within func(*ply) bool) (best *ply, inHole bool) {
	lo := [2]float64{q[0] - tol, q[1] - tol}
	hi := [2]float64{q[0] + tol, q[1] + tol}
	x.tree.Search(lo, hi, func(_, _ [2]float64, i int) bool {
		p := x.plies[i]
		if within != nil && !within(p) || best != nil && best.outer.area <= p.outer.area {
			return true
		}
		if p.outer.body.position(q) == geom.Outside && !p.outer.body.near(q, tol) {
			return true
		}
		best, inHole = p, p.inHole(q, tol)
		return true
	})
	return best, inHole
}

// attach gives open chains to the plies they lie in.
func (s *sheet) attach(plies []*ply, open []*chain) {
	x := indexPlies(plies)
	tol := s.opt.Join + s.opt.Chord
	for _, c := range open {
		line := c.line(s.opt.Chord)
		mid := lineMiddle(line)
		p, _ := x.at(mid, tol, nil)
		for i := 0; p == nil && i < len(line); i += max(1, len(line)/8) {
			if q, _ := x.at(line[i], tol, nil); q != nil {
				p = q
			}
		}
		if p == nil && c.role == roleDatum && len(plies) == 1 {
			p = plies[0]
		}
		if p == nil {
			s.stray(c, line)
			continue
		}
		if (c.role == rolePlain || c.role == roleMark) && s.onBoundary(p, line) {
			at := line[0]
			s.problem(shapes.Repair, c.from, &at, "lies along the outline and was left out", "")
			continue
		}
		s.mark(p, c, line)
	}
}

// openShare: a chain whose ends lie closer than this share of its length is
// taken for an outline left open. A triangle without one side has a half.
const openShare = 0.6

// stray reports a chain that lies in no ply.
func (s *sheet) stray(c *chain, line orb.LineString) {
	a, b := c.start(), c.end()
	s.loose = append(s.loose, line)
	l := c.length()
	switch {
	case c.role != rolePlain && c.role != roleSlit, distance(a, b) > openShare*l:
		s.problem(shapes.Doubt, c.from, &a, "a line outside every outline was not used", "delete it, or put it on a layer that is off")
	default:
		s.localFault(c.curves, c.from, a, fmt.Sprintf("the contour is open: its ends lie %.4g mm apart, the other at %s (length %.4g mm)", distance(a, b), s.where(b), l), s.gapRemedy(distance(a, b)))
	}
}

// where writes a place in the drawing's own units.
func (s *sheet) where(p orb.Point) string {
	if inv, ok := s.toMM.inverse(); ok {
		p = inv.point(p)
	}
	return fmt.Sprintf("(%.6g, %.6g)", p[0], p[1])
}

func (s *sheet) onBoundary(p *ply, line orb.LineString) bool {
	tol := 2*s.opt.Join + s.opt.Chord
	on := func(q orb.Point) bool { return p.nearEdge(q, tol) }
	for i, q := range line {
		if !on(q) || i > 0 && !on(lerp(line[i-1], q, 0.5)) {
			return false
		}
	}
	return true
}

// mark makes the chain a mark of the ply.
func (s *sheet) mark(p *ply, c *chain, line orb.LineString) {
	m := shapes.Mark{Kind: shapes.MarkLine, Line: line, Text: c.from.caption()}
	switch c.role {
	case roleSlit:
		m.Kind = shapes.MarkSlit
	case roleDatum:
		m.Kind = shapes.MarkDatum
		if p.datum == nil {
			p.datum = c
		} else {
			at := c.start()
			s.problem(shapes.Doubt, c.from, &at, "is a second datum line in one outline; the first was taken", "keep one")
			m.Kind = shapes.MarkLine
		}
	}
	if m.Kind == shapes.MarkDatum {
		p.marks = append(p.marks, m)
		return
	}
	parts, cut := clipToPly(line, p)
	if len(parts) == 0 {
		s.stray(c, line)
		return
	}
	if cut {
		at := line[0]
		s.problem(shapes.Repair, c.from, &at, "reaches out of the outline and was cut off at its edge", "")
	}
	if m.Kind == shapes.MarkSlit && !cut {
		p.slits += c.length()
	}
	for _, l := range parts {
		if m.Kind == shapes.MarkSlit && cut {
			p.slits += lineLength(l)
		}
		k := m
		k.Line = l
		p.marks = append(p.marks, k)
	}
}

// caption is what a line itself is called, where it is called anything.
func (o *origin) caption() string {
	if o.title != "" {
		return o.title
	}
	if o.kind == strings.ToLower(o.kind) && !madeUp(o.id) {
		return o.id
	}
	return ""
}

// clipWork bounds the places where one line crosses a ply's edges; a line that
// crosses more often is kept whole.
const clipWork = 1_000_000

// clipToPly keeps the parts of a line in the ply's material; cut says that
// something of more than a hair was dropped.
func clipToPly(line orb.LineString, p *ply) (parts []orb.LineString, cut bool) {
	const hair = 0.1
	var run orb.LineString
	work := 0
	flush := func() {
		if len(run) > 1 && lineLength(run) > 2*hair {
			parts = append(parts, run)
		}
		run = nil
	}
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		ts := []float64{0, 1}
		lo, hi := segmentBox(a, b, 0)
		p.bodies(lo, hi, func(x *indexed) bool {
			ts = x.crossings(a, b, ts)
			return true
		})
		if work += len(ts); work > clipWork {
			return []orb.LineString{line}, false
		}
		sort.Float64s(ts)
		for k := 1; k < len(ts); k++ {
			if ts[k]-ts[k-1] < 1e-12 {
				continue
			}
			u, v := lerp(a, b, ts[k-1]), lerp(a, b, ts[k])
			m := lerp(u, v, 0.5)
			if p.offMaterial(m) && !p.nearEdge(m, hair) {
				cut = true
				flush()
				continue
			}
			if len(run) == 0 {
				run = orb.LineString{u}
			}
			run = append(run, v)
		}
	}
	flush()
	return parts, cut
}

func lineLength(l orb.LineString) float64 {
	var d float64
	for i := 1; i < len(l); i++ {
		d += distance(l[i-1], l[i])
	}
	return d
}

// lineMiddle is the point half way along.
func lineMiddle(l orb.LineString) orb.Point {
	left := lineLength(l) / 2
	for i := 1; i < len(l); i++ {
		d := distance(l[i-1], l[i])
		if d > 0 && left <= d {
			return lerp(l[i-1], l[i], left/d)
		}
		left -= d
	}
	return l[len(l)-1]
}

// giveMarks gives points to the plies they lie in.
func (s *sheet) giveMarks(plies []*ply) {
	x := indexPlies(plies)
	for _, q := range s.spots {
		if !geom.InRange(q.at) {
			s.outOfRange(q.at, q.from)
			continue
		}
		p, inHole := x.at(q.at, s.opt.Join, s.sameLayer(q.from))
		if p == nil || inHole {
			s.passOver(q.from.kind, "outside every outline", q.from.entity)
			continue
		}
		p.marks = append(p.marks, shapes.Mark{Kind: shapes.MarkPoint, Line: orb.LineString{q.at}, Text: q.from.caption()})
	}
}

// sameLayer restricts a search to plies of one layer where the options ask
// for it.
func (s *sheet) sameLayer(o *origin) func(*ply) bool {
	if !s.opt.PerLayer {
		return nil
	}
	return func(p *ply) bool { return p.layer == o.layer }
}

// alongDatum turns an outline so that its datum line runs from the origin
// along +X.
func (s *sheet) alongDatum(p *ply, o *shapes.Outline) *shapes.Outline {
	if p.datum == nil {
		return o
	}
	a, b := p.datum.start(), p.datum.end()
	d := sub(b, a)
	l := length(d)
	if l < 1 {
		s.problem(shapes.Doubt, p.datum.from, &a, fmt.Sprintf("is a datum line of %.3g mm, too short to aim by", l), "draw it longer")
		return o
	}
	for _, q := range p.datum.line(s.opt.Chord) {
		if math.Abs(cross(d, sub(q, a)))/l > 2*s.opt.Chord {
			s.problem(shapes.Doubt, p.datum.from, &q, "is a datum line that is not straight; its ends were taken", "draw it straight")
			break
		}
	}
	m := affine{d[0] / l, -d[1] / l, d[1] / l, d[0] / l, 0, 0}.mul(translation(-a[0], -a[1]))
	turned := *o
	turned.Exterior = mapRing(m, o.Exterior)
	turned.Holes = make([]orb.Ring, len(o.Holes))
	for i, h := range o.Holes {
		turned.Holes[i] = mapRing(m, h)
	}
	if len(o.Holes) == 0 {
		turned.Holes = nil
	}
	turned.Marks = make([]shapes.Mark, len(o.Marks))
	for i, k := range o.Marks {
		k.Line = orb.LineString(mapRing(m, orb.Ring(k.Line)))
		turned.Marks[i] = k
	}
	return &turned
}

func mapRing(m affine, r orb.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = m.point(p)
	}
	return out
}
