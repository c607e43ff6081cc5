package study

import (
	"strconv"
	"strings"

	"plyroom/export/table"
	"plyroom/nest/study"
)

// Cases tables every combination of settings: one column per axis, then what a
// set of the parts takes. Lengths are metres, areas m², yields percent.
func Cases(t *study.Table) *table.Table {
	out := &table.Table{}
	for _, a := range t.Spec.Axes {
		out.Columns = append(out.Columns, table.Column{Key: strings.ReplaceAll(a.Name(), " ", "_"), Title: a.Name()})
	}
	out.Columns = append(out.Columns,
		table.Column{Key: "seeds", Right: true}, table.Column{Key: "sets_together", Title: "sets", Right: true},
		table.Column{Key: "m_per_set", Title: "m/set", Right: true}, table.Column{Key: "m_sd", Title: "± m", Right: true},
		table.Column{Key: "m2_per_set", Title: "m²/set", Right: true}, table.Column{Key: "m2_sd", Title: "± m²", Right: true, FileOnly: true},
		table.Column{Key: "net_yield_pct", Title: "yield %", Right: true},
		table.Column{Key: "yield_least_pct", Right: true, FileOnly: true}, table.Column{Key: "yield_most_pct", Right: true, FileOnly: true},
		table.Column{Key: "bound_m_per_set", Right: true, FileOnly: true},
		table.Column{Key: "cost_per_set", Title: strings.TrimSpace("cost/set " + t.Currency), Right: true},
		table.Column{Key: "cost_sd", Right: true, FileOnly: true},
		table.Column{Key: "most_off_deg", Title: "most off °", Right: true},
		table.Column{Key: "against_best"})
	for i := range t.Rows {
		r := &t.Rows[i]
		var cells []table.Cell
		for _, s := range r.Settings {
			cells = append(cells, table.Text(s.Value))
		}
		cells = append(cells, table.Int(r.Seeds), table.Int(r.Sets))
		if r.Seeds == 0 {
			for range 10 {
				cells = append(cells, table.Blank())
			}
			out.Add(append(cells, table.Blank(), table.Text(state(r)))...)
			continue
		}
		s := r.Total
		cost, sd := table.Blank(), table.Blank()
		if s.Priced {
			cost, sd = table.Number(s.Cost.Mean, 2), spread(s.Cost, 2)
		}
		out.Add(append(cells, table.Number(s.Metres.Mean, 3), spread(s.Metres, 3), table.Number(s.Area.Mean, 3), spread(s.Area, 3),
			table.Number(s.Yield.Mean*100, 2), table.Number(s.Yield.Least*100, 2), table.Number(s.Yield.Most*100, 2),
			table.Number(s.Bound, 3), cost, sd, table.Number(s.MostOff, 2), table.Text(state(r)))...)
	}
	return out
}

// spread is the standard deviation between seeds; one seed tells none.
func spread(s study.Sample, decimals int) table.Cell {
	if s.N < 2 {
		return table.Blank()
	}
	return table.Number(s.SD, decimals)
}

// state says how a row stands against the best.
func state(r *study.Row) string {
	switch {
	case r.Cannot != "":
		return "cannot be laid: " + firstLine(r.Cannot)
	case r.Seeds < r.Of:
		return "not finished"
	case r.Best:
		return "least"
	case r.Against == nil:
		return ""
	case r.Against.Verdict == study.Saves:
		return "more than the least"
	case r.Against.Verdict == study.Same:
		return "as little as the least"
	case r.Against.Verdict == study.Unknown:
		return "one seed: noise unknown"
	}
	return "no telling from the least (noise)"
}

// firstLine is a reason short enough for a table; results.json has it whole.
func firstLine(s string) string {
	head, _, more := strings.Cut(s, "\n")
	if more {
		head += " …"
	}
	return short(head, 90)
}

