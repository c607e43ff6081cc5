package buy

import (
	"fmt"
	"io"
	"strings"

	"plyroom/export/sheet"
	"plyroom/export/table"
	"plyroom/nest/buy"
)

// WriteXLSX writes a workbook with a sheet for each table that holds anything.
func WriteXLSX(w io.Writer, l *buy.List) error {
	sheets := []sheet.Sheet{{Name: "To buy", Table: Fabrics(l)}}
	if len(l.Draws) > 0 {
		sheets = append(sheets, sheet.Sheet{Name: "From stock", Table: Draws(l)})
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
	if n := len(l.Batches); n > 0 {
		var b []string
		for _, k := range l.Batches {
			b = append(b, fmt.Sprint(k))
		}
		fmt.Fprintf(w, "estimated from nests of %s and %s units; the need may be off by what stands under ±, which is bought as well\n", strings.Join(b[:n-1], ", "), b[n-1])
	}
	for _, part := range []struct {
		title string
		t     *table.Table
	}{{"From stock and open orders, in this order", Draws(l)}, {"One nest repeated, or several sets nested together", Groups(l)}, {"Widths to choose from", Widths(l)}} {
		if len(part.t.Rows) > 0 {
			part.t.Title = part.title
			fmt.Fprintln(w)
			if err := part.t.WriteText(w, 0); err != nil {
				return err
			}
		}
	}
	if len(l.Draws)+len(l.Groups)+len(l.Widths) > 0 {
		fmt.Fprintln(w)
	}
	if l.Resin > 0 {
		name := l.ResinName
		if name == "" {
			name = "resin"
		}
		fmt.Fprintf(w, "%s: %.1f kg in the laminate, %.1f kg to mix (estimate; the supplier's data sheet governs)", table.Plain(name), l.Resin, l.ResinToMix)
		if l.ResinPriced {
			fmt.Fprintf(w, ", %.2f %s", l.ResinCost, table.Plain(l.Currency))
		}
		fmt.Fprintln(w)
	}
	missing := ""
	if !l.AllPriced {
		missing = "; some prices are missing from the job, so the sums are not whole"
	}
	_, err := fmt.Fprintf(w, "total: need %.2f %s, to buy %.2f %s%s\n", l.NeedCost, table.Plain(l.Currency), l.BuyCost, table.Plain(l.Currency), missing)
	return err
}
