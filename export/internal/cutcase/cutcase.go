// Package cutcase makes small and random records for the tests of the cut
// file writers.
package cutcase

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Nasty are names that try to break out of each format.
var Nasty = []string{
	`"><script>alert(1)</script>`, "%%u over", "(M3) S9000", "two\nlines\r\nG0 X0", "end\x03PD9999,9999;", "45° Tür ✂", `back\P slash ^J`, "a;M30 % b",
}

// Small is a hand-built record with one layout, L1: a ply with a cut-out and a
// ply inside it, a turned ply with slits and marks, an opposite hand, a round
// ply, and plies with nasty names.
func Small() *nest.Record {
	b := newBuilder("Nacelle cover", 1900, 1270)
	b.rec.Revision = "C"
	frame := nest.Polygon{
		Outline: nest.Ring{{0, 0}, {600, 0}, {600, 400}, {0, 400}},
		Holes:   []nest.Ring{{{100, 100}, {100, 300}, {400, 300}, {400, 100}}, {{450, 150}, {450, 200}, {500, 200}, {500, 150}}},
	}
	b.shape("FRAME", frame)
	b.shape("ELL", nest.Polygon{Outline: nest.Ring{{0, 0}, {250, 0}, {250, 60}, {60, 60}, {60, 160}, {0, 160}}})
	b.shape("DISC", nest.Polygon{Outline: circle(150, 48)})
	wing := b.shape("WING", nest.Polygon{Outline: nest.Ring{{0, 0}, {500, 0}, {420, 220}, {120, 300}, {-40, 150}}})
	wing.Marks = []shapes.Mark{
		{Kind: shapes.MarkSlit, Line: orb.LineString{{100, 60}, {180, 120}, {180, 180}}},
		{Kind: shapes.MarkSlit, Line: orb.LineString{{500, 0}, {380, 80}}},
		{Kind: shapes.MarkDatum, Line: orb.LineString{{20, 150}, {90, 150}}},
		{Kind: shapes.MarkLine, Line: orb.LineString{{250, 30}, {250, 60}}, Text: "notch"},
		{Kind: shapes.MarkPoint, Line: orb.LineString{{300, 150}}},
		{Kind: shapes.MarkText, Line: orb.LineString{{300, 200}}, Text: "FWD 45°"},
	}
	b.shape("TAB", nest.Polygon{Outline: nest.Ring{{0, 0}, {60, 0}, {60, 40}, {0, 40}}})
	b.place("Upper shell", "U01", "FRAME", 1, 0, false, false, 20, 15)
	b.place("Upper shell", "U02", "ELL", 1, 0, false, false, 140, 127)
	b.place("Upper shell", "U03", "WING", 1, -30, false, false, 700, 400)
	b.place("Upper shell", "U03", "WING", 2, 30, true, false, 1250, 350)
	b.place("Upper shell", "U04", "ELL", 1, 90, false, true, 300, 450)
	b.place("Upper shell", "U05", "DISC", 1, 0, false, false, 560, 920)
	for i, name := range Nasty {
		b.place("Trim "+name, name, "TAB", 1, 0, false, false, 760+float64(float64(i%4)*80), 700+float64(float64(i/4)*60))
	}
	return b.rec
}

// Spread is a record with one layout of two layers: two paired plies and one
// that is alone.
func Spread() *nest.Record {
	b := newBuilder("Spread", 1000, 1270)
	l := &b.rec.Layouts[0]
	l.Layers = append(l.Layers, nest.Layer{Layer: 2, Fabric: "WR 600", Roll: "R-2", Lot: "L-2", Face: "up"})
	b.shape("P", nest.Polygon{Outline: nest.Ring{{0, 0}, {300, 0}, {200, 200}, {0, 250}}})
	b.place("Shell", "A", "P", 1, 0, false, false, 20, 20)
	b.place("Shell", "B", "P", 1, 0, false, false, 20, 20).Layer = 2
	b.place("Shell", "A", "P", 2, 0, false, false, 400, 20)
	return b.rec
}

// Random is a record with one layout of n plies or a few more: stars, boxes
// and rounds of many sizes in cells along a roll, some with cut-outs, some with
// a ply inside a cut-out, some with a slit.
func Random(seed uint64, n int) *nest.Record {
	r := rand.New(rand.NewPCG(seed, 17))
	const width = 1270.0
	b := newBuilder("Random", 0, width)
	x, made := 20.0, 0
	for made < n {
		cell := 60 + float64(240*r.Float64())
		y := 15.0
		for y+cell < width-15 && made < n {
			w := cell * (0.5 + float64(0.49*r.Float64()))
			made += b.randomPly(r, made, x, y, cell, w)
			y += w + 3
		}
		x += cell + 3
	}
	l := &b.rec.Layouts[0]
	l.Length = x + 20
	l.Usable[1][0] = x
	return b.rec
}

