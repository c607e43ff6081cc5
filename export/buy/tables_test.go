package buy

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/buy"
	"plyroom/shapes"
)

func list() *buy.List {
	return &buy.List{Job: "Cover", Currency: "EUR", Units: []nest.Part{{Part: "Shell", Units: 40}}, Batches: []int{4, 8, 12}, AllPriced: true,
		Fabrics: []buy.Line{
			{Fabric: "WR 600", Plies: 80, Need: 54.7, Error: 0.9, Short: 60, Amount: 3, Unit: shapes.PerRoll, Buy: 90, Priced: true, BuyCost: 300, ToBreak: true, LeadTime: 5, OrderBy: "2026-12-15"},
			{Fabric: "=1+1", Need: 2, Short: 1, Amount: 17.5, Unit: shapes.PerKilogram, LeadTime: 5, ToMinimum: true},
			{Fabric: "CSM 450", Need: 2, Unit: shapes.PerMetre}},
		Draws:  []buy.Draw{{Fabric: "WR 600", Source: buy.FromRoll, Name: "R-1", Lot: "A", Free: 4, Take: 4}, {Fabric: "WR 600", Source: buy.FromOrder, Name: "PO-2", Refused: "comes too late"}},
		Groups: []buy.Group{{Sets: 1, Times: 40, Metres: 75, Area: 80, Cost: 220, Priced: true}, {Sets: 40, Times: 1, Metres: 66, Area: 70, Cost: 190, Priced: true, SavesMetres: 9, SavesArea: 10, SavesCost: 30}},
		Widths: []buy.Width{{Line: buy.Line{Fabric: "WR 600", Width: 1270, Need: 50, Priced: true, BuyCost: 280, Amount: 1, Unit: shapes.PerRoll}, Least: true}, {Line: buy.Line{Fabric: "WR 600", Width: 400}, Cannot: "too wide\nfor it"}},
	}
}

func TestText(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteText(&b, list()))
	for _, s := range []string{"40 × Shell", "3 rolls", "up to a price break; order by 2026-12-15", "17.5 kg", "smallest order; comes 5 days after the order",
		"estimated from nests of 4, 8 and 12 units", "comes too late", "12.5", "costs least", "cannot be laid: too wide", "to buy 0.00 EUR"} {
		require.Contains(t, b.String(), s)
	}
}

func TestFiles(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Fabrics(list()).WriteCSV(&b))
	require.Contains(t, b.String(), "\n'=1+1,", "no name starts a formula")
	require.Contains(t, b.String(), ",3.000,roll,3 rolls,90.00,")
	b.Reset()
	require.NoError(t, WriteXLSX(&b, list()))
	require.NotZero(t, b.Len())
}
