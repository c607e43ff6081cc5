package verify_test

import (
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
)

func TestTrim(t *testing.T) {
	// B is 294 × 194 as cut; C is cut without trim.
	trimmed := func() *nest.Record {
		r := plain().finish()
		r.Shapes[1].Trim = 10
		r.Shapes[1].Net = moved(rectangle(274, 174), 0, 10, 10)
		return r
	}
	mustPass(t, trimmed())
	hollow := nest.Polygon{
		Outline: nest.Ring{{10, 10}, {284, 10}, {284, 184}, {10, 184}},
		Holes:   []nest.Ring{{{50, 50}, {50, 60}, {60, 60}, {60, 50}}},
	}
	for _, c := range []struct {
		name   string
		change func(r *nest.Record)
		words  string
	}{
		{"too little on one side", func(r *nest.Record) { r.Shapes[1].Net.Outline[1][0] += 1 }, "the trim is 9 mm"},
		{"all of it missing", func(r *nest.Record) { r.Shapes[1].Net = r.Shapes[1].Cut }, "the trim is 0 mm"},
		{"net outside", func(r *nest.Record) { r.Shapes[1].Net.Outline[1][0] += 20 }, "reaches outside the shape as cut"},
		{"net elsewhere", func(r *nest.Record) { r.Shapes[1].Net = moved(r.Shapes[1].Net, 0, 1000, 0) }, "reaches outside the shape as cut"},
		{"net in a cut-out", func(r *nest.Record) {
			r.Shapes[0].Net = nest.Polygon{Outline: nest.Ring{{150, 100}, {450, 100}, {450, 300}, {150, 300}}}
		}, "reaches outside the shape as cut"},
		{"trim where none is stated", func(r *nest.Record) { r.Shapes[1].Trim = 0 }, "and yet the shape as cut reaches outside"},
		{"a cut-out of the net filled", func(r *nest.Record) { r.Shapes[1].Trim, r.Shapes[1].Net = 0, hollow }, "and yet"},
		{"a cut-out of the cut that the net lacks", func(r *nest.Record) { r.Shapes[0].Net.Holes = nil }, "reaches outside the shape as cut"},
		{"a small cut-out that the net lacks", func(r *nest.Record) {
			r.Shapes[1].Trim, r.Shapes[1].Net = 0, r.Shapes[1].Cut
			r.Shapes[1].Cut.Holes = []nest.Ring{{{20, 20}, {20, 30}, {30, 30}, {30, 20}}}
		}, "reaches outside the shape as cut"},
		{"negative", func(r *nest.Record) { r.Shapes[1].Trim = -1 }, "has the trim -1"},
		{"no net", func(r *nest.Record) { r.Shapes[1].Net = nest.Polygon{} }, "no net shape"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := trimmed()
			c.change(r)
			mustBreak(t, r, verify.RuleRecord, c.words)
		})
	}
	t.Run("a cut-out closed by the trim", func(t *testing.T) {
		r := trimmed()
		r.Shapes[1].Net = hollow
		mustPass(t, r)
	})
	t.Run("a panel has no trim at its seam", func(t *testing.T) {
		r := trimmed()
		r.Shapes[1].Net.Outline[1][0], r.Shapes[1].Net.Outline[2][0] = 294, 294
		mustBreak(t, r, verify.RuleRecord, "the trim is 0 mm")
	})
}
