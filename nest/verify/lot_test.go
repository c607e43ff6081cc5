package verify_test

import (
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

func TestOneLotPerUnit(t *testing.T) {
	b := newBench()
	b.fabric("WR 600").Rolls = []shapes.Roll{{Name: "R1", Lot: "A"}, {Name: "R2", Lot: "A"}, {Name: "R3", Lot: "B"}}
	b.rec.Rules.OneLotPerUnit = true
	b.shape("B", rectangle(294, 194))
	for _, roll := range []string{"R1", "R2"} {
		b.layout("WR 600")
		layer := &b.rec.Layouts[len(b.rec.Layouts)-1].Layers[0]
		layer.Roll, layer.Lot = roll, "A"
		b.piece(lay{ply: "U" + roll, shape: "B", x: 20, y: 15})
	}
	// Another fabric has its own lot.
	b.fabric("CSM 450").Rolls = []shapes.Roll{{Name: "M1", Lot: "C"}}
	b.layout("CSM 450")
	mat := &b.rec.Layouts[2].Layers[0]
	mat.Roll, mat.Lot = "M1", "C"
	b.piece(lay{ply: "UM1", shape: "B", x: 20, y: 15})
	r := b.finish()
	// Both layouts of the weave count towards its bound.
	r.FabricBounds = []nest.FabricBound{{Fabric: "WR 600", Length: 2 * r.Layouts[0].Length}, {Fabric: "CSM 450"}}
	mustPass(t, r)
	layer := &r.Layouts[1].Layers[0]
	layer.Roll, layer.Lot = "R3", "B"
	mustBreak(t, r, verify.RuleLot, `from lot "B" here and from lot "A" in L1`, "UR2", "UR1")
	r.Rules.OneLotPerUnit = false
	mustPass(t, r)
}

// A pair cut at once has the same slits, whichever end they are drawn from.
func TestSlitsOfASpread(t *testing.T) {
	slit := func(x, y, u, v float64) shapes.Mark {
		m := shapes.Mark{Kind: shapes.MarkSlit}
		m.Line = append(m.Line, nest.Point{x, y}, nest.Point{u, v})
		return m
	}
	b := spread()
	b.rec.Shapes = append(b.rec.Shapes, b.rec.Shapes[0])
	b.rec.Shapes[1].ID = "R2"
	for i := range b.rec.Demand {
		if b.rec.Demand[i].Ply == "U02" {
			b.rec.Demand[i].Shape = "R2"
		}
	}
	for i := range b.rec.Shapes {
		b.rec.Shapes[i].Marks = []shapes.Mark{slit(10, 10, 200, 100), slit(300, 300, 400, 300), {Kind: shapes.MarkPoint}}
	}
	b.rec.Shapes[1].Marks = []shapes.Mark{slit(400, 300, 300, 300), slit(10, 10, 200, 100)}
	r := b.finish()
	mustPass(t, r)
	for _, marks := range [][]shapes.Mark{nil, {slit(10, 10, 200, 100)}, {slit(10, 10, 200, 100), slit(300, 300, 400, 301)},
		{slit(10, 10, 200, 100), slit(10, 10, 200, 100)}} {
		r.Shapes[1].Marks = marks
		mustBreak(t, r, verify.RuleSpread, "other slits", "U01")
	}
	r.Shapes[0].Marks = []shapes.Mark{slit(10, 10, 200, 100), slit(10, 10, 200, 100)}
	r.Shapes[1].Marks = []shapes.Mark{slit(10, 10, 200, 100), slit(300, 300, 400, 300)}
	mustBreak(t, r, verify.RuleSpread, "other slits", "U01")
}
