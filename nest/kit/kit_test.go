package kit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// Worked case 3 (arithmetic, D; fibre contents after ISO 12215-5, M).
func TestEightPlies(t *testing.T) {
	kits, err := kit.Build(eightPlies())
	require.NoError(t, err)
	require.Len(t, kits, 1)
	k := kits[0]
	assert.Equal(t, "unit 1 of 1", k.Serial())
	assert.InDelta(t, 3.750, k.Totals.Fibre, 1e-9)
	assert.InDelta(t, 6.450, k.Totals.Resin, 1e-9)
	assert.InDelta(t, 10.200, k.Totals.Mass, 1e-9)
	assert.InDelta(t, 6.84, k.Totals.Thickness, 0.005)
	thick := []float64{0.701, 1.051, 0.776, 1.051, 0.734, 1.051, 0.776, 0.701}
	mass := []float64{1.00, 1.50, 1.25, 1.50, 1.20, 1.50, 1.25, 1.00}
	for i, l := range k.Lines {
		assert.Equal(t, i+1, l.Number)
		assert.InDelta(t, thick[i], l.Laminate.Thickness, 0.0005, "thickness of ply %d", i+1)
		assert.InDelta(t, mass[i], l.Laminate.Mass, 1e-9, "mass of ply %d", i+1)
	}
	assert.Nil(t, k.Plan, "no laminator's figures, no plan")
}

// Trade facts, Laminate: thickness and resin per square metre (D from M).
func TestLaminatePerSquareMetre(t *testing.T) {
	for _, c := range []struct {
		name             string
		w, psi           float64
		resin, thickness float64
	}{
		{"CSM 300", 300, 0.30, 0.70, 0.701},
		{"CSM 450", 450, 0.30, 1.05, 1.051},
		{"CSM 600", 600, 0.30, 1.40, 1.401},
		{"WR 600", 600, 0.48, 0.650, 0.776},
		{"WR 800", 800, 0.48, 0.867, 1.035},
		{"multiaxial 600", 600, 0.50, 0.600, 0.734},
	} {
		f := fabric(c.name, shapes.Plain, c.w, c.psi)
		m := kit.LaminateOf(1e6, &f, 0)
		assert.InDelta(t, c.resin, m.Resin, 0.0005, c.name)
		assert.InDelta(t, c.thickness, m.Thickness, 0.0005, c.name)
		// The closed form for glass and polyester (M).
		assert.InDelta(t, c.w/1000/3.072*(2.56/c.psi-1.36), m.Thickness, 1e-12, c.name)
	}
}

// Resin per mass of fibre: 30 % 2.333, 45 % 1.222 (definition, D).
func TestResinPerFibre(t *testing.T) {
	for psi, want := range map[float64]float64{0.30: 2.333, 0.45: 1.222} {
		f := fabric("x", shapes.Mat, 1000, psi)
		assert.InDelta(t, want, kit.LaminateOf(1e6, &f, 0).Resin, 0.0005)
	}
}

// Carbon of 1.80 in epoxy of 1.15 g/cm³, 200 g/m², ψ 0.60: fibre
// 0.2/1.80 = 0.1111 mm, resin 0.2·0.4/0.6 = 0.13333 kg/m², /1.15 = 0.11594
// mm; together 0.22705 mm (D; densities C).
func TestOtherFibreAndResin(t *testing.T) {
	f := fabric("carbon", shapes.Twill, 200, 0.60)
	f.FibreDensity = 1.80
	m := kit.LaminateOf(1e6, &f, 1.15)
	assert.InDelta(t, 0.22705, m.Thickness, 0.00001)
	assert.InDelta(t, 0.13333, m.Resin, 0.00001)
}

func TestNoFibreNoLaminate(t *testing.T) {
	f := shapes.Fabric{Name: "Peel ply", Construction: shapes.Film}
	assert.Nil(t, kit.LaminateOf(1e6, &f, 0))
	unknown := fabric("dry", shapes.Mat, 450, 0)
	m := kit.LaminateOf(1e6, &unknown, 0)
	assert.Equal(t, kit.Laminate{Fibre: 0.45, Mass: 0.45}, *m)
}

