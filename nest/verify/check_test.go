package verify_test

import (
	"strings"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

func contains(s, words string) bool { return strings.Contains(s, words) }

// plain is a layout of one fabric with three plies, one in the cut-out of
// another:
//
//	+---------------+  +----+
//	|  A  +------+  |  | C  |
//	|     |  B   |  |  +----+
//	|     +------+  |
//	+---------------+
func plain() *bench {
	b := newBench()
	a := rectangle(600, 400)
	a.Holes = []nest.Ring{{{150, 100}, {150, 300}, {450, 300}, {450, 100}}}
	b.shape("A", a)
	b.shape("B", rectangle(294, 194))
	b.shape("C", nest.Polygon{Outline: nest.Ring{{0, 0}, {200, 0}, {250, 100}, {0, 150}}})
	b.layout("WR 600")
	b.piece(lay{ply: "A", shape: "A", x: 20, y: 15})
	b.piece(lay{ply: "B", shape: "B", x: 173, y: 118})
	b.piece(lay{ply: "C", shape: "C", x: 623, y: 265})
	return b
}

func TestPlainLayoutPasses(t *testing.T) {
	mustPass(t, plain().finish())
}

func TestRotatedMirroredAndTurnedPliesPass(t *testing.T) {
	b := newBench()
	b.shape("C", nest.Polygon{
		Outline: nest.Ring{{0, 0}, {200, 0}, {250, 100}, {0, 150}},
		Holes:   []nest.Ring{{{20, 20}, {20, 60}, {60, 20}}},
	})
	b.rec.Rules.AngleTolerance = 2
	b.layout("WR 600")
	b.piece(lay{ply: "1", shape: "C", direction: 30, rotation: -30, x: 100, y: 200})
	b.piece(lay{ply: "2", shape: "C", direction: 30, rotation: 30, turned: true, x: 600, y: 400})
	b.piece(lay{ply: "3", shape: "C", direction: 30, rotation: 30, opposite: true, x: 1000, y: 400})
	b.piece(lay{ply: "4", shape: "C", direction: 30, rotation: -30, opposite: true, turned: true, x: 1400, y: 200})
	b.piece(lay{ply: "5", shape: "C", direction: 30, tolerance: 5, rotation: 61.5, x: 1800, y: 400})
	b.piece(lay{ply: "6", shape: "C", direction: 0, rotation: -180, x: 2300, y: 400})
	mustPass(t, b.finish())
}

func TestDemandMutations(t *testing.T) {
	for _, m := range []struct {
		name   string
		change func(r *nest.Record)
		words  string
		plies  []string
	}{
		{"drop", func(r *nest.Record) { r.Layouts[0].Placed = r.Layouts[0].Placed[:2] }, "not placed", []string{"C"}},
		{"duplicate", func(r *nest.Record) { p := &r.Layouts[0].Placed; *p = append(*p, (*p)[1]) }, "placed 2 times", []string{"B"}},
		{"rename", func(r *nest.Record) { r.Layouts[0].Placed[1].Ply = "X" }, "not demanded", []string{"X"}},
		{"unit", func(r *nest.Record) { r.Layouts[0].Placed[1].Unit = 2 }, "not demanded", []string{"B"}},
		{"order", func(r *nest.Record) { r.Layouts[0].Placed[1].Order = 7 }, "order 7", []string{"B"}},
		{"hand", func(r *nest.Record) { r.Layouts[0].Placed[2].OppositeHand = true }, "opposite hand", []string{"C"}},
		{"fabric", func(r *nest.Record) { r.Layouts[0].Placed[2].Fabric = "WR 300" }, "WR 600 is demanded", []string{"C"}},
		{"fabric of the layer", func(r *nest.Record) { r.Layouts[0].Layers[0].Fabric = "WR 300" }, "which is WR 300", []string{"B"}},
		{"layer", func(r *nest.Record) { r.Layouts[0].Placed[0].Layer = 2 }, "does not have", []string{"A"}},
	} {
		t.Run(m.name, func(t *testing.T) {
			r := plain().finish()
			m.change(r)
			mustBreak(t, r, verify.RuleDemand, m.words, m.plies...)
		})
	}
}

func TestOutlineMutations(t *testing.T) {
	for _, m := range []struct {
		name   string
		change func(lay *nest.Layout)
		plies  []string
	}{
		{"shift the position", func(l *nest.Layout) { l.Placed[2].X += 1e-5 }, []string{"C"}},
		{"shift the outline", func(l *nest.Layout) {
			for i := range l.Placed[2].Outline {
				l.Placed[2].Outline[i][1] += 1
			}
		}, []string{"C"}},
		{"turn", func(l *nest.Layout) { l.Placed[2].RotationDeg = 180 }, []string{"C"}},
		{"turn a little", func(l *nest.Layout) { l.Placed[2].RotationDeg = 1e-5 }, []string{"C"}},
		{"turn over", func(l *nest.Layout) { l.Placed[2].TurnedOver = true }, []string{"C"}},
		{"move a vertex", func(l *nest.Layout) { l.Placed[0].Outline[2][0] -= 1e-4 }, []string{"A"}},
		{"drop a vertex", func(l *nest.Layout) { l.Placed[0].Outline = l.Placed[0].Outline[:3] }, []string{"A"}},
		{"drop a cut-out", func(l *nest.Layout) { l.Placed[0].Holes = nil }, []string{"A"}},
		{"move a cut-out", func(l *nest.Layout) { l.Placed[0].Holes[0][0][0] += 0.01 }, []string{"A"}},
		{"reverse", func(l *nest.Layout) {
			o := l.Placed[2].Outline
			o[1], o[3] = o[3], o[1]
		}, []string{"C"}},
		{"swap", func(l *nest.Layout) {
			a, c := &l.Placed[1], &l.Placed[2]
			a.Outline, c.Outline = c.Outline, a.Outline
			a.X, c.X, a.Y, c.Y = c.X, a.X, c.Y, a.Y
		}, []string{"B"}},
	} {
		t.Run(m.name, func(t *testing.T) {
			r := plain().finish()
			m.change(&r.Layouts[0])
			mustBreak(t, r, verify.RuleOutline, "outline", m.plies...)
		})
	}
	t.Run("begin elsewhere", func(t *testing.T) {
		r := plain().finish()
		o := r.Layouts[0].Placed[2].Outline
		r.Layouts[0].Placed[2].Outline = append(append(nest.Ring{}, o[2:]...), o[:2]...)
		mustPass(t, r)
	})
}

func TestOverlapAndGapMutations(t *testing.T) {
	t.Run("out of the cut-out", func(t *testing.T) {
		b := plain()
		r := b.finish()
		move(b, r, 1, 10, 0)
		mustBreak(t, r, verify.RuleOverlap, "overlap", "A", "B")
	})
	t.Run("gap in the cut-out", func(t *testing.T) {
		b := plain()
		r := b.finish()
		move(b, r, 1, 0.5, 0)
		mustBreak(t, r, verify.RuleGap, "2.5 mm apart", "A", "B")
	})
	t.Run("gap beside", func(t *testing.T) {
		b := plain()
		r := b.finish()
		move(b, r, 2, -0.002, 0)
		mustBreak(t, r, verify.RuleGap, "2.998 mm apart", "A", "C")
	})
	t.Run("gap within tolerance", func(t *testing.T) {
		b := plain()
		r := b.finish()
		move(b, r, 2, -0.0009, 0)
		mustPass(t, b.finish())
	})
	t.Run("one upon the other", func(t *testing.T) {
		b := plain()
		b.piece(lay{ply: "D", shape: "C", x: 623, y: 265})
		mustBreak(t, b.finish(), verify.RuleOverlap, "overlap", "C", "D")
	})
}

// move shifts a placed ply, outline and position alike.
func move(b *bench, r *nest.Record, i int, dx, dy float64) {
	p := &r.Layouts[0].Placed[i]
	p.X, p.Y = p.X+dx, p.Y+dy
	p.Outline, p.Holes = b.posed(b.rec.DemandByKey()[p.Key()].Shape, p)
}

func TestInsideMutations(t *testing.T) {
	rolled := func() *bench {
		b := plain()
		b.fabric("WR 600").Rolls = []shapes.Roll{
			{Name: "R1", Lot: "A", Length: 2000, Flaws: []shapes.Span{{From: 100, To: 120}, {From: 1100, To: 1200}}},
			{Name: "R2", Lot: "B", Length: 500, FaceDown: true},
		}
		layer := &b.rec.Layouts[0].Layers[0]
		layer.Roll, layer.Lot, layer.RollFrom, layer.Skipped = "R1", "A", 200, 200
		b.rec.Layouts[0].Flaws = nil
		b.rec.Rules.Table = &shapes.Table{Length: 6000, Width: 1600, Kind: shapes.StaticTable}
		return b
	}
	mustPass(t, rolled().finish())
	flawed := rolled()
	flawed.rec.Layouts[0].Layers[0].RollFrom, flawed.rec.Layouts[0].Layers[0].Skipped = 110, 110
	flawed.rec.Layouts[0].Flaws = []nest.Flaw{{From: 0, To: 10}}
	mustPass(t, flawed.finish()) // within the end allowance

	for _, m := range []struct {
		name   string
		change func(b *bench, r *nest.Record, lay *nest.Layout)
		words  string
		plies  []string
	}{
		{"into the selvedge", func(b *bench, r *nest.Record, _ *nest.Layout) { move(b, r, 0, 0, -1) }, "1 mm past the lower edge", []string{"A"}},
		{"above", func(b *bench, r *nest.Record, _ *nest.Layout) { move(b, r, 2, 0, 900) }, "60 mm past the upper edge", []string{"C"}},
		{"into the start", func(b *bench, r *nest.Record, _ *nest.Layout) { move(b, r, 0, -1, 0) }, "1 mm past the start", []string{"A"}},
		{"past the end", func(b *bench, r *nest.Record, _ *nest.Layout) { move(b, r, 2, 1, 0) }, "1 mm past the end", []string{"C"}},
		{"stretch the length", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Length += 100 }, "usable area ends at x", nil},
		{"stretch length and area", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Length += 100; l.Usable[1][0] += 100 }, "need 893.0", nil},
		{"shorten length and area", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Length--; l.Usable[1][0]-- }, "past the end", []string{"C"}},
		{"usable into the selvedge", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Usable[0][1] = 10 }, "begins at y", nil},
		{"usable too high", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Usable[1][1] = 1270 }, "ends at y", nil},
		{"width", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Width = 1000 }, "width is", nil},
		{"table too short", func(_ *bench, r *nest.Record, _ *nest.Layout) { r.Rules.Table.Length = 892 }, "static table", nil},
		{"table too narrow", func(_ *bench, r *nest.Record, _ *nest.Layout) { r.Rules.Table.Width = 1269 }, "wide, the table", nil},
		{"beyond the roll", func(_ *bench, _ *nest.Record, l *nest.Layout) {
			l.Layers[0].RollFrom = 1500
		}, "which has 2000 mm", nil},
		{"another roll end", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.RollEnd = 900 }, "907 mm are left", nil},
		{"before the roll", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Layers[0].RollFrom = -1 }, "before the roll", nil},
		{"onto a flaw", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Layers[0].RollFrom = 0 }, "on the flaw from 100 to 120", []string{"A"}},
		{"flaw not listed", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Layers[0].RollFrom = 110 }, "lists the flaws none", nil},
		{"flaw of no roll", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Flaws = []nest.Flaw{{From: 1, To: 2}} }, "its rolls have none", nil},
		{"no roll named", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Layers[0].Roll = "" }, "names no roll", nil},
		{"unknown roll", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Layers[0].Roll = "R9" }, `roll "R9"`, nil},
		{"another roll's lot", func(_ *bench, _ *nest.Record, l *nest.Layout) { l.Layers[0].Lot = "B" }, "the lot", nil},
		{"face of the roll", func(_ *bench, r *nest.Record, _ *nest.Layout) { r.Fabrics[1].Rolls[0].FaceDown = true }, "unrolls face down", nil},
	} {
		t.Run(m.name, func(t *testing.T) {
			b := rolled()
			r := b.finish()
			m.change(b, r, &r.Layouts[0])
			mustBreak(t, r, verify.RuleInside, m.words, m.plies...)
		})
	}
	t.Run("a roll of its own width", func(t *testing.T) {
		b := rolled()
		b.fabric("WR 600").Rolls[0].Width = 1250
		r := b.finish()
		mustBreak(t, r, verify.RuleInside, "ends at y")
		mustBreak(t, r, verify.RuleInside, "width is")
		r.Layouts[0].Usable[1][1], r.Layouts[0].Width = 1235, 1250
		mustPass(t, r)
	})
	t.Run("flaws within flaws", func(t *testing.T) {
		b := rolled()
		b.fabric("WR 600").Rolls[0].Flaws = []shapes.Span{{From: 0, To: 218}, {From: 50, To: 210}, {From: 205, To: 206}, {From: 1900, To: 1950}}
		r := b.finish()
		r.Layouts[0].Flaws = []nest.Flaw{{From: 10, To: 18}, {From: 0, To: 11}}
		mustPass(t, r)
	})
	t.Run("a conveyor takes any length", func(t *testing.T) {
		r := rolled().finish()
		r.Rules.Table.Kind, r.Rules.Table.Length = shapes.Conveyor, 500
		mustPass(t, r)
	})
	t.Run("two layouts on one stretch", func(t *testing.T) {
		b := rolled()
		b.layout("WR 600")
		b.rec.Layouts[1].Layers[0] = nest.Layer{Layer: 1, Fabric: "WR 600", Roll: "R1", Lot: "A", RollFrom: 1093, Face: "up"}
		b.rec.Layouts[1].Flaws = []nest.Flaw{{From: 7, To: 107}}
		b.piece(lay{ply: "D", shape: "B", x: 107, y: 15})
		mustPass(t, b.finish())
		b.rec.Layouts[1].Layers[0].RollFrom = 1092
		b.rec.Layouts[1].Flaws = []nest.Flaw{{From: 8, To: 108}}
		mustBreak(t, b.finish(), verify.RuleInside, "L1 and L2 share 1 mm of roll R1")
	})
}

func TestBound(t *testing.T) {
	r := plain().finish()
	r.Layouts[0].BoundLength = r.Layouts[0].Length
	mustPass(t, r)
	r.Layouts[0].BoundLength += 1e-3
	mustBreak(t, r, verify.RuleBound, "longer than the layout")

	r = plain().finish()
	r.FabricBounds = []nest.FabricBound{{Fabric: "WR 600", Length: r.Layouts[0].Length}}
	mustPass(t, r)
	r.FabricBounds[0].Length += 1e-3
	mustBreak(t, r, verify.RuleBound, "for WR 600 is longer than all its layouts")
}
