package kit_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// anyRecord draws a record whose pieces are placed except where lost.
func anyRecord(t *rapid.T) *nest.Record {
	r := &nest.Record{Format: nest.Format, Units: "mm", Job: rapid.String().Draw(t, "job")}
	for i := range rapid.IntRange(1, 4).Draw(t, "fabrics") {
		c := rapid.SampledFrom(shapes.Constructions).Draw(t, "construction")
		f := fabric(fmt.Sprint("F", i), c, rapid.Float64Range(0, 1200).Draw(t, "w"), rapid.Float64Range(0, 1).Draw(t, "psi"))
		r.Fabrics = append(r.Fabrics, f)
	}
	for i := range rapid.IntRange(1, 4).Draw(t, "shapes") {
		p := rect(rapid.Float64Range(0.1, 5000).Draw(t, "x"), rapid.Float64Range(0.1, 3000).Draw(t, "y"))
		r.Shapes = append(r.Shapes, nest.Shape{ID: fmt.Sprint("S", i), Net: p, Cut: p})
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "parts") {
		part := nest.Part{Part: fmt.Sprint("P", i), Units: rapid.IntRange(1, 2).Draw(t, "units")}
		r.Parts = append(r.Parts, part)
		for n := range rapid.IntRange(0, 12).Draw(t, "plies") {
			d := nest.Demand{
				Part: part.Part, Ply: fmt.Sprint("N", n), Copy: 1,
				Order:        rapid.IntRange(1, 6).Draw(t, "order"),
				Fabric:       rapid.SampledFrom(r.Fabrics).Draw(t, "fabric").Name,
				Shape:        rapid.SampledFrom(r.Shapes).Draw(t, "shape").ID,
				DirectionDeg: rapid.Float64Range(-90, 90).Draw(t, "direction"),
				OppositeHand: rapid.Bool().Draw(t, "hand"),
				Bag:          rapid.SampledFrom([]string{"", "A", "B"}).Draw(t, "bag"),
			}
			for u := 1; u <= part.Units; u++ {
				d.Unit = u
				r.Demand = append(r.Demand, d)
			}
		}
	}
	if rapid.Bool().Draw(t, "laminating") {
		r.Laminating = &shapes.Laminating{
			WorkingTime: rapid.Float64Range(0, 90).Draw(t, "working time"),
			PlanAt:      rapid.Float64Range(0, 1).Draw(t, "plan at"),
			Pace:        rapid.Float64Range(0, 20).Draw(t, "pace"),
			MixLimit:    rapid.Float64Range(0, 6).Draw(t, "mix limit"),
			Waste:       rapid.Float64Range(0, 0.9).Draw(t, "waste"),
		}
	}
	oneEach(r)
	for i := range r.Layouts {
		p := r.Layouts[i].Placed
		r.Layouts[i].Placed = p[:rapid.IntRange(0, len(p)).Draw(t, "kept")]
	}
	return r
}

// Every demanded piece stands in exactly one kit; lines are in order; totals,
// bags and sets add up to the lines; no set that can be helped passes the
// window.
func TestRandomRecords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecord(t)
		kits, err := kit.Build(r)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[nest.Key]bool{}
		placed := 0
		for _, k := range kits {
			check(t, &k)
			for _, l := range k.Lines {
				if seen[l.Demand.Key()] || l.Demand.Part != k.Part || l.Demand.Unit != k.Unit {
					t.Fatalf("%s stands twice or in the wrong kit", l.Demand.Key())
				}
				seen[l.Demand.Key()] = true
				if l.Place != nil {
					placed++
					if l.Place.Placed.Key() != l.Demand.Key() {
						t.Fatalf("%s points at %s", l.Demand.Key(), l.Place.Placed.Key())
					}
				}
			}
		}
		want := 0
		for _, l := range r.Layouts {
			want += len(l.Placed)
		}
		if len(seen) != len(r.Demand) || placed != want {
			t.Fatalf("%d of %d demanded, %d of %d placed", len(seen), len(r.Demand), placed, want)
		}
	})
}

func check(t *rapid.T, k *kit.Kit) {
	var fibre, resin, mass, minutes float64
	order, pieces, mixes := 0, 0, 0
	for i, l := range k.Lines {
		if l.Demand.Order < order || l.Number != i+1 {
			t.Fatalf("line %d out of order", i+1)
		}
		order = l.Demand.Order
		if l.Laminate != nil {
			fibre += l.Laminate.Fibre
			resin += l.Laminate.Resin
			mass += l.Laminate.Mass
		}
	}
	for _, b := range k.Bags {
		pieces += b.Pieces
	}
	same(t, "fibre", fibre, k.Totals.Fibre)
	same(t, "resin", resin, k.Totals.Resin)
	same(t, "mass", mass, k.Totals.Mass)
	if pieces != k.Totals.Pieces-k.Totals.Short {
		t.Fatalf("%d pieces in bags, %d in all, %d short", pieces, k.Totals.Pieces, k.Totals.Short)
	}
	p := k.Plan
	if p == nil || len(p.Sets) == 0 {
		return
	}
	next, setResin := 0, 0.0
	for _, s := range p.Sets {
		if s.From != next || s.To <= s.From {
			t.Fatalf("set %d runs from %d to %d after %d", s.Number, s.From, s.To, next)
		}
		next = s.To
		setResin += s.Resin
		minutes += s.Minutes
		mixes += s.Mixes
		wet := 0
		for i := s.From; i < s.To; i++ {
			if m := k.Lines[i].Laminate; m != nil && m.Mass > 0 {
				wet++
			}
			if k.Lines[i].Set != s.Number {
				t.Fatalf("line %d says set %d, not %d", i+1, k.Lines[i].Set, s.Number)
			}
		}
		if wet > 1 && s.Minutes > p.Window*(1+1e-6) {
			t.Fatalf("set %d takes %g of %g min", s.Number, s.Minutes, p.Window)
		}
	}
	if next != len(k.Lines) || mixes != p.Mixes {
		t.Fatalf("sets end at %d of %d lines, %d of %d mixes", next, len(k.Lines), mixes, p.Mixes)
	}
	same(t, "resin in sets", setResin, k.Totals.Resin)
	same(t, "minutes", minutes, p.Minutes)
}

func same(t *rapid.T, what string, got, want float64) {
	if math.Abs(got-want) > 1e-9*max(1, math.Abs(want)) {
		t.Fatalf("%s: %g, not %g", what, got, want)
	}
}
