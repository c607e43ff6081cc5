package verify_test

import (
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
)

// Three layers, the lowest for another part: the order of the two above counts
// as well, though neither pairs wrongly with the lowest.
func TestOrderWithinThreeLayers(t *testing.T) {
	b := newBench()
	b.rec.Rules.Layers = 3
	b.shape("R", nest.Polygon{Outline: nest.Ring{{0, 0}, {1000, 0}, {1000, 590}, {0, 580}}})
	b.layout("CSM 450", "CSM 450", "CSM 450")
	b.piece(lay{ply: "U01", shape: "R", order: 9, layer: 1, x: 20, y: 15})
	b.piece(lay{ply: "U02", shape: "R", order: 1, layer: 2, x: 20, y: 15})
	b.piece(lay{ply: "U03", shape: "R", order: 2, layer: 3, x: 20, y: 15})
	r := b.finish()
	mustBreak(t, r, verify.RuleSpread, "lower ply of the pair has lay-up order 9", "U01", "U02")
	r.Demand[0].Part, r.Layouts[0].Placed[0].Part = "Q", "Q"
	r.Parts = append(r.Parts, nest.Part{Part: "Q", Units: 1})
	mustPass(t, r)
	p, d := r.Layouts[0].Placed, r.Demand
	p[1].Order, d[1].Order = 3, 3
	mustBreak(t, r, verify.RuleSpread, "lower ply of the pair has lay-up order 3, the upper 2", "U02", "U03")
}
