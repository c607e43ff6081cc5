package verify_test

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

func TestRecordMutations(t *testing.T) {
	for _, m := range []struct {
		name   string
		change func(r *nest.Record)
		words  string
	}{
		{"format", func(r *nest.Record) { r.Format = 2 }, "format 2"},
		{"units", func(r *nest.Record) { r.Units = "in" }, `"in"`},
		{"gap", func(r *nest.Record) { r.Rules.Gap = math.NaN() }, "gap is NaN"},
		{"negative gap", func(r *nest.Record) { r.Rules.Gap = -3 }, "gap is -3"},
		{"no layers cut", func(r *nest.Record) { r.Rules.Layers = 0 }, "layers cut at once is 0"},
		{"table kind", func(r *nest.Record) { r.Rules.Table = &shapes.Table{Kind: "round"} }, `"round"`},
		{"spread of an unknown fabric", func(r *nest.Record) { r.Rules.Spreads = [][]string{{"X"}} }, `fabric "X"`},
		{"fabric twice", func(r *nest.Record) { r.Fabrics = append(r.Fabrics, r.Fabrics[0]) }, `fabric "CSM 450" is listed twice`},
		{"construction", func(r *nest.Record) { r.Fabrics[0].Construction = "knit" }, `"knit"`},
		{"faces", func(r *nest.Record) { r.Fabrics[0].Faces = "" }, "faces"},
		{"infinite width", func(r *nest.Record) { r.Fabrics[0].Width = math.Inf(1) }, "width of fabric CSM 450 is +Inf"},
		{"negative areal mass", func(r *nest.Record) { r.Fabrics[0].ArealMass = -450 }, "areal mass of fabric CSM 450 is -450"},
		{"no glass content", func(r *nest.Record) { r.Fabrics[0].GlassContent = 0 }, "no glass content"},
		{"glass content 1", func(r *nest.Record) { r.Fabrics[0].GlassContent = 1 }, "glass content of fabric CSM 450 is 1"},
		{"glass content NaN", func(r *nest.Record) { r.Fabrics[0].GlassContent = math.NaN() }, "glass content of fabric CSM 450 is NaN"},
		{"negative density", func(r *nest.Record) { r.Fabrics[0].FibreDensity = -1 }, "fibre density"},
		{"negative price", func(r *nest.Record) { r.Fabrics[0].Price = &shapes.Price{Amount: -2, Per: shapes.PerMetre} }, "price of fabric CSM 450 is -2"},
		{"price per nothing", func(r *nest.Record) { r.Fabrics[0].Price = &shapes.Price{Amount: 2, Per: "ell"} }, `per "ell"`},
		{"price of resin", func(r *nest.Record) {
			r.Laminating = &shapes.Laminating{ResinPrice: &shapes.Price{Amount: math.Inf(1), Per: shapes.PerKilogram}}
		}, "price of the resin"},
		{"all resin wasted", func(r *nest.Record) { r.Laminating = &shapes.Laminating{Waste: 1} }, "resin wasted is 1"},
		{"chord tolerance", func(r *nest.Record) { r.Rules.ChordTolerance = 50 }, "chord tolerance is 50"},
		{"negative bound", func(r *nest.Record) { r.Layouts[0].BoundLength = -1 }, "bound on the length is -1"},
		{"no search", func(r *nest.Record) { r.Search = nest.Search{} }, "how its search ended"},
		{"a job of two lines", func(r *nest.Record) { r.Job = "A\nB" }, "U+000A"},
		{"a ply turned about", func(r *nest.Record) { r.Demand[0].Ply += "\u202e" }, "U+202E"},
		{"a lot with an escape", func(r *nest.Record) { r.Layouts[0].Layers[0].Lot = "\x1b[2J" }, "U+001B"},
		{"an isolate in an outline", func(r *nest.Record) { r.Shapes[0].Name = "A\u2066" }, "U+2066"},
		{"lap of no panel", func(r *nest.Record) { r.Shapes[0].LapArea = 5 }, "is no panel"},
		{"lap below 0", func(r *nest.Record) { r.Shapes[0].LapArea = -5 }, "lap area of shape"},
		{"roll twice", func(r *nest.Record) { r.Fabrics[0].Rolls = []shapes.Roll{{Name: "A"}, {Name: "A"}} }, `a roll of CSM 450 "A"`},
		{"flaw backwards", func(r *nest.Record) {
			r.Fabrics[0].Rolls = []shapes.Roll{{Name: "A", Flaws: []shapes.Span{{From: 2, To: 1}}}}
		}, "end of a flaw"},
		{"part twice", func(r *nest.Record) { r.Parts = append(r.Parts, r.Parts[0]) }, "is listed twice"},
		{"no units", func(r *nest.Record) { r.Parts[0].Units = 0 }, "number of units"},
		{"shape twice", func(r *nest.Record) { r.Shapes = append(r.Shapes, r.Shapes[0]) }, `shape "A" is listed twice`},
		{"demand twice", func(r *nest.Record) { r.Demand = append(r.Demand, r.Demand[0]) }, "demanded twice"},
		{"unknown part", func(r *nest.Record) { r.Demand[0].Part = "Q" }, "part is not listed"},
		{"unit above the part's", func(r *nest.Record) { r.Demand[0].Unit = 2 }, "unit 2 is demanded"},
		{"a unit without pieces", func(r *nest.Record) { r.Parts[0].Units = 2 }, "units with pieces demanded: 1"},
		{"a unit short of a piece", func(r *nest.Record) {
			r.Parts[0].Units = 2
			for _, d := range r.Demand[:2] {
				d.Unit = 2
				r.Demand = append(r.Demand, d)
			}
		}, "for unit 1 of the part and none like it for unit 2"},
		{"a unit with another piece", func(r *nest.Record) {
			r.Parts[0].Units = 2
			for _, d := range r.Demand[:3] {
				d.Unit = 2
				r.Demand = append(r.Demand, d)
			}
			r.Demand[5].Fabric = "CSM 450"
		}, "for unit 2 of the part and none like it for unit 1"},
		{"layout called otherwise", func(r *nest.Record) { r.Layouts[0].ID = "L2" }, "it should be L1"},
		{"copy 0", func(r *nest.Record) { r.Demand[0].Copy = 0 }, "copies count from 1"},
		{"unknown fabric", func(r *nest.Record) { r.Demand[0].Fabric = "X" }, `fabric "X" is not listed`},
		{"unknown shape", func(r *nest.Record) { r.Demand[0].Shape = "X" }, `shape "X" is not listed`},
		{"tolerance", func(r *nest.Record) { r.Demand[0].ToleranceDeg = -1 }, "tolerance is -1"},
		{"direction", func(r *nest.Record) { r.Demand[0].DirectionDeg = math.NaN() }, "direction asked is NaN"},
		{"layout twice", func(r *nest.Record) { r.Layouts = append(r.Layouts, r.Layouts[0]) }, `layout "L1" is listed twice`},
		{"length", func(r *nest.Record) { r.Layouts[0].Length = math.NaN() }, "the length is NaN"},
		{"usable", func(r *nest.Record) { r.Layouts[0].Usable[1][1] = math.Inf(1) }, "corner of the usable area is +Inf"},
		{"no layers", func(r *nest.Record) { r.Layouts[0].Layers = nil }, "no layer of fabric"},
		{"layer number", func(r *nest.Record) { r.Layouts[0].Layers[0].Layer = 3 }, "layer 1 is numbered 3"},
		{"layer fabric", func(r *nest.Record) { r.Layouts[0].Layers[0].Fabric = "X" }, `of fabric "X"`},
		{"face", func(r *nest.Record) { r.Layouts[0].Layers[0].Face = "" }, "face"},
		{"nothing placed", func(r *nest.Record) { r.Layouts[0].Placed = nil }, "nothing is placed"},
		{"x", func(r *nest.Record) { r.Layouts[0].Placed[0].X = math.NaN() }, "x is NaN"},
		{"rotation", func(r *nest.Record) { r.Layouts[0].Placed[0].RotationDeg = 270 }, "rotation is 270"},
		{"vertex", func(r *nest.Record) { r.Layouts[0].Placed[0].Outline[1][0] = math.NaN() }, "coordinate of the outline"},
		{"vertex far away", func(r *nest.Record) { r.Layouts[0].Placed[0].Outline[1][0] = 2e9 }, "coordinate of the outline"},
		{"two vertices", func(r *nest.Record) { r.Layouts[0].Placed[0].Outline = r.Layouts[0].Placed[0].Outline[:2] }, "2 vertices"},
		{"flaw", func(r *nest.Record) { r.Layouts[0].Flaws = []nest.Flaw{{From: 3, To: 2}} }, "runs backwards"},

		{"bow tie", func(r *nest.Record) { c := r.Shapes[1].Cut.Outline; c[1], c[2] = c[2], c[1] }, "without area"},
		{"crossing", func(r *nest.Record) {
			r.Shapes[1].Cut.Outline = nest.Ring{{0, 0}, {10, 0}, {10, 10}, {5, -1}, {0, 10}}
		}, "crosses or touches itself"},
		{"touching", func(r *nest.Record) {
			r.Shapes[1].Cut.Outline = nest.Ring{{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}
		}, "crosses or touches itself"},
		{"folded", func(r *nest.Record) {
			r.Shapes[1].Cut.Outline = nest.Ring{{0, 0}, {10, 0}, {10, 10}, {10, 5}, {0, 10}, {0, 20}, {0, 5}}
		}, "crosses or touches itself"},
		{"clockwise", func(r *nest.Record) { r.Shapes[1].Cut.Outline = nest.Ring{{0, 0}, {0, 10}, {10, 10}} }, "exterior running the wrong way"},
		{"hole counter-clockwise", func(r *nest.Record) { h := r.Shapes[0].Cut.Holes[0]; h[1], h[3] = h[3], h[1] }, "cut-out 1 running the wrong way"},
		{"hole outside", func(r *nest.Record) {
			for i := range r.Shapes[0].Cut.Holes[0] {
				r.Shapes[0].Cut.Holes[0][i][0] += 1000
			}
		}, "cut-out 1 outside"},
		{"hole across", func(r *nest.Record) { r.Shapes[0].Cut.Holes[0][2][0] = 700 }, "crosses or touches itself"},
		{"hole in a hole", func(r *nest.Record) {
			r.Shapes[0].Cut.Holes = append(r.Shapes[0].Cut.Holes, nest.Ring{{200, 150}, {200, 160}, {210, 150}})
		}, "cut-out 2 inside cut-out 1"},
		{"flat", func(r *nest.Record) { r.Shapes[1].Cut.Outline = nest.Ring{{0, 0}, {5, 0}, {10, 0}} }, "without area"},
		{"hair", func(r *nest.Record) { r.Shapes[1].Cut.Outline = nest.Ring{{0, 0}, {5, 0}, {5, 2e-6}, {0, 2e-6}} }, "nowhere thicker"},
		{"shape of NaN", func(r *nest.Record) { r.Shapes[1].Cut.Outline[0][0] = math.NaN() }, "not a number"},
	} {
		t.Run(m.name, func(t *testing.T) {
			r := plain().finish()
			m.change(r)
			mustBreak(t, r, verify.RuleRecord, m.words)
		})
	}
	if vs := verify.Check(nil); len(vs) != 1 || vs[0].Rule != verify.RuleRecord {
		t.Errorf("no record: %v", vs)
	}
}

// Every fabric drawn has a bound, and none is longer than what is drawn.
func TestBoundMutations(t *testing.T) {
	r := plain().finish()
	r.FabricBounds = nil
	mustBreak(t, r, verify.RuleBound, "no bound is stated for fabric")
	r = spread().finish()
	r.FabricBounds = r.FabricBounds[:1]
	mustBreak(t, r, verify.RuleBound, "no bound is stated for fabric")
	r = plain().finish()
	r.FabricBounds[0].Length = r.Layouts[0].Length + 1
	mustBreak(t, r, verify.RuleBound, "longer than all its layouts")
	r = plain().finish()
	r.FabricBounds[0].Length, r.Layouts[0].BoundLength = 1e-3, 1e-3 // true, if of little use
	mustPass(t, r)
}

// Repeated vertices and collinear runs are nothing wrong.
func TestHarmlessVertices(t *testing.T) {
	b := plain()
	b.rec.Shapes[1].Cut.Outline = nest.Ring{{0, 0}, {0, 0}, {100, 0}, {294, 0}, {294, 194}, {294, 194}, {0, 194}, {0, 194}, {0, 97}, {0, 0}}
	r := b.finish()
	move(b, r, 1, 0, 0)
	mustPass(t, r)
}

// FuzzCheck feeds whatever decodes as a record: Check must return.
func FuzzCheck(f *testing.F) {
	for _, r := range []*nest.Record{plain().finish(), spread().finish()} {
		var b bytes.Buffer
		if err := r.Write(&b); err != nil {
			f.Fatal(err)
		}
		f.Add(b.Bytes())
		f.Add(bytes.ReplaceAll(b.Bytes(), []byte("600"), []byte("-1e300")))
		f.Add(bytes.ReplaceAll(b.Bytes(), []byte(`"outline"`), []byte(`"holes"`)))
		f.Add(bytes.ReplaceAll(b.Bytes(), []byte("["), []byte("[[],")))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var r nest.Record
		if json.Unmarshal(data, &r) != nil {
			return
		}
		for _, v := range verify.Check(&r) {
			if v.Message == "" || strings.HasSuffix(v.Message, ".") || v.Rule == 0 {
				t.Errorf("violation %+v", v)
			}
		}
	})
}
