package toolpath

import (
	"fmt"
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
		if it.slits, err = slits(k.shape(p), p, l); err != nil {
			return nil, fmt.Errorf("layout %s: %s: %w", l.ID, p.Key(), err)
		}
		if len(l.Layers) > 1 {
			if same := byX.find(items, &it, l); same >= 0 {
				if err := items[same].join(it); err != nil {
					return nil, fmt.Errorf("layout %s: %w", l.ID, err)
				}
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
	line, err := clean(orb.LineString(points(r)), l)
	if err != nil {
		return nil, err
	}
	for len(line) > 1 && dist(line[0], line[len(line)-1]) <= geom.Coincident {
		line = line[:len(line)-1]
	}
	if len(line) < 3 || geom.Area(orb.Ring(line)) < 1e-6 {
		return nil, fmt.Errorf("the boundary has no area")
	}
	return orb.Ring(line), nil
}

// clean returns a line without repeated vertices. A vertex off the fabric, or
// one that is no number, is an error.
func clean(line orb.LineString, l *nest.Layout) (orb.LineString, error) {
	out := make(orb.LineString, 0, len(line))
	for _, p := range line {
		if !(p[0] >= -sameCut && p[0] <= l.Length+sameCut && p[1] >= -sameCut && p[1] <= l.Width+sameCut) {
			return nil, fmt.Errorf("the cut leaves the fabric at (%g, %g)", p[0], p[1])
		}
		if n := len(out); n > 0 && dist(out[n-1], p) <= geom.Coincident {
			continue
		}
		out = append(out, p)
	}
	return out, nil
}

// slits are the cut lines of a shape in the place of a placed ply. Where the
// shape does not match the ply's outline, its slits would be cut in the wrong
// place, and that is an error.
func slits(s *nest.Shape, p *nest.Placed, l *nest.Layout) ([]orb.LineString, error) {
	if s == nil {
		return nil, nil
	}
	t := transform(p)
	var out []orb.LineString
	for _, m := range s.Marks {
		if m.Kind != shapes.MarkSlit {
			continue
		}
		line, err := clean(t.Line(m.Line), l)
		if err != nil {
			return nil, fmt.Errorf("slit: %w", err)
		}
		if len(line) > 1 {
			out = append(out, line)
		}
	}
	if len(out) > 0 && !matches(s, p, t) {
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

// join adds the ply of another layer to an item with the same boundary. Slits
// go through all layers, so both plies must have the same.
func (it *item) join(o item) error {
	if !sameLines(it.slits, o.slits) || !sameLines(o.slits, it.slits) {
		return fmt.Errorf("%s and %s lie on each other and have different slits; cut them apart", it.label, o.label)
	}
	it.placed = append(it.placed, o.placed...)
	if !strings.Contains(it.label, o.label) {
		it.label += " + " + o.label
	}
	return nil
}
