package verify_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// leaves calls f for every number, word and flag of a value, with its path.
func leaves(v reflect.Value, path string, f func(path string, v reflect.Value)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			leaves(v.Elem(), path, f)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			leaves(v.Field(i), path+"."+v.Type().Field(i).Name, f)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			leaves(v.Index(i), path+"[]", f)
		}
	default:
		f(path, v)
	}
}

// whole uses as much of a record as one can: a roll with a flaw, a table, a
// twisted ply with a cut-out, a bound.
func whole() *bench {
	b := plain()
	b.fabric("WR 600").OutLife = 10
	b.fabric("WR 600").Rolls = []shapes.Roll{{Name: "R1", Lot: "A", Length: 2000, Width: 1270, Flaws: []shapes.Span{{From: 190, To: 205}},
		OutUsed: 4, Thaw: 5, Expires: "2026-12-01"}}
	b.rec.Date = "2026-12-01"
	b.rec.Rules.KeepTogether = []string{"P"}
	layer := &b.rec.Layouts[0].Layers[0]
	layer.Roll, layer.Lot, layer.RollFrom, layer.Skipped = "R1", "A", 200, 200
	b.rec.Layouts[0].Flaws = []nest.Flaw{{From: 0, To: 5}}
	b.rec.Layouts[0].RollEnd, layer.RollEnd = 907, 907
	b.rec.Rules.Table = &shapes.Table{Length: 893, Width: 1270, Kind: shapes.StaticTable}
	// Only what this layout uses.
	b.rec.Fabrics = b.rec.Fabrics[1:2]
	b.rec.FabricBounds = []nest.FabricBound{{Fabric: "WR 600", Length: 893}}
	b.rec.Layouts[0].BoundLength = 893
	return b
}

// free lists what no rule speaks of: words for documents, figures for books,
// and limits with room to spare.
var free = regexp.MustCompile(`^\.(Job|Revision|Currency|Notes.*|Search\..*|Parts\[\]\.Revision` +
	`|Rules\.(Trim|MinRemnant|ChordTolerance|Ink|AngleTolerance|Layers|SpreadPolicy|OneLotPerUnit|UseExpired|Rates.*)` + // room to spare, or not the cutter's
	`|Rules\.Table\.(Length|Width)` + // longer and wider is no harm
	`|Fabrics\[\]\.(ArealMass|FibreDensity|DeliveryLength|Balanced|DiagonalFree|LayerOrderMatters|OutLife)` +
	`|Fabrics\[\]\.Rolls\[\]\.(Expires|Received|Reserved|Remnant)` + // a later day is no harm, the rest is settled before laying
	`|Fabrics\[\]\.Width` + // the roll has its own
	`|Fabrics\[\]\.Rolls\[\]\.Flaws\[\]\.From` + // before the layout
	`|Shapes\[\]\.(Name|Source)|Demand\[\]\.(ToleranceDeg|Bag|Note))$`)

// Every figure of a record matters: whichever is changed, a rule is broken,
// but for those of the list above.
func TestEveryFigureMatters(t *testing.T) {
	r := whole().finish()
	r.Layouts[0].BoundLength = r.Layouts[0].Length
	r.Rules.Gap = 3
	mustPass(t, r)
	tried := 0
	leaves(reflect.ValueOf(r), "", func(path string, v reflect.Value) {
		old := reflect.New(v.Type()).Elem()
		old.Set(v)
		switch v.Kind() {
		case reflect.Float64:
			v.SetFloat(v.Float() + 1.5)
		case reflect.Int, reflect.Int64:
			v.SetInt(v.Int() + 1)
		case reflect.Uint64:
			v.SetUint(v.Uint() + 1)
		case reflect.String:
			v.SetString(v.String() + "x")
		case reflect.Bool:
			v.SetBool(!v.Bool())
		default:
			t.Fatalf("%s is a %s", path, v.Kind())
		}
		tried++
		switch found := len(verify.Check(r)) > 0; {
		case !found && !free.MatchString(path):
			t.Errorf("%s: %v in place of %v breaks no rule", path, v, old)
		case found && free.MatchString(path):
			t.Errorf("%s is listed as free: %v in place of %v breaks a rule", path, v, old)
		}
		v.Set(old)
	})
	t.Logf("%d figures tried", tried)
}

// Records damaged in several places at random, with the worst figures there
// are, are judged without panic and found wanting or not.
func TestDamagedRecordsDoNotPanic(t *testing.T) {
	rounds := 3000
	if testing.Short() {
		rounds = 300
	}
	floats := []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, 0, -1, 1e9, -1e9, 1.0000001e9, 1e15, 360, -180, 1e-7}
	ints := []int64{0, -1, 1, 2, math.MaxInt64, math.MinInt64}
	for seed := range rounds {
		rng := rand.New(rand.NewPCG(uint64(seed), 3))
		r := []func() *bench{whole, spread, plain, func() *bench { return divided(shapes.JointLap) }}[rng.IntN(4)]().finish()
		var all []reflect.Value
		var lists []reflect.Value
		leaves(reflect.ValueOf(r), "", func(_ string, v reflect.Value) { all = append(all, v) })
		for _, v := range []any{&r.Layouts, &r.Demand, &r.Shapes, &r.Fabrics, &r.Parts, &r.Layouts[0].Placed, &r.Layouts[0].Layers, &r.Layouts[0].Placed[0].Outline, &r.Shapes[0].Cut.Outline, &r.Shapes[0].Cut.Holes, &r.Shapes[0].Net.Outline, &r.Layouts[0].Placed[0].Holes} {
			lists = append(lists, reflect.ValueOf(v).Elem())
		}
		for range 1 + rng.IntN(4) {
			if rng.IntN(6) == 0 {
				l := lists[rng.IntN(len(lists))]
				l.Set(l.Slice(0, rng.IntN(l.Len()+1)))
				continue
			}
			switch v := all[rng.IntN(len(all))]; v.Kind() {
			case reflect.Float64:
				v.SetFloat(floats[rng.IntN(len(floats))])
			case reflect.Int, reflect.Int64:
				v.SetInt(ints[rng.IntN(len(ints))])
			case reflect.String:
				v.SetString([]string{"", "x", "static", "down", "WR 600", "lap"}[rng.IntN(6)])
			case reflect.Bool:
				v.SetBool(!v.Bool())
			}
		}
		func() {
			defer func() {
				if p := recover(); p != nil {
					t.Fatalf("seed %d: %v", seed, p)
				}
			}()
			for _, v := range verify.Check(r) {
				if s := v.String(); s == "" || slices.Contains([]verify.Rule{0}, v.Rule) {
					t.Errorf("seed %d: %s", seed, fmt.Sprint(v))
				}
			}
		}()
	}
}
