package sample

import (
	"fmt"
	"sort"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// lay stacks all plies of a fabric in columns, layout after layout.
func (b *builder) lay(name string) {
	f := b.rec.Fabric(name)
	byID := b.rec.ShapesByID()
	var pieces []piece
	area := 0.0
	for i := range b.rec.Demand {
		if d := &b.rec.Demand[i]; d.Fabric == name {
			p := b.piece(d, f, byID[d.Shape])
			pieces = append(pieces, p)
			area += netArea(p.placed)
		}
	}
	if len(pieces) == 0 {
		return
	}
	sort.SliceStable(pieces, func(i, j int) bool { return pieces[i].width() > pieces[j].width() })
	b.rec.FabricBounds = append(b.rec.FabricBounds, nest.FabricBound{Fabric: name, Length: bound(area, f.UsableWidth())})
	from := 0.0
	for len(pieces) > 0 {
		var l nest.Layout
		l, pieces = b.layout(f, pieces, from)
		from += l.Length
		b.rec.Layouts = append(b.rec.Layouts, l)
	}
}

func netArea(p nest.Placed) float64 {
	a := geom.Area(toOrb(p.Outline))
	for _, h := range p.Holes {
		a -= geom.Area(toOrb(h))
	}
	return a
}

// layout fills one table length and returns what is left over.
func (b *builder) layout(f *shapes.Fabric, pieces []piece, from float64) (nest.Layout, []piece) {
	l := nest.Layout{ID: fmt.Sprintf("L%d", len(b.rec.Layouts)+1), Width: f.Width}
	layer := nest.Layer{Layer: 1, Fabric: f.Name, RollFrom: from, Face: "up"}
	if len(f.Rolls) > 0 {
		layer.Roll, layer.Lot = f.Rolls[0].Name, f.Rolls[0].Lot
		for _, s := range f.Rolls[0].Flaws {
			if s.To > from && s.From < from+b.opt.Table {
				l.Flaws = append(l.Flaws, nest.Flaw{From: s.From - from, To: s.To - from})
			}
		}
	}
	l.Layers = []nest.Layer{layer}
	lo, hi := f.Selvedge, f.Width-f.Selvedge
	x, area := ends, 0.0
	for len(pieces) > 0 {
		w := pieces[0].width()
		for _, fl := range l.Flaws {
			if x < fl.To && x+w > fl.From {
				x = fl.To
			}
		}
		if x+w > b.opt.Table-ends && len(l.Placed) > 0 {
			break
		}
		y := lo
		rest := pieces[:0:0]
		for _, p := range pieces {
			if y+p.height() > hi {
				rest = append(rest, p)
				continue
			}
			p.move(x, y)
			y += p.height() + gap
			l.Placed = append(l.Placed, p.placed)
			area += netArea(p.placed)
		}
		if len(rest) == len(pieces) {
			panic("sample: " + pieces[0].placed.Ply + " is wider than its roll")
		}
		pieces = rest
		x += w + gap
	}
	l.Length = nest.Round(x - gap + ends)
	l.Usable = [2]nest.Point{{ends, lo}, {nest.Round(l.Length - ends), hi}}
	l.BoundLength = min(l.Length, bound(area, f.UsableWidth()))
	if len(pieces) == 0 && f.Name == b.opt.Name("UD 300") {
		l.RollEnd = 310
	}
	return l, pieces
}

// Spread puts a second fabric under the first layout, with the same cut
// shapes: every ply of the layout is demanded and placed once more, from that
// fabric, for the same part and unit.
func Spread(rec *nest.Record, fabric string) {
	l := &rec.Layouts[0]
	f := rec.Fabric(fabric)
	l.Layers[0].Layer = 2
	l.Layers = append([]nest.Layer{{Layer: 1, Fabric: fabric, Face: "up"}}, l.Layers...)
	l.Width = max(l.Width, f.Width)
	demand := rec.DemandByKey()
	for _, p := range l.Placed {
		d := *demand[p.Key()]
		d.Fabric, p.Fabric, p.Layer = fabric, fabric, 1
		d.Ply, p.Ply = d.Ply+"w", p.Ply+"w"
		rec.Demand = append(rec.Demand, d)
		l.Placed = append(l.Placed, p)
	}
	for i := range l.Placed[:len(l.Placed)/2] {
		l.Placed[i].Layer = 2
	}
}