// Worked case 2: a pair from one outline (D).
func TestPair(t *testing.T) {
	tri := nest.Polygon{Outline: nest.Ring{{0, 0}, {600, 0}, {0, 300}}}
	r := &nest.Record{
		Job: "Pair", Fabrics: []shapes.Fabric{fabric("UD 300", shapes.Unidirectional, 300, 0.55)},
		Parts:  []nest.Part{{Part: "Rib", Units: 1}},
		Shapes: []nest.Shape{{ID: "S1", Name: "TRI", Net: tri, Cut: tri}},
		Demand: []nest.Demand{
			{Part: "Rib", Unit: 1, Order: 1, Ply: "A", Copy: 1, Fabric: "UD 300", Shape: "S1", DirectionDeg: 30},
			{Part: "Rib", Unit: 1, Order: 1, Ply: "A", Copy: 2, Fabric: "UD 300", Shape: "S1", DirectionDeg: 30, OppositeHand: true},
		},
	}
	oneEach(r)
	kits, err := kit.Build(r)
	require.NoError(t, err)
	k := kits[0]
	assert.InDelta(t, 180_000, k.Totals.NetArea, 1e-6)
	assert.InDelta(t, 0.054, k.Totals.Fibre, 1e-12)
	assert.InDelta(t, 0.04418, k.Totals.Resin, 0.000005)
	a, b := k.Lines[0], k.Lines[1]
	assert.Equal(t, 30.0, a.AskedDeg)
	assert.Equal(t, -30.0, b.AskedDeg)
	assert.Equal(t, kit.AsDrawn, a.Hand())
	assert.Equal(t, kit.OppositeHand, b.Hand())
	assert.Equal(t, kit.Size{X: 600, Y: 300}, a.Net)
	assert.Equal(t, kit.Packing{NoFold: true}, a.Packing)
	assert.Equal(t, "flat, no fold across the fibre", a.Packing.String())
	// Both share an order, so they lie side by side.
	assert.InDelta(t, a.Laminate.Thickness, k.Totals.Thickness, 1e-12)
}

// Worked case 1: the stack [45/-45] at 45, face up and turned (D).
func TestFibresAsLaid(t *testing.T) {
	bx := fabric("BX 600", shapes.Biaxial, 600, 0.5)
	bx.Layers = []shapes.FabricLayer{{Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}}
	tx := fabric("TX", shapes.Triaxial, 900, 0.5)
	tx.Layers = []shapes.FabricLayer{{Angle: 0, Mass: 300}, {Angle: 45, Mass: 200}, {Angle: -45, Mass: 400}}
	wr := fabric("WR", shapes.Plain, 600, 0.48)
	ud := fabric("UD", shapes.Unidirectional, 300, 0.55)
	mat := fabric("CSM", shapes.Mat, 450, 0.3)
	for _, c := range []struct {
		name   string
		f      shapes.Fabric
		laid   float64
		turned bool
		face   string
		want   []shapes.FabricLayer
	}{
		{"face up", bx, 45, false, "up", []shapes.FabricLayer{{Angle: 90, Mass: 300}, {Angle: 0, Mass: 300}}},
		{"turned", bx, 45, true, "up", []shapes.FabricLayer{{Angle: 90, Mass: 300}, {Angle: 0, Mass: 300}}},
		{"triaxial turned", tx, 0, true, "up", []shapes.FabricLayer{{Angle: 45, Mass: 400}, {Angle: -45, Mass: 200}, {Angle: 0, Mass: 300}}},
		{"triaxial on a roll face down", tx, 0, false, "down", []shapes.FabricLayer{{Angle: 45, Mass: 400}, {Angle: -45, Mass: 200}, {Angle: 0, Mass: 300}}},
		{"triaxial turned from a roll face down", tx, 0, true, "down", tx.Layers},
		{"weave", wr, 45, false, "up", []shapes.FabricLayer{{Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}}},
		{"unidirectional", ud, -30, false, "up", []shapes.FabricLayer{{Angle: -30, Mass: 300}}},
		{"mat", mat, 12, false, "up", nil},
	} {
		r := &nest.Record{
			Fabrics: []shapes.Fabric{c.f}, Parts: []nest.Part{{Part: "P", Units: 1}},
			Shapes: []nest.Shape{{ID: "S", Net: rect(10, 10), Cut: rect(10, 10)}},
			Demand: []nest.Demand{{Part: "P", Unit: 1, Order: 1, Ply: "A", Copy: 1, Fabric: c.f.Name, Shape: "S", DirectionDeg: c.laid}},
		}
		oneEach(r)
		r.Layouts[0].Layers[0].Face = c.face
		r.Layouts[0].Placed[0].TurnedOver = c.turned
		kits, err := kit.Build(r)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, kits[0].Lines[0].Fibres, c.name)
		want := kit.FaceUp
		if c.turned {
			want = kit.TurnOver
		}
		assert.Equal(t, want, kits[0].Lines[0].Face(), c.name)
	}
}

