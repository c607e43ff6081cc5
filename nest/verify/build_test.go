package verify_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// A bench builds small records piece by piece. It holds only what is true of
// them: every figure that follows from another is worked out by finish.
type bench struct {
	rec nest.Record
}

// newBench starts a record with two mats, a balanced and an unbalanced plain
// weave, a ±45 biaxial and a unidirectional, all 1270 wide with 15 selvedge.
func newBench() *bench {
	fabric := func(name string, c shapes.Construction, faces shapes.Faces, layers ...shapes.FabricLayer) shapes.Fabric {
		return shapes.Fabric{Name: name, Construction: c, ArealMass: 600, GlassContent: 0.5, Width: 1270, Selvedge: 15, Faces: faces, Layers: layers}
	}
	wr := fabric("WR 600", shapes.Plain, shapes.SameFaces)
	wr.Balanced = true
	return &bench{rec: nest.Record{
		Format: nest.Format, Units: "mm", Job: "bench", Revision: "A",
		Rules: shapes.Cutting{Gap: 3, EndAllowance: 20, Layers: 1},
		Fabrics: []shapes.Fabric{
			fabric("CSM 450", shapes.Mat, shapes.SameFaces),
			wr,
			fabric("WR 300", shapes.Plain, shapes.SameFaces),
			fabric("BX 600", shapes.Biaxial, shapes.SameFaces, shapes.FabricLayer{Angle: 45, Mass: 300}, shapes.FabricLayer{Angle: -45, Mass: 300}),
			fabric("UD 300", shapes.Unidirectional, shapes.DifferentFaces),
		},
	}}
}

func (b *bench) fabric(name string) *shapes.Fabric { return b.rec.Fabric(name) }

// shape adds a shape, net and cut alike.
func (b *bench) shape(id string, p nest.Polygon) {
	if p.Holes == nil {
		p.Holes = []nest.Ring{}
	}
	b.rec.Shapes = append(b.rec.Shapes, nest.Shape{ID: id, Name: id, Net: p, Cut: p})
}

// layout begins a layout on the fabrics named, bottom to top, face up, on no
// roll.
func (b *bench) layout(fabrics ...string) {
	lay := nest.Layout{ID: fmt.Sprintf("L%d", len(b.rec.Layouts)+1)}
	for i, f := range fabrics {
		lay.Layers = append(lay.Layers, nest.Layer{Layer: i + 1, Fabric: f, Face: "up"})
	}
	b.rec.Layouts = append(b.rec.Layouts, lay)
}

// A lay says how one piece is asked for and placed.
type lay struct {
	ply, shape string
	order      int
	layer      int // 0: 1
	direction  float64
	tolerance  float64
	rotation   float64
	turned     bool
	opposite   bool
	x, y       float64
}

// piece demands a piece of part P and places it in the last layout.
func (b *bench) piece(l lay) {
	if l.layer == 0 {
		l.layer = 1
	}
	if l.order == 0 {
		l.order = len(b.rec.Demand) + 1
	}
	out := &b.rec.Layouts[len(b.rec.Layouts)-1]
	d := nest.Demand{
		Part: "P", Unit: 1, Order: l.order, Ply: l.ply, Copy: 1, Fabric: out.Layers[l.layer-1].Fabric, Shape: l.shape,
		DirectionDeg: l.direction, ToleranceDeg: l.tolerance, OppositeHand: l.opposite,
	}
	for b.rec.DemandByKey()[d.Key()] != nil {
		d.Copy++
	}
	b.rec.Demand = append(b.rec.Demand, d)
	p := nest.Placed{
		Part: d.Part, Unit: d.Unit, Ply: d.Ply, Order: d.Order, Copy: d.Copy, Layer: l.layer, Fabric: d.Fabric,
		RotationDeg: l.rotation, TurnedOver: l.turned, OppositeHand: l.opposite, X: l.x, Y: l.y,
	}
	p.Outline, p.Holes = b.posed(l.shape, &p)
	out.Placed = append(out.Placed, p)
}

