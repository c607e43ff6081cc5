package compare

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

func run(name string, length float64, change func(*nest.Record)) Run {
	ring := nest.Ring{{0, 0}, {500, 0}, {500, 500}, {0, 500}}
	poly := nest.Polygon{Outline: ring, Holes: []nest.Ring{}}
	r := &nest.Record{Format: 1, Units: "mm",
		Fabrics: []shapes.Fabric{{Name: "CSM 450", Construction: shapes.Mat, Width: 1000, Faces: shapes.SameFaces}},
		Parts:   []nest.Part{{Part: "Spinner", Units: 1}},
		Shapes:  []nest.Shape{{ID: "S1", Name: "GORE", Net: poly, Cut: poly}},
		Demand: []nest.Demand{
			{Part: "Spinner", Unit: 1, Ply: "S01", Copy: 1, Fabric: "CSM 450", Shape: "S1"},
			{Part: "Spinner", Unit: 1, Ply: "S02", Copy: 1, Fabric: "CSM 450", Shape: "S1"}},
		FabricBounds: []nest.FabricBound{{Fabric: "CSM 450", Length: 500}},
		Layouts: []nest.Layout{{ID: "L1", Length: length, Width: 1000, Usable: [2]nest.Point{{0, 0}, {length, 1000}},
			Layers: []nest.Layer{{Layer: 1, Fabric: "CSM 450"}},
			Placed: []nest.Placed{
				{Part: "Spinner", Unit: 1, Ply: "S01", Copy: 1, Layer: 1, Fabric: "CSM 450", Outline: ring, DeviationDeg: -1},
				{Part: "Spinner", Unit: 1, Ply: "S02", Copy: 1, Layer: 1, Fabric: "CSM 450", Y: 500, TurnedOver: true,
					Outline: nest.Ring{{0, 500}, {500, 500}, {500, 1000}, {0, 1000}}, DeviationDeg: 3}}}}}
	if change != nil {
		change(r)
	}
	return Run{name, r}
}

func TestRuns(t *testing.T) {
	c, err := Runs([]Run{run("a", 500, nil), run("b", 625, func(r *nest.Record) {
		r.Layouts[0].Placed[0].X += 2
	})}, false)
	require.NoError(t, err)
	require.Len(t, c.Rows, 1)
	require.InDelta(t, 1.0, c.Rows[0].Figures[0].Books.NetYield(), 1e-9)
	require.InDelta(t, 0.8, c.Rows[0].Figures[1].Books.NetYield(), 1e-9)
	require.InDelta(t, 0.25, c.Total[1].Gap(), 1e-9)
	require.Equal(t, 1, c.Total[0].TurnedOver)
	require.InDelta(t, 2, c.Total[0].MeanDeviation, 1e-9)
	require.InDelta(t, 3, c.Total[0].LargestDeviation, 1e-9)
	require.Equal(t, []int{0, 1}, c.Moved)
}

func TestDifferentPliesAreRefused(t *testing.T) {
	for name, tt := range map[string]struct {
		change func(*nest.Record)
		says   string
	}{
		"missing":   {func(r *nest.Record) { r.Demand = r.Demand[:1] }, "Spinner, unit 1, ply S02, copy 1: in a, not in b"},
		"fabric":    {func(r *nest.Record) { r.Demand[0].Fabric = "CSM 300" }, `fabric "CSM 450" in a, "CSM 300" in b`},
		"direction": {func(r *nest.Record) { r.Demand[0].DirectionDeg = 45 }, "direction 0° in a, 45° in b"},
		"hand":      {func(r *nest.Record) { r.Demand[1].OppositeHand = true }, "of the other hand in b"},
		"outline":   {func(r *nest.Record) { r.Shapes[0].Net.Outline = nest.Ring{{0, 0}, {501, 0}, {500, 500}, {0, 500}} }, "another outline in b"},
	} {
		_, err := Runs([]Run{run("a", 500, nil), run("b", 500, tt.change)}, false)
		var d *DifferentPlies
		require.ErrorAs(t, err, &d, name)
		require.ErrorContains(t, err, tt.says, name)
	}
	c, err := Runs([]Run{run("a", 500, nil), run("b", 500, func(r *nest.Record) { r.Demand[0].DirectionDeg = 45 })}, true)
	require.NoError(t, err)
	require.Len(t, c.Differences, 1)
	_, err = Runs([]Run{run("a", 500, nil)}, false)
	require.ErrorContains(t, err, "at least two runs")
}
