package buy

import (
	"fmt"
	"io"
	"strings"

	"plyroom/export/sheet"
	"plyroom/export/table"
	"plyroom/nest/buy"
	"plyroom/shapes"
)

// WriteXLSX writes a workbook with a sheet for each table that holds anything.
func WriteXLSX(w io.Writer, l *buy.List) error {
	sheets := []sheet.Sheet{{Name: "To buy", Table: Fabrics(l)}}
	if len(l.Draws) > 0 {
		sheets = append(sheets, sheet.Sheet{Name: "From stock", Table: Draws(l)})
	}
	if len(l.Remnants) > 0 {
		sheets = append(sheets, sheet.Sheet{Name: "From remnants", Table: Remnants(l)})
	}
	if len(l.Groups) > 0 {
		sheets = append(sheets, sheet.Sheet{Name: "Nested together", Table: Groups(l)})
	}
	if len(l.Widths) > 0 {
		sheets = append(sheets, sheet.Sheet{Name: "Widths", Table: Widths(l)})
	}
	units := &table.Table{Columns: []table.Column{{Key: "part"}, {Key: "revision"}, {Key: "units", Right: true}}}
	for _, p := range l.Units {
		units.Add(table.Text(p.Part), table.Text(p.Revision), table.Int(p.Units))
	}
	return sheet.Write(w, l.Job+" "+l.Revision, append(sheets, sheet.Sheet{Name: "Units", Table: units})...)
}

// WriteText writes everything for a terminal.
func WriteText(w io.Writer, l *buy.List) error {
	var parts []string
	for _, p := range l.Units {
		parts = append(parts, fmt.Sprintf("%d × %s", p.Units, p.Part))
	}
	fmt.Fprintf(w, "%s\n", table.Plain(strings.Join(parts, ", ")))
	if err := Fabrics(l).WriteText(w, 0); err != nil {
		return err
	}
	for _, words := range remarksOf(l) {
		fmt.Fprintln(w, words)
	}
	if l.Spreading != nil {
		fmt.Fprintln(w, spreadWords(l))
	}
	for _, part := range []struct {
		title string
		t     *table.Table
	}{{"From remnants, before any roll", Remnants(l)}, {"From stock and open orders, in this order", Draws(l)}, {"One nest repeated, or several sets nested together", Groups(l)}, {"Widths to choose from", Widths(l)}} {
		if len(part.t.Rows) > 0 {
			part.t.Title = part.title
			fmt.Fprintln(w)
			if err := part.t.WriteText(w, 0); err != nil {
				return err
			}
		}
	}
	if len(l.Remnants)+len(l.Draws)+len(l.Groups)+len(l.Widths) > 0 {
		fmt.Fprintln(w)
	}
	if l.Resin > 0 {
		name := l.ResinName
		if name == "" {
			name = "resin"
		}
		fmt.Fprintf(w, "%s: %.1f kg in the laminate, %.1f kg to mix (estimate; the supplier's data sheet governs)", table.Plain(name), l.Resin, l.ResinToMix)
		if l.ResinPriced {
			fmt.Fprintf(w, ", %s", money(l.ResinCost, l))
		}
		fmt.Fprintln(w)
	}
	missing := ""
	if !l.AllPriced {
		missing = "; the sums are not whole: the job states no price of " + strings.Join(unpriced(l), ", ")
	}
	_, err := fmt.Fprintf(w, "total: need %s, to buy %s%s\n", money(l.NeedCost, l), money(l.BuyCost, l), missing)
	return err
}

// money writes a sum with its currency, where the job states one.
func money(v float64, l *buy.List) string {
	return strings.TrimSpace(fmt.Sprintf("%.2f %s", v, table.Plain(l.Currency)))
}

// unpriced names what the job states no usable price of.
func unpriced(l *buy.List) []string {
	var out []string
	for i := range l.Fabrics {
		if f := &l.Fabrics[i]; !f.Priced {
			out = append(out, table.Plain(f.Fabric))
		}
	}
	if l.Resin > 0 && !l.ResinPriced {
		out = append(out, "the resin (laminating: resin_price)")
	}
	return out
}

// remarksOf says how far the figures can be trusted, a sentence each.
func remarksOf(l *buy.List) []string {
	var out []string
	if l.Stopped {
		out = append(out, "stopped early: longer searches may find that less is needed")
	}
	if n := len(l.Batches); n > 0 {
		from := fmt.Sprintf("a nest of %d units", l.Batches[0])
		if n > 1 {
			var b []string
			for _, k := range l.Batches {
				b = append(b, fmt.Sprint(k))
			}
			from = fmt.Sprintf("nests of %s and %s units", strings.Join(b[:n-1], ", "), b[n-1])
		}
		out = append(out, "estimated from "+from+"; the need may be off by what stands under ±, which is bought as well")
	}
	if l.OnRack {
		out = append(out, "laid on the rolls and open orders themselves: what their ends and flaws cost is in the need")
	}
	var more []string
	for i := range l.Fabrics {
		if f := &l.Fabrics[i]; f.RollEnds > 0 {
			more = append(more, fmt.Sprintf("%s %.2f m", table.Plain(f.Fabric), f.RollEnds))
		}
	}
	if len(more) > 0 {
		words := "set against the rolls by the metre: breaking off at their ends and flaws may cost up to this much more: " + strings.Join(more, ", ")
		if len(l.Batches) == 0 {
			words += "; --rack lays the plan on the rolls themselves"
		}
		out = append(out, words)
	}
	if l.Date != "" {
		out = append(out, "rolls are judged as of "+string(l.Date))
	}
	return out
}

// spreadWords says what spreads were chosen for, how many there are, and what
// they cost and save.
func spreadWords(l *buy.List) string {
	s := l.Spreading
	words := fmt.Sprintf("spreads: chosen by policy %s, ", s.Policy)
	if s.FromJob {
		words += "as the job says; "
	} else {
		words += "since the job names none; "
	}
	of := "of the plan"
	if n := len(l.Batches); n > 0 {
		of = fmt.Sprintf("of the nest of %d units", l.Batches[n-1])
	}
	if s.Spreads == 0 {
		return words + "every fabric is cut single"
	}
	words += fmt.Sprintf("%d of %d layouts %s are spreads", s.Spreads, s.Layouts, of)
	if !s.Compared {
		return words
	}
	how := "after short searches"
	if s.Foretold {
		how = "as foretold"
	}
	words += fmt.Sprintf("; against cutting single, %s, they take %s of fabric", how, moreOrLess(s.MoreMetres, "m"))
	if s.Priced {
		words += fmt.Sprintf(" (%s)", table.Plain(moreOrLess(s.MoreCost, strings.TrimSpace(l.Currency))))
	}
	words += fmt.Sprintf(" and %s of work", moreOrLess(-s.SavesMinutes, "min"))
	if s.MoreArea > 0 && s.FromJob && s.Policy != shapes.SpreadFabric {
		words += "; to buy less, set cutting.spread_policy: fabric"
	}
	return words
}

// moreOrLess writes a difference: "3.20 m more".
func moreOrLess(v float64, unit string) string {
	word := "more"
	if v < 0 {
		v, word = -v, "less"
	}
	return strings.Join(strings.Fields(fmt.Sprintf("%.2f %s %s", v, unit, word)), " ")
}
