package verify_test

import (
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// spread is two pairs of a weave on a mat, the mat laid first, after worked
// case 4: widths 1270 less 15 and 1250 less 25, lower edges aligned, so that
// y 25–1225 is usable.
func spread() *bench {
	b := newBench()
	wr := b.fabric("WR 600")
	wr.Width, wr.Selvedge = 1250, 25
	b.rec.Rules.Layers = 2
	b.rec.Rules.Spreads = [][]string{{"WR 600", "CSM 450"}}
	b.shape("R", nest.Polygon{Outline: nest.Ring{{0, 0}, {1000, 0}, {1000, 590}, {0, 580}}})
	b.layout("CSM 450", "WR 600")
	b.piece(lay{ply: "U01", shape: "R", order: 1, layer: 1, x: 20, y: 25})
	b.piece(lay{ply: "U02", shape: "R", order: 2, layer: 2, x: 20, y: 25})
	b.piece(lay{ply: "U03", shape: "R", order: 3, layer: 1, x: 20, y: 618})
	b.piece(lay{ply: "U04", shape: "R", order: 4, layer: 2, x: 20, y: 618})
	return b
}

func TestSpreadPasses(t *testing.T) {
	r := spread().finish()
	mustPass(t, r)
	if got, want := r.Layouts[0].Usable, [2]nest.Point{{20, 25}, {1020, 1225}}; got != want {
		t.Errorf("usable %v, want %v", got, want)
	}
	if got := r.Layouts[0].Length; got != 1040 {
		t.Errorf("length %g, want 1040", got)
	}
}

// With the narrower fabric below, the same strip is usable.
func TestSpreadTheOtherWayUp(t *testing.T) {
	b := spread()
	l := b.rec.Layouts[0].Layers
	l[0].Fabric, l[1].Fabric = l[1].Fabric, l[0].Fabric
	for i := range b.rec.Demand {
		f := l[b.rec.Layouts[0].Placed[i].Layer-1].Fabric
		b.rec.Demand[i].Fabric, b.rec.Layouts[0].Placed[i].Fabric = f, f
	}
	r := b.finish()
	mustPass(t, r)
	for _, u := range [][2]nest.Point{{{20, 15}, {1020, 1225}}, {{20, 25}, {1020, 1255}}} {
		r.Layouts[0].Usable = u
		mustBreak(t, r, verify.RuleInside, "usable area")
	}
}

// Worked case 4: two of 600 with a gap of 3 need 1203 and do not fit.
func TestSpreadTooHigh(t *testing.T) {
	b := spread()
	b.rec.Shapes[0].Cut = rectangle(1000, 600)
	r := b.finish()
	for i := range r.Layouts[0].Placed {
		p := &r.Layouts[0].Placed[i]
		if p.Y == 618 {
			p.Y = 628
		}
		p.Outline, p.Holes = b.posed("R", p)
	}
	mustBreak(t, r, verify.RuleInside, "3 mm past the upper edge", "U03")
	mustBreak(t, r, verify.RuleInside, "3 mm past the upper edge", "U04")
}

func TestSpreadMutations(t *testing.T) {
	for _, m := range []struct {
		name   string
		change func(b *bench, r *nest.Record)
		words  string
		plies  []string
	}{
		{"not in the group", func(_ *bench, r *nest.Record) { r.Rules.Spreads = [][]string{{"WR 600", "BX 600"}, {"CSM 450"}} }, "no group", nil},
		{"one layer at a time", func(_ *bench, r *nest.Record) { r.Rules.Layers = 1 }, "the knife cuts 1", nil},
		{"a ply in one layer only", func(_ *bench, r *nest.Record) { r.Layouts[0].Placed = r.Layouts[0].Placed[:3] }, "layer 2 has no ply with this outline", []string{"U03"}},
		{"another place in one layer", func(b *bench, r *nest.Record) { move(b, r, 3, 0, 1) }, "layer 1 has no ply with this outline", []string{"U04"}},
		{"upper laid first", func(_ *bench, r *nest.Record) {
			p, d := r.Layouts[0].Placed, r.Demand
			p[0].Order, p[1].Order, d[0].Order, d[1].Order = 2, 1, 2, 1
		}, "lower ply of the pair has lay-up order 2", []string{"U01", "U02"}},
	} {
		t.Run(m.name, func(t *testing.T) {
			b := spread()
			r := b.finish()
			m.change(b, r)
			mustBreak(t, r, verify.RuleSpread, m.words, m.plies...)
		})
	}
	t.Run("listed in another order", func(t *testing.T) {
		r := spread().finish()
		p := r.Layouts[0].Placed
		p[1], p[3] = p[3], p[1]
		mustPass(t, r)
	})
}

// Two hands cut at once from one fabric laid face to face: the upper layer
// lies face down, its pieces are turned over before they are laid and so lie
// face up again, although the faces differ.
func TestFaceToFace(t *testing.T) {
	b := newBench()
	b.rec.Rules.Layers = 2
	b.shape("T", nest.Polygon{Outline: nest.Ring{{0, 0}, {600, 0}, {0, 300}}})
	b.layout("UD 300", "UD 300")
	b.rec.Layouts[0].Layers[1].Face = "down"
	b.piece(lay{ply: "L", shape: "T", order: 1, layer: 1, direction: 30, rotation: -30, x: 20, y: 400})
	b.piece(lay{ply: "R", shape: "T", order: 1, layer: 2, direction: 30, rotation: -30, opposite: true, turned: true, x: 20, y: 400})
	mustPass(t, b.finish())

	// The roll that is laid the other way round says so only for a layout of
	// its own.
	b.fabric("UD 300").Rolls = []shapes.Roll{{Name: "A"}, {Name: "B"}}
	b.rec.Layouts[0].Layers[0].Roll, b.rec.Layouts[0].Layers[1].Roll = "A", "B"
	mustPass(t, &b.rec)

	b.rec.Layouts[0].Layers[1].Face = "up"
	mustBreak(t, &b.rec, verify.RuleDirection, "its faces differ", "R")
	b.rec.Layouts[0].Layers[1].Face = "down"
	b.rec.Layouts[0].Layers[0].Face = "down"
	mustBreak(t, &b.rec, verify.RuleDirection, "its faces differ", "L")
}

// A layer of a spread is checked on its own: plies of two layers may lie one
// over the other, plies of one may not.
func TestSpreadFlawsOfEitherLayer(t *testing.T) {
	b := spread()
	b.fabric("WR 600").Rolls = []shapes.Roll{{Name: "R1", Flaws: []shapes.Span{{From: 500, To: 600}}}}
	b.rec.Layouts[0].Layers[1].Roll = "R1"
	b.rec.Layouts[0].Flaws = []nest.Flaw{{From: 500, To: 600}}
	r := b.finish()
	for _, ply := range []string{"U01", "U02", "U03", "U04"} {
		mustBreak(t, r, verify.RuleInside, "on the flaw from 500 to 600", ply)
	}
}
