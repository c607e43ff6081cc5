package summary

import (
	"fmt"
	"strings"

	"plyroom/export/table"
	"plyroom/nest/compare"
)

// Compare tables runs side by side: one line per fabric and run, then the
// totals. Lengths are metres, shares percent, deviations degrees.
func Compare(c *compare.Comparison) *table.Table {
	currency := ""
	for _, r := range c.Runs {
		if r.Record.Currency != "" {
			currency = r.Record.Currency
			break
		}
	}
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "run"}, {Key: "layouts", Right: true}, {Key: "plies", Right: true},
		{Key: "drawn_m", Title: "drawn m", Right: true},
		{Key: "against_first_pct", Title: "against first %", Right: true},
		{Key: "net_yield_pct", Title: "net yield %", Right: true},
		{Key: "over_bound_pct", Title: "over bound %", Right: true},
		{Key: "gaps_m2", Title: "gaps m²", Right: true}, {Key: "drop_outs_m2", Title: "drop-outs m²", Right: true},
		{Key: "other_m2", Title: "other scrap m²", Right: true},
		{Key: "turned_over", Title: "turned over", Right: true},
		{Key: "mean_deviation_deg", Title: "mean off °", Right: true}, {Key: "largest_deviation_deg", Title: "most off °", Right: true},
		{Key: "cost", Title: strings.TrimSpace("cost " + currency), Right: true},
	}}
	add := func(fabric string, figures []*compare.Figures) {
		for i, f := range figures {
			if f == nil {
				continue
			}
			against := table.Blank()
			if first := figures[0]; first != nil && first.Length > 0 {
				against = percent(f.Length/first.Length - 1)
			}
			b := f.Books
			t.Add(table.Text(fabric), table.Text(c.Runs[i].Name), table.Int(f.Layouts), table.Int(f.Plies),
				table.Number(f.Length/1e3, 3), against, table.Number(b.NetYield()*100, 2), over(f.Length, f.BoundLength),
				table.Number(b.Gaps/1e6, 3), table.Number(b.DropOuts/1e6, 3),
				table.Number((b.Drawn-b.PliesNet-b.Laps-b.Trim-b.Gaps-b.DropOuts-b.Remnant)/1e6, 3),
				table.Int(f.TurnedOver), table.Number(f.MeanDeviation, 2), table.Number(f.LargestDeviation, 2),
				money(f.Cost, f.Priced))
		}
	}
	for _, r := range c.Rows {
		add(r.Fabric, r.Figures)
	}
	var total []*compare.Figures
	for i := range c.Total {
		total = append(total, &c.Total[i])
	}
	add("all", total)
	return t
}

// Verdict says in words which run draws least fabric, and which costs least.
func Verdict(c *compare.Comparison) string {
	least, cheapest := 0, -1
	for i := range c.Total {
		if c.Total[i].Books.Drawn < c.Total[least].Books.Drawn {
			least = i
		}
		if c.Total[i].Priced && (cheapest < 0 || c.Total[i].Cost < c.Total[cheapest].Cost) {
			cheapest = i
		}
	}
	s := fmt.Sprintf("%s draws the least fabric: %.2f m²", c.Runs[least].Name, c.Total[least].Books.Drawn/1e6)
	if cheapest >= 0 {
		s += fmt.Sprintf("; %s costs the least: %.2f %s", c.Runs[cheapest].Name, c.Total[cheapest].Cost, c.Runs[cheapest].Record.Currency)
	}
	return s
}