func (b *builder) randomPly(r *rand.Rand, k int, x, y, w, h float64) int {
	id := fmt.Sprintf("S%d", k)
	kind := r.IntN(6)
	poly := nest.Polygon{}
	switch kind {
	case 0:
		poly.Outline = ellipse(w/2, h/2, 24+r.IntN(40))
	case 1, 2:
		poly.Outline = nest.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}
		poly.Holes = []nest.Ring{{{w * .2, h * .2}, {w * .2, h * .8}, {w * .8, h * .8}, {w * .8, h * .2}}}
	default:
		m := 5 + r.IntN(7)
		for i := range m {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + float64(0.6*r.Float64())) / float64(m))
			f := 0.55 + float64(0.45*r.Float64())
			poly.Outline = append(poly.Outline, nest.Point{w/2 + float64(f*w/2*c), h/2 + float64(f*h/2*s)})
		}
	}
	s := b.shape(id, poly)
	if kind == 3 {
		s.Marks = []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{w / 2, h / 2}, {w/2 + w/8, h / 2}}}}
	}
	b.place("Part", id, id, 1, 0, false, false, x, y)
	if kind != 2 {
		return 1
	}
	in := fmt.Sprintf("N%d", k)
	b.shape(in, nest.Polygon{Outline: nest.Ring{{0, 0}, {w * .5, 0}, {w * .5, h * .5}, {0, h * .4}}})
	b.place("Part", in, in, 1, 0, false, false, x+w*.25, y+h*.25)
	return 2
}

type builder struct {
	rec *nest.Record
}

func newBuilder(job string, length, width float64) *builder {
	fabric := shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, ArealMass: 600, Width: width, Selvedge: 15, Faces: shapes.SameFaces}
	return &builder{&nest.Record{
		Format: nest.Format, Units: "mm", Job: job, Fabrics: []shapes.Fabric{fabric},
		Layouts: []nest.Layout{{
			ID: "L1", Length: length, Width: width,
			Layers: []nest.Layer{{Layer: 1, Fabric: "WR 600", Roll: "R-3310", Lot: "2240-A", Face: "up"}},
			Usable: [2]nest.Point{{20, 15}, {length - 20, width - 15}},
		}},
	}}
}

func (b *builder) shape(id string, p nest.Polygon) *nest.Shape {
	b.rec.Shapes = append(b.rec.Shapes, nest.Shape{ID: id, Name: id, Net: p, Cut: p})
	return &b.rec.Shapes[len(b.rec.Shapes)-1]
}

func (b *builder) place(part, ply, shape string, n int, rot float64, turned, opposite bool, x, y float64) *nest.Placed {
	s := b.rec.ShapesByID()[shape]
	t := geom.Transform{Mirror: turned != opposite, Rotation: rot, X: x, Y: y}
	l := &b.rec.Layouts[0]
	order := len(l.Placed) + 1
	p := nest.Placed{
		Part: part, Unit: 1, Ply: ply, Order: order, Copy: n, Layer: 1, Fabric: "WR 600", RotationDeg: rot,
		TurnedOver: turned, OppositeHand: opposite, X: x, Y: y, Outline: moved(t, s.Cut.Outline), Holes: []nest.Ring{},
	}
	for _, h := range s.Cut.Holes {
		p.Holes = append(p.Holes, moved(t, h))
	}
	l.Placed = append(l.Placed, p)
	b.rec.Demand = append(b.rec.Demand, nest.Demand{Part: part, Unit: 1, Order: order, Ply: ply, Copy: n, Fabric: "WR 600", Shape: shape, OppositeHand: opposite})
	return &l.Placed[len(l.Placed)-1]
}

func moved(t geom.Transform, r nest.Ring) nest.Ring {
	in := make(orb.Ring, len(r))
	for i, p := range r {
		in[i] = p
	}
	out := make(nest.Ring, 0, len(r))
	for _, p := range t.Ring(in) {
		out = append(out, nest.Point{nest.Round(p[0]), nest.Round(p[1])})
	}
	return out
}

func circle(r float64, n int) nest.Ring { return ellipse(r, r, n) }

func ellipse(a, b float64, n int) nest.Ring {
	var out nest.Ring
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, nest.Point{a + float64(a*c), b + float64(b*s)})
	}
	return out
}

// Named is Spread with names of the caller's own.
func Named(job, part, ply, fabric, roll string) *nest.Record {
	rec := Spread()
	rec.Job, rec.Revision = job, roll
	l := &rec.Layouts[0]
	for i := range l.Layers {
		l.Layers[i].Fabric, l.Layers[i].Roll, l.Layers[i].Lot = fabric, roll, job
	}
	for i := range l.Placed {
		l.Placed[i].Part, l.Placed[i].Ply = part, ply+l.Placed[i].Ply
		rec.Demand[i].Part, rec.Demand[i].Ply = part, ply+rec.Demand[i].Ply
	}
	rec.Rules.Ink = true
	return rec
}
