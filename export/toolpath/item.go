package toolpath

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// sameCut is how close two boundaries of different layers must be to be one
// cut, mm: a tenth of what a knife can follow.
const sameCut = 0.005

// An item is what one boundary on the table cuts out: a ply, or in a spread
// one ply of every layer.
type item struct {
	placed  []int // indices into Layout.Placed, in layer order
	label   string
	outline orb.Ring
	holes   []orb.Ring
	slits   []orb.LineString
	bound   orb.Bound
}

// A shelf is a layout with the shapes its plies are cut from at hand.
type shelf struct {
	rec    *nest.Record
	l      *nest.Layout
	demand map[nest.Key]*nest.Demand
	byID   map[string]*nest.Shape
	poles  map[string]pole // by shape, in its own frame
}

// A pole is the widest place of a shape and its radius, mm.
type pole struct {
	at orb.Point
	r  float64
}

// widest is the widest place of an item. Equal shapes share the search.
func (k *shelf) widest(it *item) (orb.Point, float64) {
	p := &k.l.Placed[it.placed[0]]
	s, t := k.shape(p), transform(p)
	if s == nil || !matches(s, p, t) {
		return geom.Pole(it.outline, it.holes, 0)
	}
	w, ok := k.poles[s.ID]
	if !ok {
		var holes []orb.Ring
		for _, h := range s.Cut.Holes {
			holes = append(holes, points(h))
		}
		w.at, w.r = geom.Pole(points(s.Cut.Outline), holes, 0)
		k.poles[s.ID] = w
	}
	return t.Point(w.at), w.r
}

func points(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = p
	}
	return out
}

func newShelf(rec *nest.Record, l *nest.Layout) *shelf {
	return &shelf{rec, l, rec.DemandByKey(), rec.ShapesByID(), map[string]pole{}}
}

// shape is what a placed ply is cut from; nil where the record does not say.
func (k *shelf) shape(p *nest.Placed) *nest.Shape {
	if d := k.demand[p.Key()]; d != nil {
		return k.byID[d.Shape]
	}
	return nil
}

// collect turns the placed plies of a layout into items.
func (k *shelf) collect() ([]item, error) {
	l := k.l
	var items []item
	byX := newNear()
	for i := range l.Placed {
		p := &l.Placed[i]
		it := item{placed: []int{i}, label: label(p)}
		var err error
		if it.outline, err = ring(p.Outline, l); err != nil {
			return nil, fmt.Errorf("layout %s: %s: %w", l.ID, p.Key(), err)
		}
		for _, h := range p.Holes {
			r, err := ring(h, l)
			if err != nil {
				return nil, fmt.Errorf("layout %s: %s: cut-out: %w", l.ID, p.Key(), err)
			}
			it.holes = append(it.holes, r)
		}
		it.bound = geom.Bound(it.outline)
		if it.slits, err = slits(k.shape(p), p); err != nil {
			return nil, fmt.Errorf("layout %s: %s: %w", l.ID, p.Key(), err)
		}
		if len(l.Layers) > 1 {
			if same := byX.find(items, &it, l); same >= 0 {
				items[same].join(it)
				continue
			}
			byX.add(it.bound.Min[0], len(items))
		}
		items = append(items, it)
	}
	return items, nil
}

// label names a placed ply for people.
func label(p *nest.Placed) string {
	s := fmt.Sprintf("%s, unit %d, %s", p.Part, p.Unit, p.Ply)
	if p.Copy > 1 {
		s += fmt.Sprintf(", copy %d", p.Copy)
	}
	return s
}

// ring takes a ring of the record, without repeated vertices, and refuses what
// no knife can follow.
func ring(r nest.Ring, l *nest.Layout) (orb.Ring, error) {
	out := make(orb.Ring, 0, len(r))
	for _, p := range r {
		if !(p[0] >= -sameCut && p[0] <= l.Length+sameCut && p[1] >= -sameCut && p[1] <= l.Width+sameCut) {
			return nil, fmt.Errorf("the cut leaves the fabric at (%g, %g)", p[0], p[1])
		}
		if n := len(out); n > 0 && dist(out[n-1], p) <= geom.Coincident {
			continue
		}
		out = append(out, p)
	}
	for len(out) > 1 && dist(out[0], out[len(out)-1]) <= geom.Coincident {
		out = out[:len(out)-1]
	}
	if len(out) < 3 || geom.Area(out) < 1e-6 {
		return nil, fmt.Errorf("the boundary has no area")
	}
	return out, nil
}

