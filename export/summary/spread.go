package summary

import (
	"strings"

	"plyroom/export/table"
	"plyroom/nest"
)

// Spreads is the table of the ways to spread that were weighed: one line each,
// metres of every fabric, minutes, yield and cost. It is nil where the record
// weighs none.
func Spreads(rec *nest.Record) *table.Table {
	if len(rec.SpreadOptions) == 0 {
		return nil
	}
	t := &table.Table{Columns: []table.Column{
		{Key: "spreads"}, {Key: "layouts", Right: true}, {Key: "layers", Title: "of several layers", Right: true},
	}}
	var names []string
	for _, f := range rec.SpreadOptions[0].Fabrics {
		names = append(names, f.Fabric)
		t.Columns = append(t.Columns, table.Column{Key: f.Fabric + "_m", Title: f.Fabric + " m", Right: true})
	}
	currency := strings.TrimSpace(rec.Currency)
	t.Columns = append(t.Columns,
		table.Column{Key: "drawn_m", Title: "drawn m", Right: true},
		table.Column{Key: "net_yield_pct", Title: "net yield %", Right: true},
		table.Column{Key: "minutes", Right: true},
		table.Column{Key: "fabric_cost", Title: strings.TrimSpace("fabric " + currency), Right: true},
		table.Column{Key: "labour_cost", Title: strings.TrimSpace("labour " + currency), Right: true})
	for _, o := range rec.SpreadOptions {
		name := o.Name
		if o.Chosen {
			name += " (chosen)"
		}
		if o.Foretold {
			name += ", foretold"
		}
		row := []table.Cell{table.Text(name), table.Int(o.Layouts), table.Int(o.Spreads)}
		for _, n := range names {
			cell := table.Blank()
			for _, f := range o.Fabrics {
				if f.Fabric == n {
					cell = table.Number(f.Length/1e3, 2)
				}
			}
			row = append(row, cell)
		}
		row = append(row, table.Number(o.Length/1e3, 2), table.Number(100*o.NetYield, 1), table.Number(o.Minutes.Total(), 1),
			money(o.FabricCost, o.Priced), table.Number(o.LabourCost, 2))
		t.Add(row...)
	}
	return t
}
