package trace_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/nest/trace"
	"plyroom/shapes"
)

// record lays pieces, given as part, unit, ply, layout and layer, 100 mm
// squares side by side. Layout n, layer m is cut from roll Rnm of lot A where
// n+m is even and B where it is odd, from 1000 mm on.
func record(pieces [][5]int) *nest.Record {
	r := &nest.Record{
		Format: nest.Format, Units: "mm", Job: "J", Revision: "C",
		Fabrics: []shapes.Fabric{{Name: "F1", Construction: shapes.Mat}, {Name: "F2", Construction: shapes.Mat}},
		Shapes:  []nest.Shape{{ID: "S1", Net: square(0), Cut: square(0)}},
	}
	for _, part := range []string{"Cover", "Plate", "Rib"} {
		r.Parts = append(r.Parts, nest.Part{Part: part, Units: 9, Revision: "B"})
	}
	for n := 1; n <= 3; n++ {
		l := nest.Layout{ID: fmt.Sprintf("L%d", n)}
		for m := 1; m <= 2; m++ {
			l.Layers = append(l.Layers, nest.Layer{Layer: m, Fabric: fmt.Sprintf("F%d", m), Roll: fmt.Sprintf("R%d%d", n, m),
				Lot: string(rune('A' + (n+m)%2)), RollFrom: 1000, Face: "up"})
		}
		r.Layouts = append(r.Layouts, l)
	}
	for _, p := range pieces {
		d := nest.Demand{Part: r.Parts[p[0]].Part, Unit: p[1] + 1, Order: p[2] + 1, Ply: fmt.Sprintf("P%d", p[2]+1), Copy: 1,
			Fabric: fmt.Sprintf("F%d", p[4]+1), Shape: "S1"}
		r.Demand = append(r.Demand, d)
		if p[3] < 0 {
			continue // missing
		}
		l := &r.Layouts[p[3]]
		l.Placed = append(l.Placed, nest.Placed{Part: d.Part, Unit: d.Unit, Ply: d.Ply, Order: d.Order, Copy: 1, Layer: p[4] + 1,
			Fabric: d.Fabric, Outline: square(100 * float64(len(l.Placed))).Outline})
	}
	return r
}

func square(x float64) nest.Polygon {
	return nest.Polygon{Outline: nest.Ring{{x, 0}, {x + 100, 0}, {x + 100, 100}, {x, 100}}}
}

func trail(t require.TestingT, r *nest.Record) *trace.Trail {
	kits, err := kit.Build(r)
	require.NoError(t, err)
	return trace.Of(r, kits)
}

// Cover 1 has P1 of roll R11, lot A, and P2 of roll R12, lot B; Plate 1 has P1
// of roll R21, lot B, and its P2 is missing.
func TestTrail(t *testing.T) {
	tr := trail(t, record([][5]int{{0, 0, 0, 0, 0}, {0, 0, 1, 0, 1}, {1, 0, 0, 1, 0}, {1, 0, 1, -1, 0}}))
	require.Len(t, tr.Pieces, 3)
	assert.Equal(t, trace.Piece{
		Kit: 1, Part: "Cover", PartRevision: "B", Unit: 1, Bag: 1, Order: 2, Ply: "P2", Copy: 1, Fabric: "F2",
		Roll: "R12", Lot: "B", Layout: "L1", Layer: 2, Position: 2, RollFrom: 1100, RollTo: 1200,
	}, tr.Pieces[1])
	assert.Equal(t, []trace.Piece{{Kit: 2, Part: "Plate", PartRevision: "B", Unit: 1, Bag: 1, Order: 2, Ply: "P2", Copy: 1, Fabric: "F1"}}, tr.Missing)

	named := record([][5]int{{0, 0, 0, 0, 0}})
	named.Demand[0].Bag = "A"
	assert.Equal(t, "A", trail(t, named).Pieces[0].BagName)

	b := tr.Select(trace.Question{Lot: "B"})
	require.Len(t, b.Pieces, 2)
	assert.Equal(t, []string{"Cover", "Plate"}, []string{b.Pieces[0].Part, b.Pieces[1].Part})
	assert.Empty(t, b.Missing)
	back := tr.Select(trace.Question{Part: "Plate", Unit: 1})
	require.Len(t, back.Pieces, 1)
	assert.Equal(t, "R21", back.Pieces[0].Roll)
	assert.Len(t, back.Missing, 1)
	assert.Len(t, tr.Select(trace.Question{Roll: "R11"}).Pieces, 1)
	assert.Empty(t, tr.Select(trace.Question{Roll: "R1"}).Pieces)
	assert.Equal(t, []string{"A", "B"}, tr.Known(trace.Question{Lot: "x"}))
	assert.Equal(t, []string{"R11", "R12", "R21"}, tr.Known(trace.Question{Roll: "x"}))
	assert.Equal(t, []string{"Cover/1", "Plate/1"}, tr.Known(trace.Question{Part: "x"}))
}