// slits are the cut lines of a shape in the place of a placed ply. Where the
// shape does not match the ply's outline, its slits would be cut in the wrong
// place, and that is an error.
func slits(s *nest.Shape, p *nest.Placed) ([]orb.LineString, error) {
	if s == nil {
		return nil, nil
	}
	t := transform(p)
	var out []orb.LineString
	for _, m := range s.Marks {
		if m.Kind == shapes.MarkSlit && len(m.Line) > 1 {
			out = append(out, t.Line(m.Line))
		}
	}
	if len(out) == 0 {
		return nil, nil
	}
	if !matches(s, p, t) {
		return nil, fmt.Errorf("shape %s does not lie where the ply is placed; its slits would be cut in the wrong place", s.ID)
	}
	return out, nil
}

// transform is how a shape in its own frame comes to lie as placed.
func transform(p *nest.Placed) geom.Transform {
	return geom.Transform{Mirror: p.TurnedOver != p.OppositeHand, Rotation: p.RotationDeg, X: p.X, Y: p.Y}
}

// matches compares the box of the moved shape with that of the placed outline;
// marks moved likewise are then in place.
func matches(s *nest.Shape, p *nest.Placed, t geom.Transform) bool {
	const slack = 0.02
	moved, placed := t.Ring(points(s.Cut.Outline)), points(p.Outline)
	if len(moved) == 0 || len(placed) == 0 {
		return false
	}
	if len(moved) == len(placed) {
		return sameRing(moved, placed, slack)
	}
	a, b := geom.Bound(moved), geom.Bound(placed)
	return dist(a.Min, b.Min) < slack && dist(a.Max, b.Max) < slack
}

// join adds the ply of another layer to an item with the same boundary.
func (it *item) join(o item) {
	it.placed = append(it.placed, o.placed...)
	if !strings.Contains(it.label, o.label) {
		it.label += " + " + o.label
	}
	for _, s := range o.slits {
		known := false
		for _, have := range it.slits {
			known = known || sameLine(have, s, sameCut)
		}
		if !known {
			it.slits = append(it.slits, s)
		}
	}
}

// near finds items by the left edge of their box.
type near struct {
	x    []float64
	item []int
}

func newNear() *near { return &near{} }

func (n *near) add(x float64, item int) {
	k := sort.SearchFloat64s(n.x, x)
	n.x = append(n.x, 0)
	n.item = append(n.item, 0)
	copy(n.x[k+1:], n.x[k:])
	copy(n.item[k+1:], n.item[k:])
	n.x[k], n.item[k] = x, item
}

// find looks for an item of other layers with the boundaries of it, or -1.
func (n *near) find(items []item, it *item, l *nest.Layout) int {
	x := it.bound.Min[0]
	for k := sort.SearchFloat64s(n.x, x-sameCut); k < len(n.x) && n.x[k] <= x+sameCut; k++ {
		have := &items[n.item[k]]
		if shareLayer(have, it, l) || len(have.holes) != len(it.holes) || !sameRing(have.outline, it.outline, sameCut) {
			continue
		}
		all := true
		for _, h := range it.holes {
			found := false
			for _, g := range have.holes {
				found = found || sameRing(g, h, sameCut)
			}
			all = all && found
		}
		if all {
			return n.item[k]
		}
	}
	return -1
}

func shareLayer(a, b *item, l *nest.Layout) bool {
	for _, i := range a.placed {
		for _, j := range b.placed {
			if l.Placed[i].Layer == l.Placed[j].Layer {
				return true
			}
		}
	}
	return false
}

// sameRing reports whether two rings have the same vertices in the same
// direction, whatever they begin with.
func sameRing(a, b orb.Ring, tol float64) bool {
	if len(a) != len(b) {
		return false
	}
	for off := range b {
		same := true
		for i := 0; same && i < len(a); i++ {
			same = dist(a[i], b[(i+off)%len(b)]) <= tol
		}
		if same {
			return true
		}
	}
	return false
}

func sameLine(a, b orb.LineString, tol float64) bool {
	if len(a) != len(b) {
		return false
	}
	same, back := true, true
	for i := range a {
		same = same && dist(a[i], b[i]) <= tol
		back = back && dist(a[i], b[len(b)-1-i]) <= tol
	}
	return same || back
}

// dist is the distance of two points. The conversions keep compilers from
// fusing the sum, so that every machine gets the same order.
func dist(a, b orb.Point) float64 {
	x, y := a[0]-b[0], a[1]-b[1]
	return math.Sqrt(float64(x*x) + float64(y*y))
}
