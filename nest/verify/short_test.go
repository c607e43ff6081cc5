package verify_test

import (
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
)

// A kit that the stock cannot complete names what it lacks: that need not be
// placed, and must not be.
func TestShortKits(t *testing.T) {
	short := func() *nest.Record {
		r := spread().finish()
		p := r.Layouts[0].Placed
		// Both plies of the second cut are missing.
		r.Layouts[0].Placed = p[:2]
		r.Short = []nest.Short{{Part: p[2].Part, Unit: p[2].Unit, Missing: []nest.Missing{
			{Ply: p[2].Ply, Copy: p[2].Copy, Fabric: p[2].Fabric}, {Ply: p[3].Ply, Copy: p[3].Copy, Fabric: p[3].Fabric}}}}
		return r
	}
	mustPass(t, short())
	for _, m := range []struct {
		name   string
		change func(r *nest.Record)
		words  string
		ply    string
	}{
		{"not listed", func(r *nest.Record) { r.Short[0].Missing = r.Short[0].Missing[:1] }, "demanded and not placed", "U04"},
		{"no list", func(r *nest.Record) { r.Short = nil }, "demanded and not placed", "U03"},
		{"placed all the same", func(r *nest.Record) { r.Short[0].Missing[0].Ply = "U01" }, "listed as missing and is placed", "U01"},
		{"listed twice", func(r *nest.Record) { r.Short[0].Missing[1] = r.Short[0].Missing[0] }, "missing twice", "U03"},
		{"never demanded", func(r *nest.Record) { r.Short[0].Missing[0].Ply = "U09" }, "listed as missing and not demanded", "U09"},
		{"another fabric", func(r *nest.Record) { r.Short[0].Missing[0].Fabric = "BX 600" }, "listed as BX 600", "U03"},
	} {
		t.Run(m.name, func(t *testing.T) {
			r := short()
			m.change(r)
			mustBreak(t, r, verify.RuleDemand, m.words, m.ply)
		})
	}
}
