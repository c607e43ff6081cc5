package summary

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/compare"
	"plyroom/shapes"
)

// sample lays two plies of 1 m² on two layouts of a roll 1 m wide, one 2 m and
// one 1.25 m long, at 2 EUR/m².
func sample() *nest.Record {
	ring := nest.Ring{{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}}
	poly := nest.Polygon{Outline: ring, Holes: []nest.Ring{}}
	r := &nest.Record{Format: 1, Units: "mm", Job: "Nacelle cover", Currency: "EUR",
		Fabrics: []shapes.Fabric{{Name: "CSM 450", Construction: shapes.Mat, Width: 1000, Faces: shapes.SameFaces,
			Price: &shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}}},
		Shapes:       []nest.Shape{{ID: "S1", Net: poly, Cut: poly}},
		FabricBounds: []nest.FabricBound{{Fabric: "CSM 450", Length: 2000}}}
	for i, length := range []float64{2000, 1250} {
		name := "U0" + strconv.Itoa(i+1)
		r.Demand = append(r.Demand, nest.Demand{Part: "=cover", Unit: 1, Ply: name, Copy: 1, Fabric: "CSM 450", Shape: "S1"})
		r.Layouts = append(r.Layouts, nest.Layout{ID: "L" + strconv.Itoa(i+1), Length: length, Width: 1000, BoundLength: 1000,
			Usable: [2]nest.Point{{0, 0}, {length, 1000}}, Layers: []nest.Layer{{Layer: 1, Fabric: "CSM 450", Roll: "R-1", Face: "up"}},
			Placed: []nest.Placed{{Part: "=cover", Unit: 1, Ply: name, Copy: 1, Layer: 1, Fabric: "CSM 450", Outline: ring, Holes: []nest.Ring{}}}})
	}
	return r
}

func TestLayoutsTable(t *testing.T) {
	rec := sample()
	led, err := account.Measure(rec)
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, Layouts(rec, led).WriteCSV(&out))
	rows, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4, "a head, a line per layout, a total")
	col := map[string]int{}
	for i, name := range rows[0] {
		col[name] = i
	}
	for name, want := range map[string][3]string{
		"length_mm":     {"2000.0", "1250.0", "3250.0"},
		"net_yield_pct": {"50.00", "80.00", "61.54"}, // 2 of 3.25 m²
		"drawn_mm2":     {"2000000", "1250000", "3250000"},
		"gaps_mm2":      {"1000000", "250000", "1250000"},
		"plies_net_mm2": {"1000000", "1000000", "2000000"},
		"cost":          {"4.00", "2.50", "6.50"},
	} {
		for i := range want {
			require.Equal(t, want[i], rows[i+1][col[name]], "%s, line %d", name, i+1)
		}
	}
	// Every line's classes add up to what was drawn.
	for _, row := range rows[1:] {
		sum := 0.0
		for _, c := range (account.Books{}).Classes() {
			v, err := strconv.ParseFloat(row[col[c.Key+"_mm2"]], 64)
			require.NoError(t, err)
			sum += v
		}
		drawn, err := strconv.ParseFloat(row[col["drawn_mm2"]], 64)
		require.NoError(t, err)
		require.InDelta(t, drawn, sum, 6)
	}
}

// Layouts of several fabrics are counted for each of them; where there are any, it is
// said.
func TestRepeats(t *testing.T) {
	rec := sample()
	led, err := account.Measure(rec)
	require.NoError(t, err)
	require.Zero(t, led.Repeats())
	require.Empty(t, Repeats(led))
	mat := rec.Fabrics[0]
	mat.Name = "WR 600"
	rec.Fabrics = append(rec.Fabrics, mat)
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		l.Layers = append(l.Layers, nest.Layer{Layer: 2, Fabric: "WR 600", Roll: "R-2", Face: "up"})
	}
	led, err = account.Measure(rec)
	require.NoError(t, err)
	require.Equal(t, 2, led.Repeats())
	require.Equal(t, 2, led.Total.Layouts)
	require.Contains(t, Repeats(led), "once in the total")
}

func TestVerdictNamesTheShorterRun(t *testing.T) {
	long, short := sample(), sample()
	short.Layouts[0].Length = 1500
	short.Layouts[0].Usable[1][0] = 1500
	c, err := compare.Runs([]compare.Run{{Name: "a", Record: long}, {Name: "b", Record: short}}, false)
	require.NoError(t, err)
	require.Equal(t, "b", c.Runs[1].Name)
	require.Less(t, c.Total[1].Cost, c.Total[0].Cost)
}

// What dividing plies saves stands in metres and in m², laps beside it.
func TestDivisionsTable(t *testing.T) {
	rec := sample()
	require.Nil(t, Divisions(rec))
	rec.Divisions = []nest.Division{
		{Fabric: "CSM 450", WholeLength: 3046, WholeDrawn: 3.86842e6, Length: 2043, Drawn: 2.59461e6,
			Plies: []nest.DividedPly{{Part: "Shell", Ply: "U01", Panels: 2, Pieces: 3, LapArea: 50000}, {Part: "Shell", Ply: "U02", Panels: 3, Pieces: 1}}},
		{Fabric: "WR 600", WholeLength: 900, Length: 2000, Homeless: 2, Plies: []nest.DividedPly{{Part: "Lid", Ply: "H", Panels: 2}}},
	}
	var out bytes.Buffer
	require.NoError(t, Divisions(rec).WriteCSV(&out))
	rows, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"CSM 450", "Shell U01 in 2; Shell U02 in 3", "3.05", "2.04", "1.00", "1.27", "0.05"}, rows[1])
	require.Equal(t, []string{"WR 600", "Lid H in 2 (else 2 find no room)", "0.90", "2.00", "", "", "0.00"}, rows[2])
}
