package offcut

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/nest/remnant"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// ask is a record that asks for copies of one triangle of a fabric, half of
// them of the opposite hand.
func ask(f *shapes.Fabric, copies int, direction float64) *nest.Record {
	return askFor(orb.Ring{{0, 0}, {300, 0}, {0, 200}}, f, copies, direction)
}

func askFor(outline orb.Ring, f *shapes.Fabric, copies int, direction float64) *nest.Record {
	o := &shapes.Outline{Name: "T", Exterior: outline}
	job := &shapes.Job{Name: "J", Fabrics: []*shapes.Fabric{f}, Cutting: shapes.Cutting{Gap: 3, EndAllowance: 10, MinRemnant: 200, Layers: 1},
		Parts: []*shapes.Part{{Name: "P", Units: 1, Plies: []*shapes.Ply{
			{Order: 1, Name: "A", Outline: o, Fabric: f, Count: copies, OppositeHand: copies / 2, Direction: direction}}}}}
	pieces, table, problems := demand.Expand(job, func(*shapes.Fabric) demand.Room { return demand.Room{Width: 1e6, Length: math.Inf(1)} })
	if problems.Err() != nil {
		panic(problems)
	}
	return &nest.Record{Format: nest.Format, Units: "mm", Job: "J", Rules: job.Cutting, Shapes: table, Demand: pieces,
		Fabrics: []shapes.Fabric{*f}, Parts: []nest.Part{{Part: "P", Units: 1}},
		FabricBounds: []nest.FabricBound{{Fabric: f.Name}}, Search: nest.Search{Status: "effort spent"}}
}

func all(rec *nest.Record) []int {
	out := make([]int, len(rec.Demand))
	for i := range out {
		out[i] = i
	}
	return out
}

var woven = &shapes.Fabric{Name: "F", Construction: shapes.Plain, ArealMass: 600, GlassContent: 0.5, Width: 1000, Selvedge: 10, Faces: shapes.SameFaces}

// A flawed rest of a roll, face down, some way along: the verifier and the
// books take the layout as it is.
func TestRestOfARoll(t *testing.T) {
	roll := shapes.Roll{Name: "R", Lot: "7", Length: 3000, Width: 700, FaceDown: true, Flaws: []shapes.Span{{From: 1700, To: 1750}}}
	rec := ask(woven, 12, 0)
	rec.Fabrics[0].Rolls = []shapes.Roll{roll}
	l, laid, err := Lay(context.Background(), rec, all(rec), OfRoll(&rec.Fabrics[0], roll, 1500), pack.Settings{Effort: 1})
	require.NoError(t, err)
	require.Len(t, laid, 12)
	l.ID = "L1"
	rec.Layouts = []nest.Layout{*l}
	require.Empty(t, verify.Check(rec))
	require.Len(t, l.Flaws, 1)
	require.Equal(t, 1500.0, l.Layers[0].RollFrom)
	again, _, err := Lay(context.Background(), rec, all(rec), OfRoll(&rec.Fabrics[0], roll, 1500), pack.Settings{Effort: 1})
	require.NoError(t, err)
	again.ID = "L1"
	require.Equal(t, l, again, "the same again")
}

// A ply that is its own mirror image is not said to be turned over, which an
// operator would have to do.
func TestMirrorImagesAreNotTurned(t *testing.T) {
	rec := askFor(orb.Ring{{0, 0}, {300, 0}, {230, 200}, {70, 200}}, woven, 12, 0)
	for _, down := range []bool{false, true} {
		roll := shapes.Roll{Name: "R", Length: 3000, Width: 700, FaceDown: down}
		rec.Fabrics[0].Rolls = []shapes.Roll{roll}
		l, laid, err := Lay(context.Background(), rec, all(rec), OfRoll(&rec.Fabrics[0], roll, 0), pack.Settings{Effort: 1})
		require.NoError(t, err)
		require.Len(t, laid, 12)
		for i := range l.Placed {
			require.False(t, l.Placed[i].TurnedOver, "%+v", l.Placed[i])
		}
		l.ID = "L1"
		rec.Layouts = []nest.Layout{*l}
		require.Empty(t, verify.Check(rec))
	}
}

// What does not fit is left, one ground after the other; what never fits is no
// error.
func TestFill(t *testing.T) {
	rec := ask(woven, 6, 0)
	f := &rec.Fabrics[0]
	ground := func(length, width float64) Ground {
		return OfRoll(f, shapes.Roll{Name: "R", Length: length, Width: width}, 0)
	}
	layouts, left, err := Fill(context.Background(), rec, all(rec), []Ground{
		ground(15, 900), ground(320, 100), ground(325, 240), ground(330, 300), ground(5000, 1000)}, pack.Settings{Effort: 1})
	require.NoError(t, err)
	require.Empty(t, left)
	require.Len(t, layouts, 3, "the first two hold nothing")
	require.Len(t, layouts[0].Placed, 2, "two triangles make a rectangle")
	require.Equal(t, 320.0, math.Round(layouts[0].Length))
	n := 0
	for _, l := range layouts {
		n += len(l.Placed)
	}
	require.Equal(t, 6, n)
	rec.Rules.Table = &shapes.Table{Length: 300, Width: 1600, Kind: shapes.StaticTable}
	layouts, left, err = Fill(context.Background(), rec, all(rec), []Ground{ground(5000, 1000)}, pack.Settings{Effort: 1})
	require.NoError(t, err)
	require.Empty(t, layouts, "too long for the table")
	require.Len(t, left, 6)
}

// Remnants of any outline: an outside library finds every ply inside, and the
// verifier's rules hold on the bounding box.
func TestShapedRemnants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(label string, lo, hi float64) float64 {
			return nest.Round(rapid.Float64Range(lo, hi).Draw(t, label))
		}
		r := remnant.Remnant{Format: remnant.Format, ID: "RM-ABCDEFGH", Fabric: "F", Face: remnant.FaceUp, Outline: nest.Ring{
			{at("x0", 0, 300), 0}, {at("x1", 500, 900), 0}, {900, at("y1", 200, 500)}, {at("x2", 500, 900), 700}, {at("x3", 0, 300), 700}, {0, at("y2", 200, 500)}}}
		rec := ask(woven, 4, rapid.SampledFrom([]float64{0, 30, 90}).Draw(t, "direction"))
		g := OfRemnant(&rec.Fabrics[0], r)
		l, _, err := Lay(context.Background(), rec, all(rec), g, pack.Settings{Effort: 1, NoPolish: rapid.Bool().Draw(t, "quick")})
		if err != nil {
			t.Fatal(err)
		}
		if l == nil {
			return
		}
		outline := polygon(r.Outline)
		for i := range l.Placed {
			over, err := sf.Difference(polygon(l.Placed[i].Outline), outline)
			if err != nil {
				t.Skip("the outside library gives up")
			}
			if a := over.Area(); a > 0.01 {
				t.Fatalf("%v mm² of a ply are no fabric", a)
			}
		}
	})
}

func polygon(r nest.Ring) sf.Geometry {
	var flat []float64
	for _, p := range append(r, r[0]) {
		flat = append(flat, p[0], p[1])
	}
	return sf.NewPolygon([]sf.LineString{sf.NewLineString(sf.NewSequence(flat, sf.DimXY))}).AsGeometry()
}
