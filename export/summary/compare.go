package summary

import (
	"strings"

	"plyroom/export/table"
	"plyroom/nest/compare"
)

// Compare tables runs side by side: one line per fabric and run, then the
// totals. Lengths are metres, shares percent, deviations degrees. Costs in another
// currency than the first run's are left out.
func Compare(c *compare.Comparison) *table.Table {
	currency := c.Runs[0].Record.Currency
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "run"}, {Key: "layouts", Right: true}, {Key: "plies", Right: true},
		{Key: "drawn_m", Title: "drawn m", Right: true},
		{Key: "against_first_pct", Title: "against first %", Right: true},
		{Key: "net_yield_pct", Title: "net yield %", Right: true},
		{Key: "bound_m", Right: true, FileOnly: true}, {Key: "over_bound_pct", Title: "over bound %", Right: true},
		{Key: "gaps_m2", Title: "gaps m²", Right: true}, {Key: "drop_outs_m2", Title: "drop-outs m²", Right: true},
		{Key: "other_m2", Title: "other scrap m²", Right: true},
		{Key: "laps_m2", Right: true, FileOnly: true}, {Key: "trim_m2", Right: true, FileOnly: true}, {Key: "selvedge_m2", Right: true, FileOnly: true},
		{Key: "mismatch_m2", Right: true, FileOnly: true}, {Key: "end_allowance_m2", Right: true, FileOnly: true}, {Key: "flaws_m2", Right: true, FileOnly: true},
		{Key: "roll_end_m2", Right: true, FileOnly: true}, {Key: "remnant_m2", Right: true, FileOnly: true},
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
			b, bound := f.Books, table.Blank()
			if f.BoundLength > 0 {
				bound = table.Number(f.BoundLength/1e3, 3)
			}
			t.Add(table.Text(fabric), table.Text(c.Runs[i].Name), table.Int(f.Layouts), table.Int(f.Plies),
				table.Number(f.Length/1e3, 3), against, table.Number(b.NetYield()*100, 2), bound, over(f.Length, f.BoundLength),
				table.Number(b.Gaps/1e6, 3), table.Number(b.DropOuts/1e6, 3),
				table.Number((b.Drawn-b.PliesNet-b.Laps-b.Trim-b.Gaps-b.DropOuts-b.Remnant)/1e6, 3),
				table.Number(b.Laps/1e6, 3), table.Number(b.Trim/1e6, 3), table.Number(b.Selvedge/1e6, 3), table.Number(b.Mismatch/1e6, 3),
				table.Number(b.EndAllowance/1e6, 3), table.Number(b.Flaws/1e6, 3), table.Number(b.RollEnd/1e6, 3), table.Number(b.Remnant/1e6, 3),
				table.Int(f.TurnedOver), table.Number(f.MeanDeviation, 2), table.Number(f.LargestDeviation, 2),
				money(f.Cost, f.Priced && c.Runs[i].Record.Currency == currency))
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

// Work tables what each run asks of the cutting room: minutes, metres, counts.
func Work(c *compare.Comparison) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "run"}, {Key: "minutes", Title: "min in all", Right: true},
		{Key: "cut_min", Title: "cut min", Right: true}, {Key: "knife_down_m", Title: "knife down m", Right: true},
		{Key: "knife_up_m", Title: "knife up m", Right: true}, {Key: "lifts", Right: true},
		{Key: "spreading_min", Title: "spreading min", Right: true}, {Key: "roll_change_min", Title: "roll changes min", Right: true},
		{Key: "kitting_min", Title: "kitting min", Right: true}, {Key: "kit_visits", Title: "kit visits", Right: true},
		{Key: "kit_walk_m", Title: "kit walk m", Right: true}, {Key: "rolls", Right: true}, {Key: "moved", Title: "plies moved", Right: true},
	}}
	for i := range c.Runs {
		w := &c.Work[i]
		row := []table.Cell{table.Text(c.Runs[i].Name), table.Number(w.Total(), 1)}
		if k := w.Knife; k != nil {
			row = append(row, table.Number(k.Minutes, 1), table.Number(k.Down, 1), table.Number(k.Up, 1), table.Int(k.Lifts))
		} else {
			row = append(row, table.Number(w.Minutes.Cutting, 1), table.Blank(), table.Blank(), table.Blank())
		}
		t.Add(append(row, table.Number(w.Minutes.Spreading, 1), table.Number(w.Minutes.RollChanges, 1), table.Number(w.Minutes.Kitting, 1),
			table.Int(w.Visits), table.Number(w.Walk, 1), table.Int(w.Rolls), table.Int(c.Moved[i]))...)
	}
	return t
}

// Moves tables the plies of a run that lie elsewhere than in the first.
func Moves(c *compare.Comparison, run int) *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "part"}, {Key: "unit", Right: true}, {Key: "ply"}, {Key: "copy", Right: true}, {Key: "fabric"},
		{Key: "from"}, {Key: "to"}, {Key: "shift_mm", Title: "shift mm", Right: true}, {Key: "turn_deg", Title: "turned °", Right: true}, {Key: "face"},
	}}
	for _, m := range c.Moves[run] {
		face := ""
		if m.Flipped {
			face = "other"
		}
		t.Add(table.Text(m.Part), table.Int(m.Unit), table.Text(m.Ply), table.Int(m.Copy), table.Text(m.Fabric),
			table.Text(m.From), table.Text(m.To), table.Number(m.Shift, 0), table.Number(m.Turn, 1), table.Text(face))
	}
	return t
}
