package buy

import (
	"strings"

	"plyroom/export/table"
	"plyroom/nest/buy"
	"plyroom/shapes"
)

func cost(v float64, known bool) table.Cell {
	if !known {
		return table.Blank()
	}
	return table.Number(v, 2)
}

// in names a column of money with its currency.
func in(title string, l *buy.List) string { return strings.TrimSpace(title + " " + l.Currency) }

// amount writes what is bought: "3 rolls", "17.5 kg".
func amount(l *buy.Line) table.Cell {
	if l.Amount == 0 {
		return table.Text("–")
	}
	n := table.Number(l.Amount, 2).String()
	n = strings.TrimSuffix(strings.TrimSuffix(n, "0"), "0")
	n = strings.TrimSuffix(n, ".")
	return table.Text(n + " " + unit(l.Unit, l.Amount))
}

func unit(u shapes.PriceUnit, n float64) string {
	switch {
	case u == shapes.PerSquareMetre:
		return "m²"
	case u == shapes.PerRoll && n != 1:
		return "rolls"
	}
	return string(u)
}

// remarks say why more is bought than is short, and by when.
func remarks(l *buy.Line) string {
	var out []string
	if l.ToMinimum {
		out = append(out, "smallest order")
	}
	if l.ToBreak {
		out = append(out, "up to a price break")
	}
	switch {
	case l.OrderBy != "":
		out = append(out, "order by "+string(l.OrderBy))
	case l.Short > 0 && l.LeadTime > 0:
		out = append(out, "comes "+table.Int(l.LeadTime).String()+" days after the order")
	}
	return strings.Join(out, "; ")
}

// Fabrics tables what to buy, a line per fabric. Lengths are metres.
func Fabrics(l *buy.List) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "plies", Right: true},
		{Key: "need_m", Title: "need m", Right: true},
		{Key: "error_m", Title: "± m", Right: true, FileOnly: len(l.Batches) == 0},
		{Key: "allowance_m", Title: "allowance m", Right: true},
		{Key: "need_m2", Title: "m²", Right: true}, {Key: "need_kg", Title: "kg", Right: true},
		{Key: "net_yield_pct", Title: "net yield %", Right: true},
		{Key: "stock_m", Title: "stock m", Right: true}, {Key: "reserved_m", Title: "reserved m", Right: true},
		{Key: "on_order_m", Title: "on order m", Right: true}, {Key: "short_m", Title: "short m", Right: true},
		{Key: "buy_amount", FileOnly: true}, {Key: "buy_unit", FileOnly: true},
		{Key: "buy", Right: true}, {Key: "buy_m", Title: "= m", Right: true},
		{Key: "left_m", Title: "left m", Right: true}, {Key: "roll_ends_m", Right: true, FileOnly: true},
		{Key: "need_cost", Title: in("cost of need", l), Right: true}, {Key: "buy_cost", Title: in("cost to buy", l), Right: true},
		{Key: "currency", FileOnly: true}, {Key: "remarks"},
	}}
	for i := range l.Fabrics {
		f := &l.Fabrics[i]
		mass := table.Blank()
		if f.Mass > 0 {
			mass = table.Number(f.Mass, 2)
		}
		t.Add(table.Text(f.Fabric), table.Int(f.Plies), table.Number(f.Need, 2), table.Number(f.Error, 2), table.Number(f.Allowance, 2),
			table.Number(f.Area, 2), mass, table.Number(f.NetYield*100, 1),
			table.Number(f.Stock, 2), table.Number(f.Reserved, 2), table.Number(f.OnOrder, 2), table.Number(f.Short, 2),
			table.Number(f.Amount, 3), table.Text(string(f.Unit)), amount(f), table.Number(f.Buy, 2), table.Number(f.Left, 2), table.Number(f.RollEnds, 2),
			cost(f.NeedCost, f.Priced), cost(f.BuyCost, f.Priced), table.Text(l.Currency), table.Text(remarks(f)))
	}
	return t
}

