package buy

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

// One ply of 1 m² of each of two fabrics, laid on 2 m of a roll 1 m wide.
// Worked by hand, in the margin of each line.
func sample() (*shapes.Job, *nest.Record) {
	mat := &shapes.Fabric{Name: "CSM 450", Construction: shapes.Mat, Faces: shapes.SameFaces, ArealMass: 450, GlassContent: 0.30,
		FibreDensity: 2.56, Width: 1000, Price: &shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}, DeliveryLength: 1500,
		Rolls: []shapes.Roll{{Name: "R1", Length: 500}}}
	ply := &shapes.Fabric{Name: "PEEL 85", Construction: shapes.Film, Faces: shapes.SameFaces, Width: 1000}
	job := &shapes.Job{Fabrics: []*shapes.Fabric{mat, ply}, Parts: []*shapes.Part{{Name: "Upper shell", Units: 1}},
		Laminating: &shapes.Laminating{Resin: "vinyl ester", ResinDensity: 1.2, Waste: 0.2, ResinPrice: &shapes.Price{Amount: 4, Per: shapes.PerKilogram}}}
	ring := nest.Ring{{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}}
	poly := nest.Polygon{Outline: ring, Holes: []nest.Ring{}}
	rec := &nest.Record{Format: 1, Units: "mm", Job: "Nacelle cover", Revision: "A", Currency: "EUR",
		Fabrics: []shapes.Fabric{*mat, *ply}, Parts: []nest.Part{{Part: "Upper shell", Units: 1}},
		Shapes:     []nest.Shape{{ID: "S1", Name: "SKIN", Net: poly, Cut: poly}},
		Laminating: &shapes.Laminating{Resin: "vinyl ester", ResinDensity: 1.2, Waste: 0.2, ResinPrice: &shapes.Price{Amount: 4, Per: shapes.PerKilogram}},
	}
	rec.Fabrics[0].Rolls, rec.Fabrics[1].Rolls = nil, nil
	for i, f := range rec.Fabrics {
		name := []string{"U01", "U02"}[i]
		rec.Demand = append(rec.Demand, nest.Demand{Part: "Upper shell", Unit: 1, Order: i + 1, Ply: name, Copy: 1, Fabric: f.Name, Shape: "S1"})
		rec.Layouts = append(rec.Layouts, nest.Layout{ID: []string{"L1", "L2"}[i], Length: 2000, Width: 1000,
			Usable: [2]nest.Point{{0, 0}, {2000, 1000}}, Layers: []nest.Layer{{Layer: 1, Fabric: f.Name, Face: "up"}},
			Placed: []nest.Placed{{Part: "Upper shell", Unit: 1, Ply: name, Order: i + 1, Copy: 1, Layer: 1, Fabric: f.Name, Outline: ring, Holes: []nest.Ring{}}}})
	}
	return job, rec
}

func TestMake(t *testing.T) {
	job, rec := sample()
	needs, err := measured(rec, nil)
	require.NoError(t, err)
	l, err := Make(job, needs, Options{Allowance: 0.10})
	require.NoError(t, err)
	require.Len(t, l.Fabrics, 2)

	mat := l.Fabrics[0]
	require.InDelta(t, 2.0, mat.Need, 1e-12)
	require.InDelta(t, 0.2, mat.Allowance, 1e-12)
	require.InDelta(t, 2.0, mat.Area, 1e-12)
	require.InDelta(t, 0.9, mat.Mass, 1e-12)    // 2 m² of 450 g/m²
	require.InDelta(t, 0.5, mat.NetYield, 1e-9) // 1 of 2 m²
	require.InDelta(t, 0.5, mat.Stock, 1e-12)
	require.InDelta(t, 1.7, mat.Short, 1e-12) // 2.2 less 0.5
	require.Equal(t, 2, mat.Rolls)            // of 1.5 m
	require.InDelta(t, 3.0, mat.Buy, 1e-12)
	require.InDelta(t, 1.3, mat.Left, 1e-12) // 0.5 + 3.0 - 2.2
	require.InDelta(t, 4.0, mat.NeedCost, 1e-9)
	require.InDelta(t, 6.0, mat.BuyCost, 1e-9)
	require.True(t, mat.Priced)

	film := l.Fabrics[1]
	require.Zero(t, film.Mass)
	require.Zero(t, film.Rolls)
	require.InDelta(t, 2.2, film.Buy, 1e-12)
	require.False(t, film.Priced)

	// 450 g of glass at 30 %: resin 0.45·0.7/0.3 = 1.05 kg; a fifth of the mix
	// stays in pots, so 1.05/0.8 = 1.3125 kg are mixed, at 4 a kilogram.
	require.InDelta(t, 1.05, l.Resin, 1e-9)
	require.InDelta(t, 1.3125, l.ResinToMix, 1e-9)
	require.InDelta(t, 5.25, l.ResinCost, 1e-9)
	require.InDelta(t, 9.25, l.NeedCost, 1e-9)
	require.InDelta(t, 11.25, l.BuyCost, 1e-9)
	require.False(t, l.AllPriced)
}

func TestEnoughStockBuysNothing(t *testing.T) {
	job, rec := sample()
	job.Fabrics[0].Rolls[0].Length = 2000
	needs, err := measured(rec, nil)
	require.NoError(t, err)
	l, err := Make(job, needs, Options{})
	require.NoError(t, err)
	require.Zero(t, l.Fabrics[0].Short)
	require.Zero(t, l.Fabrics[0].Rolls)
	require.Zero(t, l.Fabrics[0].BuyCost)
	require.InDelta(t, 0, l.Fabrics[0].Left, 1e-12)
}

func TestAllowanceOutOfRange(t *testing.T) {
	job, rec := sample()
	for _, a := range []float64{-0.1, 1.1} {
		needs, err := measured(rec, nil)
		require.NoError(t, err)
		_, err = Make(job, needs, Options{Allowance: a})
		require.ErrorContains(t, err, "is no share from 0 to 1")
	}
}