// Rules tables what relaxing each rule saves per set, the dearest first. "±"
// is half the band that the noise of the search leaves.
func Rules(t *study.Table) *table.Table {
	out := &table.Table{Columns: []table.Column{
		{Key: "rank", Title: "#", Right: true}, {Key: "rule"}, {Key: "seeds", Right: true},
		{Key: "saves_m", Title: "saves m/set", Right: true}, {Key: "noise_m", Title: "± m", Right: true},
		{Key: "saves_m2", Title: "m²/set", Right: true}, {Key: "noise_m2", Title: "± m²", Right: true},
		{Key: "saves_cost", Title: strings.TrimSpace(t.Currency + "/set"), Right: true}, {Key: "noise_cost", Title: "±", Right: true},
		{Key: "least_m2", Right: true, FileOnly: true}, {Key: "most_m2", Right: true, FileOnly: true},
		{Key: "verdict"},
	}}
	for i := range t.Rules {
		r := &t.Rules[i]
		if r.Seeds == 0 {
			why := "not finished"
			if r.Cannot != "" {
				why = "cannot be laid: " + firstLine(r.Cannot)
			}
			cells := []table.Cell{table.Int(r.Rank), table.Text(r.Words), table.Int(0)}
			for range 8 {
				cells = append(cells, table.Blank())
			}
			out.Add(append(cells, table.Text(why))...)
			continue
		}
		money, noise := table.Blank(), table.Blank()
		if r.Priced {
			money, noise = table.Number(r.Money.Mean, 2), band(r.Money, 2)
		}
		out.Add(table.Int(r.Rank), table.Text(r.Words), table.Int(r.Seeds),
			table.Number(r.Metres.Mean, 3), band(r.Metres, 3), table.Number(r.Area.Mean, 3), band(r.Area, 3),
			money, noise, table.Number(r.Area.Least, 3), table.Number(r.Area.Most, 3), table.Text(verdict(r)))
	}
	return out
}

// verdict words what a rule's figure is worth.
func verdict(r *study.RuleCost) string {
	v := string(r.Verdict())
	if r.Verdict() == study.Costs && r.Setting.Axis != "width" {
		// Every plan under the rule is one without it too.
		v = "no saving (the search did worse with more freedom)"
	}
	if r.Setting.Axis == "splits" && r.Divided == 0 {
		v += " (the plan divided no ply)"
	}
	if r.Seeds < r.Of {
		v += " (not finished)"
	}
	return v
}

func band(s study.Saving, decimals int) table.Cell {
	if s.N < 2 {
		return table.Blank()
	}
	return table.Number(s.Noise, decimals)
}

// InWords answers the questions a study is made for, one sentence each.
func InWords(t *study.Table) []string {
	var out []string
	if len(t.Missing) > 0 {
		out = append(out, strconv.Itoa(len(t.Missing))+" of "+count(t.Nests, "nest has", "nests have")+" no result yet; what follows may change.")
	}
	for i := range t.Rows {
		if r := &t.Rows[i]; r.Best {
			s := "Least: " + r.Words + ", " + amount(t, r.Total) + " per set."
			ties := 0
			for k := range t.Rows {
				if a := t.Rows[k].Against; a != nil && a.Verdict != study.Saves && a.Verdict != study.Unknown {
					ties++
				}
			}
			switch {
			case t.Spec.Seeds < 2:
				s += " One seed says nothing of the noise of the search: do not act on small differences."
			case ties > 0:
				s += " " + count(ties, "other case", "other cases") + " cannot be told from it: the seeds differ as much."
			}
			out = append(out, s)
		}
	}
	clear, laid := 0, 0
	for i := range t.Rules {
		r := &t.Rules[i]
		if r.Seeds > 0 {
			laid++
		}
		if r.Seeds == 0 || r.Verdict() != study.Saves {
			continue
		}
		if clear++; clear == 1 {
			s := "Dearest rule: " + r.Words + " saves " + fixed(r.Area.Mean, 2) + " m²"
			if r.Priced {
				s = "Dearest rule: " + r.Words + " saves " + fixed(r.Money.Mean, 2) + " " + t.Currency + " ± " + fixed(r.Money.Noise, 2)
			}
			out = append(out, s+" per set.")
		}
	}
	switch {
	case laid == 0:
	case t.Spec.Seeds < 2:
		out = append(out, "One seed says nothing of the noise of the search; give --seeds 5 or more before acting on a rule.")
	case clear == 0:
		out = append(out, "No rule's cost is clear of the noise of the search.")
	default:
		out = append(out, "Rules whose cost is clear of the noise: "+strconv.Itoa(clear)+" of "+strconv.Itoa(len(t.Rules))+"; do not act on the others.")
	}
	return out
}

// amount is what a combination takes: its cost where that is known.
func amount(t *study.Table, s study.Stat) string {
	out := fixed(s.Metres.Mean, 2) + " m, " + fixed(s.Area.Mean, 2) + " m²"
	if s.Priced {
		out = strings.TrimSpace(fixed(s.Cost.Mean, 2)+" "+t.Currency) + " (" + out + ")"
	}
	return out
}