// Draws tables what is taken from which roll and open order.
func Draws(l *buy.List) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "from"}, {Key: "name"}, {Key: "lot"}, {Key: "date"},
		{Key: "free_m", Title: "free m", Right: true}, {Key: "take_m", Title: "take m", Right: true}, {Key: "why_not"},
	}}
	for _, d := range l.Draws {
		t.Add(table.Text(d.Fabric), table.Text(string(d.Source)), table.Text(d.Name), table.Text(d.Lot), table.Text(string(d.Date)),
			table.Number(d.Free, 2), table.Number(d.Take, 2), table.Text(d.Refused))
	}
	return t
}

// Remnants tables what lies on remnants of a store.
func Remnants(l *buy.List) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "remnant"}, {Key: "lot"}, {Key: "length_mm", Title: "length mm", Right: true}, {Key: "width_mm", Title: "width mm", Right: true},
		{Key: "plies", Right: true}, {Key: "plies_m2", Title: "plies m²", Right: true},
	}}
	for _, r := range l.Remnants {
		t.Add(table.Text(r.Fabric), table.Text(r.ID), table.Text(r.Lot), table.Number(r.Length, 0), table.Number(r.Width, 0), table.Int(r.Plies), table.Number(r.Area, 2))
	}
	return t
}

// Groups tables one nest repeated against several sets nested together.
func Groups(l *buy.List) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "sets_together", Title: "sets nested together", Right: true}, {Key: "times", Right: true}, {Key: "rest", Right: true},
		{Key: "metres", Title: "m", Right: true}, {Key: "error_m", Title: "± m", Right: true}, {Key: "area_m2", Title: "m²", Right: true},
		{Key: "cost", Title: in("cost", l), Right: true}, {Key: "currency", FileOnly: true},
		{Key: "saves_m", Title: "saves m", Right: true}, {Key: "saves_pct", Title: "%", Right: true},
		{Key: "saves_cost", Title: in("saves", l), Right: true},
	}}
	for _, g := range l.Groups {
		share := table.Blank()
		if first := l.Groups[0].Area; first > 0 {
			share = table.Number(g.SavesArea/first*100, 1)
		}
		t.Add(table.Int(g.Sets), table.Int(g.Times), table.Int(g.Rest), table.Number(g.Metres, 2), table.Number(g.Error, 2), table.Number(g.Area, 2),
			cost(g.Cost, g.Priced), table.Text(l.Currency), table.Number(g.SavesMetres, 2), share, cost(g.SavesCost, g.Priced))
	}
	return t
}

// Widths tables the widths to choose from.
func Widths(l *buy.List) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "width_mm", Title: "width mm", Right: true},
		{Key: "need_m", Title: "need m", Right: true}, {Key: "need_m2", Title: "m²", Right: true}, {Key: "net_yield_pct", Title: "net yield %", Right: true},
		{Key: "buy", Right: true}, {Key: "need_cost", Title: in("cost of need", l), Right: true},
		{Key: "buy_cost", Title: in("cost to buy", l), Right: true}, {Key: "currency", FileOnly: true}, {Key: "left_m", Title: "left m", Right: true}, {Key: "remarks"},
	}}
	for i := range l.Widths {
		w := &l.Widths[i]
		if w.Cannot != "" {
			why, _, _ := strings.Cut(w.Cannot, "\n")
			t.Add(table.Text(w.Fabric), table.Number(w.Width, 0), table.Blank(), table.Blank(), table.Blank(), table.Blank(),
				table.Blank(), table.Blank(), table.Text(l.Currency), table.Blank(), table.Text("cannot be laid: "+why))
			continue
		}
		note := remarks(&w.Line)
		if w.Least {
			note = strings.TrimSuffix("costs least; "+note, "; ")
		}
		t.Add(table.Text(w.Fabric), table.Number(w.Width, 0), table.Number(w.Need, 2), table.Number(w.Area, 2), table.Number(w.NetYield*100, 1),
			amount(&w.Line), cost(w.NeedCost, w.Priced), cost(w.BuyCost, w.Priced), table.Text(l.Currency), table.Number(w.Left, 2), table.Text(note))
	}
	return t
}
