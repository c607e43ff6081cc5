package toolpath

import (
	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes/geom"
)

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