// posed places a shape, written apart from the code under test: one complex
// multiplication per vertex.
func (b *bench) posed(id string, p *nest.Placed) (nest.Ring, []nest.Ring) {
	turn := complex(math.Cos(p.RotationDeg*math.Pi/180), math.Sin(p.RotationDeg*math.Pi/180))
	ring := func(r nest.Ring) nest.Ring {
		out := make(nest.Ring, 0, len(r))
		for _, v := range r {
			z := complex(v[0], v[1])
			if p.OppositeHand {
				z = complex(real(z), -imag(z))
			}
			if p.TurnedOver {
				z = complex(real(z), -imag(z))
			}
			z = z*turn + complex(p.X, p.Y)
			out = append(out, nest.Point{nest.Round(real(z)), nest.Round(imag(z))})
		}
		if p.OppositeHand != p.TurnedOver {
			slices.Reverse(out)
		}
		return out
	}
	s := b.rec.ShapesByID()[id]
	holes := []nest.Ring{}
	for _, h := range s.Cut.Holes {
		holes = append(holes, ring(h))
	}
	return ring(s.Cut.Outline), holes
}

// finish works out lengths, usable areas, flaws, parts and recorded angles.
func (b *bench) finish() *nest.Record {
	r := &b.rec
	r.Parts = []nest.Part{{Part: "P", Units: 1}}
	r.Search.Status = "effort spent"
	bounded := len(r.FabricBounds) > 0
	for l := range r.Layouts {
		lay := &r.Layouts[l]
		lower, upper := 0.0, math.Inf(1)
		lay.Width = 0
		for _, layer := range lay.Layers {
			f := r.Fabric(layer.Fabric)
			if !bounded && !slices.ContainsFunc(r.FabricBounds, func(o nest.FabricBound) bool { return o.Fabric == f.Name }) {
				r.FabricBounds = append(r.FabricBounds, nest.FabricBound{Fabric: f.Name, Length: 2 * r.Rules.EndAllowance})
			}
			lower, upper = math.Max(lower, f.Selvedge), math.Min(upper, f.Width-f.Selvedge)
			lay.Width = math.Max(lay.Width, f.Width)
		}
		end := 0.0
		for i := range lay.Placed {
			for _, v := range lay.Placed[i].Outline {
				end = math.Max(end, v[0])
			}
		}
		lay.Length = nest.Round(end + r.Rules.EndAllowance)
		lay.BoundLength = 2 * r.Rules.EndAllowance
		lay.Usable = [2]nest.Point{{r.Rules.EndAllowance, lower}, {nest.Round(end), upper}}
		for i := range lay.Placed {
			b.angles(&lay.Placed[i])
		}
	}
	return r
}

// angles records the laid direction, and the deviation as for a fabric that
// repeats every 180°, or 90° where it is a balanced weave; 0 for mats.
func (b *bench) angles(p *nest.Placed) {
	f := b.rec.Fabric(p.Fabric)
	d := b.rec.DemandByKey()[p.Key()]
	laid, asked := -p.RotationDeg, d.DirectionDeg
	if p.TurnedOver {
		laid = p.RotationDeg
	}
	if p.OppositeHand {
		asked = -asked
	}
	p.LaidDeg = nest.Round(nearest(laid, 180))
	period := 180.0
	if f.Balanced {
		period = 90
	}
	p.DeviationDeg = nest.Round(nearest(laid-asked, period))
	if f.Construction.Directionless() {
		p.DeviationDeg = 0
	}
}

// nearest brings an angle into (-period/2, period/2].
func nearest(a, period float64) float64 {
	for a > period/2 {
		a -= period
	}
	for a <= -period/2 {
		a += period
	}
	return a
}

func rectangle(w, h float64) nest.Polygon {
	return nest.Polygon{Outline: nest.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}}
}

// rules lists the rules broken, each once.
func rules(vs []verify.Violation) []verify.Rule {
	var out []verify.Rule
	for _, v := range vs {
		if !slices.Contains(out, v.Rule) {
			out = append(out, v.Rule)
		}
	}
	return out
}

// mustPass fails the test with every violation of a record that should have
// none.
func mustPass(t *testing.T, r *nest.Record) {
	t.Helper()
	for _, v := range verify.Check(r) {
		t.Errorf("unexpected: %s", v)
	}
}

// mustBreak fails the test unless the record breaks the rule, with a violation
// that names every ply given and says something that contains words.
func mustBreak(t *testing.T, r *nest.Record, rule verify.Rule, words string, plies ...string) {
	t.Helper()
	got := verify.Check(r)
	for _, v := range got {
		if v.Rule == rule && contains(v.Message, words) && names(v, plies) {
			return
		}
	}
	t.Errorf("rule %d (%s) naming %v and saying %q: not among %d violations", rule, rule, plies, words, len(got))
	for _, v := range got {
		t.Logf("found: %s", v)
	}
}

func names(v verify.Violation, plies []string) bool {
	for _, p := range plies {
		if !slices.ContainsFunc(v.Plies, func(k nest.Key) bool { return k.Ply == p }) {
			return false
		}
	}
	return true
}
