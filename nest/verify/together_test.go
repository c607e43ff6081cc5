package verify_test

import (
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// Unit 1 lies from x 20 to 314 and unit 2 from 317 to 611, each of two plies
// side by side. Ply B of unit 2, moved back by 10 mm, reaches 7 mm into unit
// 1's stretch, though it touches none of its plies.
func TestKeptTogether(t *testing.T) {
	b := newBench()
	b.shape("S", rectangle(294, 194))
	b.layout("WR 600")
	for _, l := range []lay{
		{ply: "A", shape: "S", x: 20, y: 15}, {ply: "B", shape: "S", x: 20, y: 212},
		{ply: "C", shape: "S", x: 317, y: 15}, {ply: "D", shape: "S", x: 317, y: 800},
	} {
		b.piece(l)
	}
	units := func(r *nest.Record, of ...int) {
		for i, u := range of {
			r.Demand[i].Unit, r.Layouts[0].Placed[i].Unit = u, u
			r.Demand[i].Ply = []string{"A", "B", "A", "B"}[i]
			r.Demand[i].Order = []int{1, 2, 1, 2}[i]
			r.Layouts[0].Placed[i].Ply, r.Layouts[0].Placed[i].Order = r.Demand[i].Ply, r.Demand[i].Order
		}
	}
	r := b.finish()
	r.Parts[0].Units = 2
	r.Rules.KeepTogether = []string{"P"}
	units(r, 1, 1, 2, 2)
	mustPass(t, r)

	move := func(dx float64) {
		p := &r.Layouts[0].Placed[3]
		p.X = nest.Round(p.X + dx)
		for i := range p.Outline {
			p.Outline[i][0] = nest.Round(p.Outline[i][0] + dx)
		}
	}
	move(-10)
	mustBreak(t, r, verify.RuleTogether, "reaches 7.000 mm into the stretch that P, unit 1 has to itself", "B")
	// Nothing is kept together: anything goes.
	r.Rules.KeepTogether = nil
	mustPass(t, r)
	move(10)

	// A jumble: unit 1 to the left and to the right of unit 2.
	r.Rules.KeepTogether = []string{"P"}
	units(r, 1, 2, 2, 1)
	mustBreak(t, r, verify.RuleTogether, "P, unit 1 has to itself", "B")
	units(r, 1, 1, 2, 2)

	r.Rules.KeepTogether = []string{"P", "P"}
	mustBreak(t, r, verify.RuleRecord, "together twice")
	r.Rules.KeepTogether = []string{"Q"}
	mustBreak(t, r, verify.RuleRecord, `keep part "Q" together, which is no part of the job`)
}

// The last day a roll may be used is the day it expires; its out-life is used
// up when nothing is left once it is thawed.
func TestRollsThatMayNotBeUsed(t *testing.T) {
	b := newBench()
	f := b.fabric("WR 600")
	f.OutLife = 600
	f.Rolls = []shapes.Roll{{Name: "R1", Lot: "A", Expires: "2026-12-01", OutUsed: 300, Thaw: 120}, {Name: "R2", Expires: "2020-01-01"}}
	b.shape("S", rectangle(294, 194))
	b.layout("WR 600")
	layer := &b.rec.Layouts[0].Layers[0]
	layer.Roll, layer.Lot = "R1", "A"
	b.piece(lay{ply: "A", shape: "S", x: 20, y: 15})
	r := b.finish()
	mustPass(t, r) // no date, no expiry
	r.Date = "2026-12-01"
	mustPass(t, r)
	r.Date = "2026-12-02"
	mustBreak(t, r, verify.RuleLife, `roll "R1" of fabric "WR 600" may not be used: its last day is 2026-12-01, and it is cut on 2026-12-02`)
	// What was cut in time stays good.
	r.Layouts[0].CutOn = "2026-12-01"
	mustPass(t, r)
	r.Layouts[0].CutOn = ""
	r.Rules.UseExpired = true
	mustPass(t, r)
	r.Rules.UseExpired, r.Date = false, ""

	roll := &r.Fabrics[1].Rolls[0]
	roll.OutUsed = 480 // 480 + 120 = 600
	mustBreak(t, r, verify.RuleLife, "nothing is left of its out-life of 10.0 h after 8.0 h out and 2.0 h of thawing")
	roll.OutUsed = 479
	mustPass(t, r)
}
