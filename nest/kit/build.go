package kit

import (
	"errors"
	"fmt"
	"sort"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Settings change how kits are made. The zero value is ready to use.
type Settings struct {
	// Order is the order off the table; nil takes AlongRoll.
	Order CutOrder
	// FlatLimit is the longest side of a piece packed flat, mm; 0 takes the
	// package's FlatLimit.
	FlatLimit float64
	// Stops lists, by part, the orders after which a wet set ends: the skin
	// coat, the core. Where nil, the record's parts say.
	Stops map[string][]int
	// SetThickness is the most laminate, mm cured, laid in one wet set, against
	// heat of cure; 0 takes the record's. The resin supplier's data sheet says
	// how much.
	SetThickness float64
	// Again are plans of single plies that were cut again after the record's
	// layouts were cut. Their plies take the place of the spoiled ones; of two
	// for one ply the later counts.
	Again []*nest.Record
}

// Build makes the kits of a record with default settings: part by part in the
// record's order, unit by unit.
func Build(r *nest.Record) ([]Kit, error) { return BuildWith(r, Settings{}) }

// BuildWith makes the kits of a record.
//
// A demanded piece that no layout holds makes its kit short; that is no
// error, and the documents say so. Errors are references that lead nowhere
// (fabric, shape, part, layer), pieces demanded or placed twice, and placed
// pieces that nobody asked for; all of them are reported together.
func BuildWith(r *nest.Record, s Settings) ([]Kit, error) {
	if s.FlatLimit <= 0 {
		s.FlatLimit = FlatLimit
	}
	b := builder{record: r, settings: s, shapes: r.ShapesByID(), sizes: map[string]measure{}}
	places := b.places()
	demanded := map[nest.Key]bool{}
	for i := range r.Demand {
		demanded[r.Demand[i].Key()] = true
	}
	b.again(places, demanded)
	lines := map[unitKey][]Line{}
	seen := map[nest.Key]bool{}
	for i := range r.Demand {
		d := &r.Demand[i]
		k := d.Key()
		if seen[k] {
			b.faultf("%s is demanded twice", k)
			continue
		}
		seen[k] = true
		if l, ok := b.line(d, places[k]); ok {
			u := unitKey{d.Part, d.Unit}
			lines[u] = append(lines[u], l)
		}
	}
	b.strangers(seen)
	kits := b.kits(lines)
	if len(b.faults) > 0 {
		return nil, errors.Join(b.faults...)
	}
	return kits, nil
}

type unitKey struct {
	part string
	unit int
}

type builder struct {
	record   *nest.Record
	settings Settings
	shapes   map[string]*nest.Shape
	sizes    map[string]measure
	faults   []error
}

func (b *builder) faultf(format string, args ...any) {
	b.faults = append(b.faults, fmt.Errorf("record: "+format, args...))
}

// places finds where every piece lies.
func (b *builder) places() map[nest.Key]*Place {
	out := map[nest.Key]*Place{}
	for i := range b.record.Layouts {
		l := &b.record.Layouts[i]
		pos, err := Positions(l, b.settings.Order)
		if err != nil {
			b.faults = append(b.faults, err)
			continue
		}
		layers := map[int]*nest.Layer{}
		for k := range l.Layers {
			layers[l.Layers[k].Layer] = &l.Layers[k]
		}
		for k := range l.Placed {
			p := &l.Placed[k]
			layer := layers[p.Layer]
			if layer == nil {
				b.faultf("%s lies on layer %d of layout %s, which has no such layer", p.Key(), p.Layer, l.ID)
				continue
			}
			if out[p.Key()] != nil {
				b.faultf("%s is placed twice, on layouts %s and %s", p.Key(), out[p.Key()].Layout, l.ID)
				continue
			}
			out[p.Key()] = &Place{
				Layout: l.ID, LayoutIndex: i, Layer: p.Layer, Layers: len(l.Layers), Position: pos[k],
				Roll: layer.Roll, Lot: layer.Lot, RollFrom: layer.RollFrom, Placed: p, face: layer.Face,
			}
		}
	}
	return out
}

// again sets the plies that were cut again in the place of the spoiled ones.
func (b *builder) again(places map[nest.Key]*Place, demanded map[nest.Key]bool) {
	for n, r := range b.settings.Again {
		one := builder{record: r, settings: b.settings}
		for key, p := range one.places() {
			if !demanded[key] {
				b.faultf("%s is cut again, as %s, and is not demanded", key, p.Layout)
				continue
			}
			p.CutAgain, p.LayoutIndex, p.fabric = true, len(b.record.Layouts)+n, r.Fabric(p.Placed.Fabric)
			places[key] = p
		}
		b.faults = append(b.faults, one.faults...)
	}
}

// strangers reports placed pieces that are not demanded.
func (b *builder) strangers(demanded map[nest.Key]bool) {
	for i := range b.record.Layouts {
		l := &b.record.Layouts[i]
		for k := range l.Placed {
			if key := l.Placed[k].Key(); !demanded[key] {
				b.faultf("%s on layout %s is not demanded", key, l.ID)
			}
		}
	}
}

// line makes one line of a kit, not yet numbered, bagged or in a set.
func (b *builder) line(d *nest.Demand, place *Place) (Line, bool) {
	f := b.record.Fabric(d.Fabric)
	if f == nil {
		b.faultf("%s: no fabric %q", d.Key(), d.Fabric)
	}
	sh := b.shapes[d.Shape]
	if sh == nil {
		b.faultf("%s: no shape %q", d.Key(), d.Shape)
	}
	if f == nil || sh == nil {
		return Line{}, false
	}
	l := Line{Demand: *d, Fabric: f, Shape: sh, Place: place, AskedDeg: shapes.NormalDirection(d.DirectionDeg)}
	if d.OppositeHand {
		l.AskedDeg = shapes.NormalDirection(-d.DirectionDeg)
	}
	m := b.measure(sh)
	l.Net, l.Cut, l.NetArea, l.CutArea = m.net, m.cut, m.netArea, m.cutArea
	upsideDown := false
	if place != nil {
		upsideDown = place.Placed.TurnedOver != (place.face == "down")
	}
	l.Fibres = fibres(f, l.LaidDeg(), upsideDown)
	density := 0.0
	if b.record.Laminating != nil {
		density = b.record.Laminating.ResinDensity
	}
	l.Laminate = LaminateOf(l.CutArea, f, density)
	l.Packing = packing(f, l.Cut, b.settings.FlatLimit)
	l.Life = lifeOf(f, place)
	return l, true
}

// kits gathers the lines by part and unit.
func (b *builder) kits(lines map[unitKey][]Line) []Kit {
	var out []Kit
	known := map[unitKey]bool{}
	for _, p := range b.record.Parts {
		for u := 1; u <= p.Units; u++ {
			key := unitKey{p.Part, u}
			if known[key] {
				b.faultf("part %q is listed twice", p.Part)
				break
			}
			known[key] = true
			if len(lines[key]) == 0 {
				continue
			}
			k := Kit{
				Number: len(out) + 1, Job: b.record.Job, Revision: b.record.Revision,
				PartRevision: p.Revision, Part: p.Part, Unit: u, Units: p.Units, Lines: lines[key],
			}
			if k.PartRevision == "" {
				k.PartRevision = b.record.Revision
			}
			b.finish(&k)
			out = append(out, k)
		}
	}
	for i := range b.record.Demand {
		d := &b.record.Demand[i]
		if !known[unitKey{d.Part, d.Unit}] {
			b.faultf("%s: no such part or unit", d.Key())
		}
	}
	for i := range out {
		out[i].Of = len(out)
	}
	return out
}

// finish sorts and numbers the lines of a kit and sums it up.
func (b *builder) finish(k *Kit) {
	sort.SliceStable(k.Lines, func(i, j int) bool {
		a, b := &k.Lines[i].Demand, &k.Lines[j].Demand
		if a.Order != b.Order {
			return a.Order < b.Order
		}
		if a.Ply != b.Ply {
			return a.Ply < b.Ply
		}
		return a.Copy < b.Copy
	})
	for i := range k.Lines {
		k.Lines[i].Number = i + 1
	}
	k.Bags = bags(k.Lines)
	k.Totals = totals(k.Lines)
	k.Life = leastLife(k.Lines)
	if lam := b.record.Laminating; lam != nil && lam.Pace > 0 {
		k.Minutes = k.Totals.Mass / lam.Pace * 60
	}
	k.Plan = planFor(k.Lines, b.record.Laminating, b.limits(k.Part))
}

// limits are what ends the wet sets of a part besides the window.
func (b *builder) limits(part string) limits {
	lim := limits{stops: map[int]string{}, thickness: b.settings.SetThickness}
	if lim.thickness == 0 && b.record.Laminating != nil {
		lim.thickness = b.record.Laminating.SetThickness
	}
	if b.settings.Stops != nil {
		for _, order := range b.settings.Stops[part] {
			lim.stops[order] = ""
		}
		return lim
	}
	for _, p := range b.record.Parts {
		if p.Part == part {
			for _, s := range p.Stops {
				lim.stops[s.After] = s.Reason
			}
		}
	}
	return lim
}

// A measure is what is computed once per shape.
type measure struct {
	net, cut         Size
	netArea, cutArea float64
}

func (b *builder) measure(s *nest.Shape) measure {
	if m, ok := b.sizes[s.ID]; ok {
		return m
	}
	var m measure
	m.net, m.netArea = extent(s.Net)
	m.cut, m.cutArea = extent(s.Cut)
	b.sizes[s.ID] = m
	return m
}

func extent(p nest.Polygon) (Size, float64) {
	bx := box(p.Outline)
	holes := make([]orb.Ring, len(p.Holes))
	for i, h := range p.Holes {
		holes[i] = ring(h)
	}
	return Size{bx[2] - bx[0], bx[3] - bx[1]}, geom.PolygonArea(ring(p.Outline), holes)
}

func ring(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