func TestParseUnit(t *testing.T) {
	part, unit, err := trace.ParseUnit("Rib, left/right / 12")
	require.NoError(t, err)
	assert.Equal(t, "Rib, left/right", part)
	assert.Equal(t, 12, unit)
	for _, bad := range []string{"", "Rib", "/1", "Rib/", "Rib/0", "Rib/one", "Rib/-1"} {
		_, _, err := trace.ParseUnit(bad)
		assert.Error(t, err, bad)
	}
}

// Whatever is placed: every placed piece stands once in the trail, with the
// roll and lot of the layer it lies on in the record; and lots and units find
// each other both ways.
func TestTrailProperty(t *testing.T) {
	schema := compile(t)
	rapid.Check(t, func(t *rapid.T) {
		var pieces [][5]int
		for part := range 3 {
			for unit := range rapid.IntRange(0, 3).Draw(t, "units") {
				for ply := range rapid.IntRange(1, 4).Draw(t, "plies") {
					pieces = append(pieces, [5]int{part, unit, ply, rapid.IntRange(-1, 2).Draw(t, "layout"), rapid.IntRange(0, 1).Draw(t, "layer")})
				}
			}
		}
		r := record(rapid.Permutation(pieces).Draw(t, "pieces"))
		tr := trail(t, r)
		want := map[nest.Key][2]string{}
		for _, l := range r.Layouts {
			for _, p := range l.Placed {
				for _, ly := range l.Layers {
					if ly.Layer == p.Layer {
						want[p.Key()] = [2]string{ly.Roll, ly.Lot}
					}
				}
			}
		}
		got := map[nest.Key][2]string{}
		for _, p := range tr.Pieces {
			k := nest.Key{Part: p.Part, Unit: p.Unit, Ply: p.Ply, Copy: p.Copy}
			require.NotContains(t, got, k, "once")
			got[k] = [2]string{p.Roll, p.Lot}
		}
		require.Equal(t, want, got)
		require.Len(t, tr.Missing, len(r.Demand)-len(want))

		// Forward from every lot and back from every unit meet the same pairs.
		forward, back := map[string]bool{}, map[string]bool{}
		for _, lot := range tr.Known(trace.Question{Lot: "x"}) {
			for _, p := range tr.Select(trace.Question{Lot: lot}).Pieces {
				forward[fmt.Sprint(lot, p.Part, p.Unit, p.Ply)] = true
			}
		}
		for _, u := range tr.Known(trace.Question{Part: "x"}) {
			part, unit, err := trace.ParseUnit(u)
			require.NoError(t, err)
			for _, p := range tr.Select(trace.Question{Part: part, Unit: unit}).Pieces {
				back[fmt.Sprint(p.Lot, part, unit, p.Ply)] = true
			}
		}
		require.Equal(t, back, forward)

		var b bytes.Buffer
		require.NoError(t, tr.Write(&b))
		inst, err := jsonschema.UnmarshalJSON(&b)
		require.NoError(t, err)
		require.NoError(t, schema.Validate(inst))
	})
}

func compile(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(trace.Schema()))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("trace.schema.json", doc))
	s, err := c.Compile("trace.schema.json")
	require.NoError(t, err)
	return s
}
