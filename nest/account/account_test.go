package account

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/shapes"
)

func rect(x0, y0, x1, y1 float64) nest.Ring {
	return nest.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

func clockwise(r nest.Ring) nest.Ring {
	out := make(nest.Ring, len(r))
	for i, p := range r {
		out[len(r)-1-i] = p
	}
	return out
}

// add places a ply whose net shape is the placed one.
func add(r *nest.Record, l *nest.Layout, ply string, layer int, fabric string, outline nest.Ring, holes ...nest.Ring) {
	if holes == nil {
		holes = []nest.Ring{}
	}
	id := "S-" + ply
	poly := nest.Polygon{Outline: outline, Holes: holes}
	r.Shapes = append(r.Shapes, nest.Shape{ID: id, Net: poly, Cut: poly})
	r.Demand = append(r.Demand, nest.Demand{Part: "P", Unit: 1, Ply: ply, Copy: 1, Fabric: fabric, Shape: id})
	l.Placed = append(l.Placed, nest.Placed{Part: "P", Unit: 1, Ply: ply, Copy: 1, Layer: layer,
		Fabric: fabric, Outline: outline, Holes: holes})
}

// A spread, worked by hand: mat 1270 wide with a selvedge of 15 under woven
// roving 1250 wide with 25, lower edges aligned, two rectangles 1000 × 590 at a
// gap of 3, ends of 20. All figures in mm².
//
//	usable strip y 25 to 1225, 1200 across; length 20+1000+20 = 1040
//	plies 2·1000·590 = 1,180,000; inside 1000·1200 = 1,200,000, so gaps 20,000
//	ends 40·1200 = 48,000
//	mat    drawn 1270·1040 = 1,320,800; selvedge 30·1040 = 31,200;
//	       mismatch (1240-1200)·1040 = 41,600
//	woven  drawn 1250·1040 = 1,300,000; selvedge 50·1040 = 52,000; mismatch 0
func TestSpread(t *testing.T) {
	r := &nest.Record{Fabrics: []shapes.Fabric{
		{Name: "CSM 450", Construction: shapes.Mat, Width: 1270, Selvedge: 15, ArealMass: 450},
		{Name: "WR 600", Construction: shapes.Plain, Width: 1250, Selvedge: 25, ArealMass: 600},
	}}
	l := nest.Layout{ID: "L1", Length: 1040, Width: 1270, Usable: [2]nest.Point{{20, 25}, {1020, 1225}},
		Layers: []nest.Layer{{Layer: 1, Fabric: "CSM 450"}, {Layer: 2, Fabric: "WR 600"}}}
	for i, f := range []string{"CSM 450", "WR 600"} {
		add(r, &l, "A-"+f, i+1, f, rect(20, 25, 1020, 615))
		add(r, &l, "B-"+f, i+1, f, rect(20, 618, 1020, 1208))
	}
	r.Layouts = []nest.Layout{l}

	mat, err := Layer(r, &r.Layouts[0], 0)
	require.NoError(t, err)
	require.InDelta(t, 1_320_800, mat.Drawn, 1e-3)
	require.InDelta(t, 1_180_000, mat.PliesNet, 1e-3)
	require.InDelta(t, 20_000, mat.Gaps, 1e-3)
	require.InDelta(t, 48_000, mat.EndAllowance, 1e-3)
	require.InDelta(t, 31_200, mat.Selvedge, 1e-3)
	require.InDelta(t, 41_600, mat.Mismatch, 1e-3)
	require.InDelta(t, 0, mat.Imbalance(), 1e-3)
	require.InDelta(t, 0.8934, mat.NetYield(), 5e-5)

	woven, err := Layer(r, &r.Layouts[0], 1)
	require.NoError(t, err)
	require.InDelta(t, 1_300_000, woven.Drawn, 1e-3)
	require.InDelta(t, 52_000, woven.Selvedge, 1e-3)
	require.InDelta(t, 0, woven.Mismatch, 1e-3)
	require.InDelta(t, 0, woven.Imbalance(), 1e-3)
	require.InDelta(t, 0.9077, woven.NetYield(), 5e-5)
}

// Plies inside cut-outs inside cut-outs: every square millimetre still counts
// once.
//
//	outer 400×400 with a cut-out 300×300; inside it a ply 200×200 with a
//	cut-out 100×100; inside that a ply 50×50; usable 400×400
//	plies 70,000 + 30,000 + 2,500; drop-outs 90,000-40,000 + 10,000-2,500
func TestPliesInsideCutOuts(t *testing.T) {
	r := &nest.Record{Fabrics: []shapes.Fabric{{Name: "F", Construction: shapes.Mat, Width: 400}}}
	l := nest.Layout{ID: "L1", Length: 400, Width: 400, Usable: [2]nest.Point{{0, 0}, {400, 400}},
		Layers: []nest.Layer{{Layer: 1, Fabric: "F"}}}
	add(r, &l, "outer", 1, "F", rect(0, 0, 400, 400), clockwise(rect(50, 50, 350, 350)))
	add(r, &l, "middle", 1, "F", rect(100, 100, 300, 300), clockwise(rect(150, 150, 250, 250)))
	add(r, &l, "inner", 1, "F", rect(175, 175, 225, 225))
	b, err := Layer(r, &l, 0)
	require.NoError(t, err)
	require.InDelta(t, 102_500, b.PliesNet, 1e-6)
	require.InDelta(t, 57_500, b.DropOuts, 1e-3)
	require.InDelta(t, 0, b.Gaps, 1e-3)
	require.InDelta(t, 0, b.Imbalance(), 1e-3)
}

func TestFlawsRollEndAndTrim(t *testing.T) {
	r := &nest.Record{Fabrics: []shapes.Fabric{{Name: "F", Construction: shapes.Mat, Width: 1000, Selvedge: 50,
		ArealMass: 500, Price: &shapes.Price{Amount: 2, Per: shapes.PerKilogram}}}}
	l := nest.Layout{ID: "L1", Length: 1000, Width: 1000, Usable: [2]nest.Point{{10, 50}, {990, 950}},
		Layers: []nest.Layer{{Layer: 1, Fabric: "F"}}, RollEnd: 300,
		Flaws: []nest.Flaw{{From: 500, To: 560}, {From: 0, To: 30}, {From: 540, To: 600}}}
	add(r, &l, "A", 1, "F", rect(100, 100, 200, 200))
	r.Shapes[0].Net.Outline = rect(0, 0, 90, 90)
	r.Layouts = []nest.Layout{l}
	led, err := Measure(r)
	require.NoError(t, err)
	b := led.Total.Books
	require.InDelta(t, 1_300_000, b.Drawn, 1e-6)
	require.InDelta(t, 8_100, b.PliesNet, 1e-6)
	require.InDelta(t, 1_900, b.Trim, 1e-6)
	require.InDelta(t, 20*900+100*900, b.Flaws, 1e-6)
	require.InDelta(t, 300_000, b.RollEnd, 1e-6)
	require.InDelta(t, 0, b.Imbalance(), 1e-3)
	require.InDelta(t, 1300, led.Total.Length, 1e-9)
	require.True(t, led.Total.Priced)
	require.InDelta(t, 1.3*0.5*2, led.Total.Cost, 1e-9) // 1.3 m², 0.5 kg/m², 2 a kilogram
}

// An overlap or a ply outside the usable area must show as an imbalance.
func TestImbalanceShows(t *testing.T) {
	base := func(second nest.Ring) float64 {
		r := &nest.Record{Fabrics: []shapes.Fabric{{Name: "F", Construction: shapes.Mat, Width: 400}}}
		l := nest.Layout{ID: "L1", Length: 400, Width: 400, Usable: [2]nest.Point{{0, 0}, {400, 400}},
			Layers: []nest.Layer{{Layer: 1, Fabric: "F"}}}
		add(r, &l, "A", 1, "F", rect(0, 0, 100, 100))
		add(r, &l, "B", 1, "F", second)
		b, err := Layer(r, &l, 0)
		require.NoError(t, err)
		return b.Imbalance()
	}
	require.InDelta(t, 0, base(rect(100, 0, 200, 100)), 1e-3)
	require.InDelta(t, -100, base(rect(99, 0, 199, 100)), 1e-3)
	require.InDelta(t, -500, base(rect(305, 0, 405, 100)), 1e-3)
}

func TestCost(t *testing.T) {
	f := &shapes.Fabric{Width: 1000, ArealMass: 300, DeliveryLength: 50_000}
	for per, want := range map[shapes.PriceUnit]float64{
		shapes.PerSquareMetre: 2 * 10, // 10 m²
		shapes.PerKilogram:    2 * 3,  // 10 m² of 300 g/m²
		shapes.PerMetre:       2 * 10, // 10 m
		shapes.PerRoll:        2 * 0.2,
	} {
		f.Price = &shapes.Price{Amount: 2, Per: per}
		got, ok := Cost(f, 10_000, 10e6)
		require.True(t, ok, per)
		require.InDelta(t, want, got, 1e-9, per)
	}
	f.Price, f.DeliveryLength = &shapes.Price{Amount: 2, Per: shapes.PerRoll}, 0
	_, ok := Cost(f, 10_000, 10e6)
	require.False(t, ok)
	f.Price = nil
	_, ok = Cost(f, 10_000, 10e6)
	require.False(t, ok)
}

// Random slicing layouts at odd angles and places balance to far below 1 mm².
func TestBooksBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &nest.Record{Fabrics: []shapes.Fabric{{Name: "F", Construction: shapes.Mat, Width: 1300, Selvedge: 20}}}
		length := nest.Round(rapid.Float64Range(500, 40_000).Draw(t, "length"))
		l := nest.Layout{ID: "L1", Length: length, Width: 1300, Usable: [2]nest.Point{{20, 20}, {nest.Round(length - 20), 1280}},
			Layers: []nest.Layer{{Layer: 1, Fabric: "F"}}}
		names := []string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "l"}
		x := 20.0
		for _, n := range names {
			w := rapid.Float64Range(1, (length-40)/13).Draw(t, "w")
			// A triangle, so that edges run at any angle.
			tip := rapid.Float64Range(0, w).Draw(t, "tip")
			add(r, &l, n, 1, "F", nest.Ring{
				{nest.Round(x), 20}, {nest.Round(x + w), 20}, {nest.Round(x + tip), nest.Round(rapid.Float64Range(21, 1280).Draw(t, "h"))}})
			x += w
		}
		b, err := Layer(r, &l, 0)
		if err != nil {
			t.Fatal(err)
		}
		if off := b.Imbalance(); off > 1e-2 || off < -1e-2 {
			t.Fatalf("books off by %v mm²: %+v", off, b)
		}
	})
}
