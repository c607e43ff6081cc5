// Package summary tables the books of a record: one line per layout for
// summary.csv, one line per fabric for the terminal.
package summary

import (
	"strings"

	"plyroom/export/table"
	"plyroom/nest"
	"plyroom/nest/account"
)

// Layouts is summary.csv: one line per layer of each layout and a total.
// Lengths are mm, areas mm², yields and the gap to the bound percent.
func Layouts(rec *nest.Record, led *account.Ledger) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "layout"}, {Key: "layer"}, {Key: "fabric"}, {Key: "roll"}, {Key: "lot"},
		{Key: "roll_from_mm"}, {Key: "plies"}, {Key: "length_mm"}, {Key: "width_mm"},
		{Key: "bound_length_mm"}, {Key: "over_bound_pct"},
		{Key: "net_yield_pct"}, {Key: "cut_yield_pct"},
		{Key: "net_yield_usable_pct"}, {Key: "cut_yield_usable_pct"},
		{Key: "drawn_mm2"},
	}}
	for _, c := range (account.Books{}).Classes() {
		t.Columns = append(t.Columns, table.Column{Key: c.Key + "_mm2"})
	}
	t.Columns = append(t.Columns, table.Column{Key: "cost"}, table.Column{Key: "currency"})
	for _, lb := range led.Layers {
		l := lb.Layout
		ly := l.Layers[lb.Layer]
		row := []table.Cell{
			table.Text(l.ID), table.Int(ly.Layer), table.Text(ly.Fabric), table.Text(ly.Roll), table.Text(ly.Lot),
			table.Number(ly.RollFrom, 1), table.Int(pliesOn(l, ly.Layer)), table.Number(l.Length, 1), table.Number(l.Width, 1),
			table.Number(l.BoundLength, 1), over(l.Length, l.BoundLength),
		}
		row = append(row, areas(lb.Books)...)
		cost, ok := account.Cost(rec.Fabric(ly.Fabric), l.Draws(&ly), lb.Books.Drawn-lb.Books.Remnant)
		t.Add(append(row, money(cost, ok), table.Text(rec.Currency))...)
	}
	total := led.Total
	row := []table.Cell{
		table.Text("total"), table.Blank(), table.Blank(), table.Blank(), table.Blank(), table.Blank(),
		table.Int(total.Plies), table.Number(total.Length, 1), table.Blank(),
		table.Number(total.BoundLength, 1), over(total.Length, total.BoundLength),
	}
	row = append(row, areas(total.Books)...)
	t.Footer = append(row, money(total.Cost, total.Priced), table.Text(rec.Currency))
	return t
}

func pliesOn(l *nest.Layout, layer int) int {
	n := 0
	for i := range l.Placed {
		if l.Placed[i].Layer == layer {
			n++
		}
	}
	return n
}

func areas(b account.Books) []table.Cell {
	cells := []table.Cell{
		percent(b.NetYield()), percent(b.CutYield()), percent(b.NetYieldUsable()), percent(b.CutYieldUsable()),
		table.Number(b.Drawn, 0),
	}
	for _, c := range b.Classes() {
		cells = append(cells, table.Number(c.Area, 0))
	}
	return cells
}

func percent(share float64) table.Cell { return table.Number(share*100, 2) }

// over is how far a length lies above its bound, percent.
func over(length, bound float64) table.Cell {
	if bound <= 0 {
		return table.Blank()
	}
	return percent(length/bound - 1)
}

func money(v float64, known bool) table.Cell {
	if !known {
		return table.Blank()
	}
	return table.Number(v, 2)
}

// Fabrics is the table shown when a plan is done: one line per fabric and a
// total, metres and percent.
func Fabrics(rec *nest.Record, led *account.Ledger) *table.Table {
	costTitle := strings.TrimSpace("cost " + rec.Currency)
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "layouts", Right: true}, {Key: "plies", Right: true},
		{Key: "drawn_m", Title: "drawn m", Right: true},
		{Key: "net_yield_pct", Title: "net yield %", Right: true},
		{Key: "cut_yield_pct", Title: "cut yield %", Right: true},
		{Key: "net_usable_pct", Title: "net, no selvedge %", Right: true},
		{Key: "bound_m", Title: "bound m", Right: true},
		{Key: "over_bound_pct", Title: "over bound %", Right: true},
		{Key: "cost", Title: costTitle, Right: true},
	}}
	for _, s := range led.Fabrics {
		t.Add(fabricRow(table.Text(s.Fabric), s)...)
	}
	t.Footer = fabricRow(table.Text("total"), led.Total)
	return t
}

// Repeats says why the layouts of the fabrics add up to more than their total; empty
// where they do not.
func Repeats(led *account.Ledger) string {
	if led.Repeats() == 0 {
		return ""
	}
	return "A layout of several fabrics counts for each of them, and once in the total."
}

func fabricRow(name table.Cell, s account.Summary) []table.Cell {
	return []table.Cell{
		name, table.Int(s.Layouts), table.Int(s.Plies), table.Number(s.Length/1e3, 3),
		table.Number(s.Books.NetYield()*100, 1), table.Number(s.Books.CutYield()*100, 1),
		table.Number(s.Books.NetYieldUsable()*100, 1),
		table.Number(s.BoundLength/1e3, 3), over(s.Length, s.BoundLength), money(s.Cost, s.Priced),
	}
}
