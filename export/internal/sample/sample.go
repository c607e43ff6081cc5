// Package sample makes records for the tests of the documents: a job with
// several fabrics, parts and units, both hands, plies turned over, cut-outs, a
// flaw and a spread. The layouts are stacked in columns by bounding box, so
// that no packer is needed; they keep the rules of a record but waste fabric.
package sample

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// The rules of the sample.
const (
	gap      = 4.0
	ends     = 20.0
	tableLen = 5200.0
)

// Options choose what the sample holds.
type Options struct {
	// Units is how often each part is made; 0 means 2.
	Units int
	// Repeat lays the whole lay-up of each part that many times over; 0 means
	// once. It makes large records.
	Repeat int
	// Table is the longest layout, mm; 0 means 5.2 m.
	Table float64
	// Name passes every name of the record through, to make it hostile; nil
	// keeps names.
	Name func(string) string
	// Seed moves what is random.
	Seed uint64
}

// Record makes the record.
func Record(opt Options) *nest.Record {
	if opt.Units == 0 {
		opt.Units = 2
	}
	if opt.Repeat == 0 {
		opt.Repeat = 1
	}
	if opt.Name == nil {
		opt.Name = func(s string) string { return s }
	}
	if opt.Table == 0 {
		opt.Table = tableLen
	}
	b := &builder{opt: opt, rng: rand.New(rand.NewPCG(opt.Seed, 7))}
	return b.record()
}

type builder struct {
	opt Options
	rng *rand.Rand
	rec *nest.Record
}

// line is one ply of a part's lay-up.
type line struct {
	ply, outline, fabric string
	direction            float64
	count, opposite      int
}

func (b *builder) record() *nest.Record {
	n := b.opt.Name
	b.rec = &nest.Record{
		Format: nest.Format, Units: "mm", Job: n("Hub fairing, 9 kW turbine"), Revision: n("C"), Currency: "EUR",
		Rules: shapes.Cutting{Gap: gap, EndAllowance: ends, Layers: 2, MinRemnant: 800, ChordTolerance: 0.05,
			Table: &shapes.Table{Length: b.opt.Table, Width: 1600, Kind: shapes.StaticTable}},
		Laminating: &shapes.Laminating{Resin: n("vinyl ester"), WorkingTime: 60, PlanAt: 0.75, Pace: 6, MixLimit: 5, ResinDensity: 1.2},
		Fabrics:    b.fabrics(),
		Search:     nest.Search{Seed: 1, Effort: 3, Status: "effort spent"},
		Notes: []string{
			n("WR 600: 45 mm between lot 2240-A and 2240-B differ in width; the narrower one was planned with"),
			"CSM 450 is a mat: the directions given for 6 plies are not used",
		},
	}
	for _, o := range outlines() {
		p := nest.Polygon{Outline: o.ring, Holes: o.holes}
		if p.Holes == nil {
			p.Holes = []nest.Ring{}
		}
		b.rec.Shapes = append(b.rec.Shapes, nest.Shape{ID: o.name, Name: n(o.name), Net: p, Cut: p, Source: "hub.dxf"})
	}
	b.demand()
	for i := range b.rec.Fabrics {
		b.lay(b.rec.Fabrics[i].Name)
	}
	return b.rec
}

func (b *builder) fabrics() []shapes.Fabric {
	n := b.opt.Name
	price := func(a float64) *shapes.Price { return &shapes.Price{Amount: a, Per: shapes.PerSquareMetre} }
	return []shapes.Fabric{
		{Name: n("CSM 450"), Construction: shapes.Mat, ArealMass: 450, GlassContent: 0.30, FibreDensity: 2.56, Width: 1270, Selvedge: 15,
			Faces: shapes.SameFaces, Price: price(2.10),
			Rolls: []shapes.Roll{{Name: n("R-2207"), Lot: n("2231-B"), Length: 6e4, Flaws: []shapes.Span{{From: 2100, To: 2400}}}}},
		{Name: n("WR 600"), Construction: shapes.Plain, Balanced: true, ArealMass: 600, GlassContent: 0.48, FibreDensity: 2.56, Width: 1250,
			Selvedge: 25, Faces: shapes.SameFaces, Price: price(3.45),
			Rolls: []shapes.Roll{{Name: n("R-3310"), Lot: n("2240-A"), Length: 5e4}}},
		{Name: n("BX 600"), Construction: shapes.Biaxial, ArealMass: 600, GlassContent: 0.50, FibreDensity: 2.56, Width: 1270, Selvedge: 10,
			Faces: shapes.SameFaces, Price: price(5.20),
			Layers: []shapes.FabricLayer{{Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}}},
		{Name: n("UD 300"), Construction: shapes.Unidirectional, ArealMass: 300, GlassContent: 0.55, FibreDensity: 2.56, Width: 600, Selvedge: 8,
			Faces: shapes.DifferentFaces,
			Rolls: []shapes.Roll{{Name: n("R-0911"), Lot: n("2199-C"), Length: 3e4}}},
	}
}

