package buy

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/shapes"
)

// A fabric 1.25 m wide of 600 g/m²: a metre is 1.25 m² and 0.75 kg, a roll of
// 50 m is 37.5 kg.
func roving(b shapes.Buying, price shapes.Price) *shapes.Fabric {
	return &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, ArealMass: 600, Width: 1250, DeliveryLength: 50_000, Price: &price, Buying: &b}
}

func TestOrder(t *testing.T) {
	perMetre := func(v float64) shapes.Price { return shapes.Price{Amount: v, Per: shapes.PerMetre} }
	perRoll := func(v float64) shapes.Price { return shapes.Price{Amount: v, Per: shapes.PerRoll} }
	perKilo := func(v float64) shapes.Price { return shapes.Price{Amount: v, Per: shapes.PerKilogram} }
	for _, tt := range []struct {
		name   string
		b      shapes.Buying
		price  shapes.Price
		short  float64 // m
		amount float64
		metres float64
		cost   float64
		min    bool
		brk    bool
	}{
		{"metres as needed", shapes.Buying{Unit: shapes.PerMetre}, perMetre(3), 12.34, 12.34, 12.34, 37.02, false, false},
		{"whole metres", shapes.Buying{Unit: shapes.PerMetre, Step: 1}, perMetre(3), 12.34, 13, 13, 39, false, false},
		{"no step for rounding", shapes.Buying{Unit: shapes.PerMetre, Step: 1}, perMetre(3), 12 + 1e-10, 12, 12, 36, false, false},
		{"whole rolls", shapes.Buying{Unit: shapes.PerRoll, Step: 1}, perRoll(140), 51, 2, 100, 280, false, false},
		{"exactly a roll", shapes.Buying{Unit: shapes.PerRoll, Step: 1}, perRoll(140), 50, 1, 50, 140, false, false},
		{"pallets of six rolls", shapes.Buying{Unit: shapes.PerRoll, Step: 6}, perRoll(140), 51, 6, 300, 840, false, false},
		// 20 m are 15 kg; in steps of 10, 20 kg, which are 26.667 m.
		{"kilograms", shapes.Buying{Unit: shapes.PerKilogram, Step: 10}, perKilo(4), 20, 20, 80.0 / 3, 80, false, false},
		{"square metres", shapes.Buying{Unit: shapes.PerSquareMetre}, shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}, 20, 25, 20, 50, false, false},
		{"least order", shapes.Buying{Unit: shapes.PerRoll, Step: 1, Minimum: 3}, perRoll(140), 51, 3, 150, 420, true, false},
		// 8 rolls at 140 are 1120; 10 at 100 are 1000.
		{"up to the break", shapes.Buying{Unit: shapes.PerRoll, Step: 1, Breaks: []shapes.PriceBreak{{From: 10, Price: perRoll(100)}}}, perRoll(140), 399, 10, 500, 1000, false, true},
		// 7 at 140 are 980, less than 1000.
		{"not up to the break", shapes.Buying{Unit: shapes.PerRoll, Step: 1, Breaks: []shapes.PriceBreak{{From: 10, Price: perRoll(100)}}}, perRoll(140), 349, 7, 350, 980, false, false},
		{"beyond the break", shapes.Buying{Unit: shapes.PerRoll, Step: 1, Breaks: []shapes.PriceBreak{{From: 2, Price: perRoll(130)}, {From: 10, Price: perRoll(100)}}}, perRoll(140), 549, 11, 550, 1100, false, false},
		{"the break below", shapes.Buying{Unit: shapes.PerRoll, Step: 1, Breaks: []shapes.PriceBreak{{From: 2, Price: perRoll(130)}, {From: 10, Price: perRoll(100)}}}, perRoll(140), 120, 3, 150, 390, false, false},
		// Sold by the roll, priced by mass: 2 rolls are 75 kg.
		{"priced otherwise than sold", shapes.Buying{Unit: shapes.PerRoll, Step: 1}, perKilo(4), 51, 2, 100, 300, false, false},
		{"nothing short", shapes.Buying{Unit: shapes.PerRoll, Step: 1, Minimum: 3}, perRoll(140), 0, 0, 0, 0, false, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := order(roving(tt.b, tt.price), tt.short*1e3)
			require.InDelta(t, tt.amount, p.Amount, 1e-6)
			require.InDelta(t, tt.metres, p.Length/1e3, 1e-6)
			require.InDelta(t, tt.cost, p.Cost, 1e-6)
			require.True(t, p.Priced)
			require.Equal(t, []bool{tt.min, tt.brk}, []bool{p.ToMinimum, p.ToBreak})
		})
	}
	f := roving(shapes.Buying{Unit: shapes.PerRoll, Step: 1}, perRoll(1))
	f.Price = nil
	p := order(f, 51_000)
	require.Equal(t, 2.0, p.Amount)
	require.False(t, p.Priced)
}

// An order covers what is short, in whole steps, is no smaller than the least
// order, and no order of a step more costs less than the one chosen unless it
// is no break.
func TestOrderCovers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := shapes.Buying{
			Unit:    rapid.SampledFrom([]shapes.PriceUnit{shapes.PerRoll, shapes.PerMetre, shapes.PerKilogram, shapes.PerSquareMetre}).Draw(t, "unit"),
			Step:    rapid.SampledFrom([]float64{0.5, 1, 6}).Draw(t, "step"),
			Minimum: rapid.SampledFrom([]float64{0, 3, 25}).Draw(t, "minimum"),
		}
		price := 10.0
		for from := 4.0; from < 40 && rapid.Bool().Draw(t, "more"); from += 7 {
			price *= 0.9
			b.Breaks = append(b.Breaks, shapes.PriceBreak{From: from, Price: shapes.Price{Amount: price, Per: b.Unit}})
		}
		f := roving(b, shapes.Price{Amount: 10, Per: b.Unit})
		short := rapid.Float64Range(0.1, 500).Draw(t, "short m") * 1e3
		p := order(f, short)
		if p.Length < short-1e-3 || p.Amount < b.Minimum {
			t.Fatalf("%v of %v mm bought", p, short)
		}
		if r := p.Amount / b.Step; r-float64(int(r+0.5)) > 1e-6 || float64(int(r+0.5))-r > 1e-6 {
			t.Fatalf("%v is no whole number of steps of %v", p.Amount, b.Step)
		}
		for k := 1.0; k < 60; k++ {
			more := p.Amount + k*b.Step
			q := order(f, more/amountOf(f, b.Unit, 1))
			if q.Amount <= more+1e-9 && q.Cost < p.Cost-1e-9 {
				t.Fatalf("%v costs %v, %v only %v", p.Amount, p.Cost, q.Amount, q.Cost)
			}
		}
	})
}