// Masses are those of the ply as cut; both sizes and areas are kept.
func TestTrimCounts(t *testing.T) {
	r := eightPlies()
	r.Shapes[0].Cut = nest.Polygon{Outline: nest.Ring{{-10, -10}, {1010, -10}, {1010, 1010}, {-10, 1010}}}
	kits, err := kit.Build(r)
	require.NoError(t, err)
	l := kits[0].Lines[0]
	assert.Equal(t, kit.Size{X: 1000, Y: 1000}, l.Net)
	assert.Equal(t, kit.Size{X: 1020, Y: 1020}, l.Cut)
	assert.InDelta(t, 1.0, l.NetArea/1e6, 1e-12)
	assert.InDelta(t, 1.0404, l.CutArea/1e6, 1e-12)
	assert.InDelta(t, 0.3*1.0404, l.Laminate.Fibre, 1e-12)
}

func TestBags(t *testing.T) {
	r := eightPlies()
	for i, b := range []string{"Skin", "Skin", "Core", "Skin", "", "Core", "", "Skin"} {
		r.Demand[i].Bag = b
	}
	kits, err := kit.Build(r)
	require.NoError(t, err)
	bags := kits[0].Bags
	require.Len(t, bags, 3)
	assert.Equal(t, "Skin", bags[0].Name)
	assert.Equal(t, []int{0, 1, 3, 7}, bags[0].Lines)
	assert.Equal(t, 1, bags[0].First)
	assert.Equal(t, 8, bags[0].Last)
	assert.Equal(t, []int{1, 2, 4, 8}, bags[0].Orders)
	assert.Equal(t, 4, bags[0].Pieces)
	assert.InDelta(t, 0.3+0.45+0.45+0.3, bags[0].Fibre, 1e-12)
	assert.Equal(t, "", bags[2].Name)
	assert.Equal(t, []string{"Skin", "3"}, []string{bags[0].Label(), bags[2].Label()})
	assert.Equal(t, []string{"Skin", "3"}, []string{kits[0].Lines[0].BagLabel(), kits[0].Lines[4].BagLabel()})
	assert.Equal(t, 3, kits[0].Lines[4].Bag)
}

// A bag without a name is not mistaken for one that is named as its number.
func TestBagNamedAsANumber(t *testing.T) {
	r := eightPlies()
	for i := range 4 {
		r.Demand[i].Bag = "2"
	}
	kits, err := kit.Build(r)
	require.NoError(t, err)
	k := kits[0]
	assert.Equal(t, []string{"2", "2 (no name)"}, []string{k.Bags[0].Label(), k.Bags[1].Label()})
	assert.Equal(t, []string{"2", "2 (no name)"}, []string{k.Lines[0].BagLabel(), k.Lines[7].BagLabel()})
}

func TestRuns(t *testing.T) {
	for want, in := range map[string][]int{"": nil, "4": {4}, "4, 5": {4, 5}, "8–10, 16": {8, 9, 10, 16}, "1, 3, 5–7": {1, 3, 5, 6, 7}} {
		assert.Equal(t, want, kit.Runs(in))
	}
}