func (b *builder) demand() {
	parts := []struct {
		name  string
		lines []line
	}{
		{"Upper shell", []line{
			{"U01", "SKIN", "CSM 450", 0, 1, 0}, {"U02", "SKIN", "WR 600", 0, 1, 0}, {"U03", "CHEEK", "BX 600", 0, 2, 1},
			{"U04", "SKIN-HALF", "CSM 450", 0, 2, 0}, {"U05", "EDGE", "UD 300", 0, 2, 0}, {"U06", "RIB", "WR 600", 45, 2, 1},
			{"U07", "COLLAR", "CSM 450", 0, 1, 0}, {"U08", "COLLAR", "BX 600", 45, 1, 0}, {"U09", "SKIN-HALF", "WR 600", 45, 2, 0},
			{"U10", "PATCH", "CSM 450", 0, 4, 0}, {"U11", "CLEAT", "UD 300", 90, 3, 0}, {"U12 tail closing patch", "PATCH-ROUND", "BX 600", 0, 3, 0},
		}},
		{"Lower shell", []line{
			{"L01", "SKIN", "CSM 450", 0, 1, 0}, {"L02", "SKIN-HALF", "BX 600", 0, 2, 0}, {"L03", "CHEEK", "CSM 450", 30, 2, 1},
			{"L04", "GUSSET", "WR 600", 0, 4, 2}, {"L05", "HATCH", "WR 600", 90, 1, 0}, {"L06", "CHEEK-SMALL", "BX 600", 0, 4, 2},
			{"L07", "EDGE", "UD 300", 0, 3, 0}, {"L08", "PATCH", "WR 600", 45, 4, 0}, {"L09", "CHEEK-SMALL", "CSM 450", 0, 4, 2},
		}},
		{"Spinner ring", []line{
			{"S01", "COLLAR", "CSM 450", 0, 2, 0}, {"S02", "COLLAR", "WR 600", 0, 2, 0}, {"S03", "RIB", "BX 600", 0, 4, 2},
			{"S04", "CLEAT", "UD 300", 0, 6, 0}, {"S05", "PATCH-ROUND", "CSM 450", 0, 6, 0},
		}},
		{"Access hatch", []line{
			{"H01", "HATCH", "CSM 450", 0, 1, 0}, {"H02", "HATCH", "BX 600", 45, 1, 0}, {"H03", "GUSSET", "WR 600", 0, 2, 1},
			{"H04", "PATCH", "BX 600", 0, 3, 0},
		}},
	}
	n := b.opt.Name
	for _, p := range parts {
		b.rec.Parts = append(b.rec.Parts, nest.Part{Part: n(p.name), Units: b.opt.Units, Revision: "B"})
		for unit := 1; unit <= b.opt.Units; unit++ {
			order := 0
			for again := 0; again < b.opt.Repeat; again++ {
				for _, l := range p.lines {
					order++
					name := l.ply
					if b.opt.Repeat > 1 {
						name = fmt.Sprintf("%s.%d", l.ply, again+1)
					}
					for c := 1; c <= l.count; c++ {
						d := nest.Demand{Part: n(p.name), Unit: unit, Order: order, Ply: n(name), Copy: c, Fabric: n(l.fabric),
							Shape: l.outline, DirectionDeg: l.direction, ToleranceDeg: 3, OppositeHand: c > l.count-l.opposite}
						if order == 1 {
							d.Bag, d.Note = n("T1"), n("roll, do not fold")
						}
						b.rec.Demand = append(b.rec.Demand, d)
					}
				}
			}
		}
	}
}

// piece is a demand in the position it will have, before it is moved.
type piece struct {
	placed nest.Placed
	box    orb.Bound
}

func (b *builder) piece(d *nest.Demand, f *shapes.Fabric, shape *nest.Shape) piece {
	warps := f.WarpAngles(d.DirectionDeg, d.OppositeHand)
	w := warps[b.rng.IntN(len(warps))]
	if w.TurnedOver && b.rng.IntN(3) > 0 {
		w = warps[0]
	}
	angle := w.Angle
	if w.Any {
		angle = float64(b.rng.IntN(4)) * 90
	}
	t := geom.Transform{Mirror: w.TurnedOver != d.OppositeHand, Rotation: shapes.RotationFor(angle, w.TurnedOver)}
	p := nest.Placed{Part: d.Part, Unit: d.Unit, Ply: d.Ply, Order: d.Order, Copy: d.Copy, Layer: 1, Fabric: d.Fabric,
		RotationDeg: t.Rotation, TurnedOver: w.TurnedOver, OppositeHand: d.OppositeHand,
		LaidDeg: shapes.NormalDirection(angle), Outline: turn(t, shape.Cut.Outline), Holes: []nest.Ring{}}
	for _, h := range shape.Cut.Holes {
		p.Holes = append(p.Holes, turn(t, h))
	}
	return piece{p, geom.Bound(toOrb(p.Outline))}
}

func turn(t geom.Transform, r nest.Ring) nest.Ring {
	out := t.Ring(toOrb(r))
	ring := make(nest.Ring, len(out))
	for i, p := range out {
		ring[i] = nest.Point(p)
	}
	return ring
}

func toOrb(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}

// move puts the lower left of the piece's box at x, y.
func (p *piece) move(x, y float64) {
	dx, dy := x-p.box.Min[0], y-p.box.Min[1]
	for _, r := range append([]nest.Ring{p.placed.Outline}, p.placed.Holes...) {
		for i := range r {
			r[i] = nest.Point{nest.Round(r[i][0] + dx), nest.Round(r[i][1] + dy)}
		}
	}
	p.placed.X, p.placed.Y = nest.Round(p.placed.X+dx), nest.Round(p.placed.Y+dy)
	p.box = orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + p.width(), y + p.height()}}
}

func (p *piece) width() float64  { return p.box.Max[0] - p.box.Min[0] }
func (p *piece) height() float64 { return p.box.Max[1] - p.box.Min[1] }

// bound is a rough length no arrangement could beat: the plies' area over the
// usable width.
func bound(area, usable float64) float64 { return math.Ceil(area/usable + 2*ends) }
