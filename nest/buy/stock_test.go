package buy

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

func onRack() *shapes.Fabric {
	return &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, ArealMass: 600, Width: 1250, DeliveryLength: 50_000,
		Price: &shapes.Price{Amount: 100, Per: shapes.PerRoll},
		Rolls: []shapes.Roll{
			{Name: "R4", Lot: "D", Length: 30_000},
			{Name: "R3", Lot: "C", Length: 20_000, Received: "2026-05-01"},
			{Name: "R2", Lot: "B", Length: 10_000, Received: "2026-01-01", Reserved: 4_000, Flaws: []shapes.Span{{From: 0, To: 1_000}}},
			{Name: "R1", Lot: "A", Length: 10_000, Received: "2025-01-01", Expires: "2026-01-31"},
			{Name: "M1", Lot: "C", Length: 3_000, Received: "2026-05-01", Remnant: true},
			{Name: "M2", Lot: "C", Length: 3_000, Received: "2026-05-01", Remnant: true, Width: 800},
		},
		Buying: &shapes.Buying{Unit: shapes.PerRoll, Step: 1, LeadTime: 10, Orders: []shapes.OpenOrder{
			{Name: "PO-3", Length: 50_000},
			{Name: "PO-2", Length: 50_000, Due: "2026-12-20"},
			{Name: "PO-1", Length: 50_000, Reserved: 45_000, Due: "2026-12-01"},
		}},
	}
}

func taken(ds []Draw) map[string]float64 {
	out := map[string]float64{}
	for _, d := range ds {
		if d.Take > 0 {
			out[d.Name] = d.Take
		}
	}
	return out
}

// Remnants first, then the oldest lot, what is reserved and flawed left alone,
// expired and narrow rolls refused, unknown age last, then orders as they come.
func TestOldestLotFirst(t *testing.T) {
	f := onRack()
	ds := draws(f, 5_000, 1250, "2026-11-30", "")
	require.Equal(t, map[string]float64{"M1": 3, "R2": 2}, taken(ds))
	ds = draws(f, 40_000, 1250, "2026-11-30", "")
	require.Equal(t, map[string]float64{"M1": 3, "R2": 5, "R3": 20, "R4": 12}, taken(ds))
	// 3 + 5 + 20 + 30 from the rack, 5 from PO-1, 50 from PO-2, 7 from PO-3.
	ds = draws(f, 120_000, 1250, "2026-11-30", "")
	require.Equal(t, map[string]float64{"M1": 3, "R2": 5, "R3": 20, "R4": 30, "PO-1": 5, "PO-2": 50, "PO-3": 7}, taken(ds))
	// By the tenth only PO-1 has come for sure.
	ds = draws(f, 120_000, 1250, "2026-11-30", "2026-12-10")
	require.Equal(t, map[string]float64{"M1": 3, "R2": 5, "R3": 20, "R4": 30, "PO-1": 5}, taken(ds))
	refused := map[string]string{}
	for _, d := range ds {
		if d.Refused != "" {
			refused[d.Name] = d.Refused
		}
	}
	require.Equal(t, map[string]string{"R1": "expired on 2026-01-31", "M2": "too narrow", "PO-2": "comes too late", "PO-3": "no day of delivery known"}, refused)
	require.Equal(t, 10.0, taken(draws(f, 120_000, 1250, "", ""))["R1"], "without a date of the job nothing expires")
}

// Flaws are no stock, each stretch once, and none beyond the roll's end.
func TestSound(t *testing.T) {
	r := shapes.Roll{Length: 10_000, Flaws: []shapes.Span{{From: 9_500, To: 12_000}, {From: 1_000, To: 1_300}, {From: 1_200, To: 2_000}, {From: 1_100, To: 1_200}}}
	require.InDelta(t, 10_000-1_000-500, sound(&r), 1e-9)
	require.InDelta(t, 10_000, sound(&shapes.Roll{Length: 10_000}), 1e-9)
}

// By hand: need 70 m, allowance 10 % is 7; 63 m come from rack and order in
// time; 14 short are one roll of 50, so 36 are left.
func TestAgainstStock(t *testing.T) {
	n := Need{Fabric: "WR 600", Length: 70_000, Area: 70_000 * 1250, Net: 70_000 * 1000}
	l, ds := against(onRack(), n, nil, &shapes.Job{Date: "2026-11-30"}, Options{Allowance: 0.1, By: "2026-12-10"}, 1250)
	require.InDelta(t, 7, l.Allowance, 1e-9)
	require.InDelta(t, 75, l.Stock, 1e-9, "a metre of R2 is flawed")
	require.InDelta(t, 4, l.Reserved, 1e-9)
	require.InDelta(t, 5, l.OnOrder, 1e-9)
	require.InDelta(t, 14, l.Short, 1e-9)
	require.Equal(t, 1, l.Rolls)
	require.InDelta(t, 100, l.BuyCost, 1e-9)
	require.InDelta(t, 36, l.Left, 1e-9)
	require.Equal(t, shapes.Date("2026-11-30"), l.OrderBy)
	require.InDelta(t, 140, l.NeedCost, 1e-9) // 70 m of rolls of 50 m at 100
	require.InDelta(t, 52.5, l.Mass, 1e-9)    // 87.5 m² of 600 g/m²
	require.Len(t, ds, 9)
	// The error of an estimate is bought too, apart from the need.
	n.Error = 40_000
	l, _ = against(onRack(), n, nil, &shapes.Job{Date: "2026-11-30"}, Options{Allowance: 0.1, By: "2026-12-10"}, 1250)
	require.InDelta(t, 54, l.Short, 1e-9)
	require.Equal(t, 2, l.Rolls)
	require.InDelta(t, 70, l.Need, 1e-9)
}
