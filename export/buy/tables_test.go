package buy

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/table"
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

// The terminal says what spreads were chosen for and what they come to.
func TestSpreadWords(t *testing.T) {
	l := list()
	l.Batches = nil
	l.Spreading = &buy.Spreading{Policy: shapes.SpreadRecommended, FromJob: true, Layouts: 9, Spreads: 4, Compared: true, MoreMetres: 52, MoreArea: 60, MoreCost: 180, Priced: true, SavesMinutes: 41}
	require.Equal(t, "spreads: chosen by policy recommended, as the job says; 4 of 9 layouts of the plan are spreads; against cutting single, after short searches, "+
		"they take 52.00 m more of fabric (180.00 EUR more) and 41.00 min less of work; to buy less, set cutting.spread_policy: fabric", spreadWords(l))
	l.Batches = []int{4, 8, 12}
	l.Spreading = &buy.Spreading{Policy: shapes.SpreadFabric, Layouts: 9, Spreads: 4, Compared: true, Foretold: true, MoreMetres: -1.5, SavesMinutes: -2}
	require.Equal(t, "spreads: chosen by policy fabric, since the job names none; 4 of 9 layouts of the nest of 12 units are spreads; against cutting single, as foretold, "+
		"they take 1.50 m less of fabric and 2.00 min more of work", spreadWords(l))
	l.Spreading.Spreads = 0
	require.Equal(t, "spreads: chosen by policy fabric, since the job names none; every fabric is cut single", spreadWords(l))
	l.Spreading.Spreads, l.Spreading.Compared = 1, false
	require.NotContains(t, spreadWords(l), "against")
	var b bytes.Buffer
	require.NoError(t, WriteText(&b, l))
	require.Contains(t, b.String(), "spreads: chosen by policy fabric")
}

// Money is never without its currency.
func TestCurrency(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteText(&b, list()))
	for _, s := range []string{"cost of need EUR", "cost to buy EUR"} {
		require.Equal(t, 2, strings.Count(strings.ToLower(b.String()), strings.ToLower(s)), "fabrics and widths: %s", b.String())
	}
	for _, tab := range []*table.Table{Fabrics(list()), Widths(list()), Groups(list())} {
		b.Reset()
		require.NoError(t, tab.WriteCSV(&b))
		require.Contains(t, b.String(), ",currency,")
		require.Contains(t, b.String(), ",EUR,")
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

// The total names what has no price, and has no gap where there is no currency.
func TestTotalNamesWhatHasNoPrice(t *testing.T) {
	l := list()
	l.Currency, l.AllPriced, l.Resin, l.NeedCost = "", false, 12, 295.7
	for i := range l.Fabrics {
		l.Fabrics[i].Priced = true
	}
	var b bytes.Buffer
	require.NoError(t, WriteText(&b, l))
	require.Contains(t, b.String(), "total: need 295.70, to buy 0.00; the sums are not whole: the job states no price of the resin (laminating: resin_price)\n")
	l.Fabrics[0].Priced, l.ResinPriced = false, true
	b.Reset()
	require.NoError(t, WriteText(&b, l))
	require.Contains(t, b.String(), "the job states no price of WR 600\n")
}
