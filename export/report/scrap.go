package report

import (
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest/account"
)

// scrap shows what became of the fabric: one bar per fabric and a table that
// adds up.
func (p *page) scrap(w *markup.Writer) {
	w.Start("section", "class", "went", "aria-labelledby", "went-h")
	w.Leaf("h3", "Where the fabric went", "id", "went-h")
	all := append(append([]account.Summary{}, p.ledger.Fabrics...), p.ledger.Total)
	if len(p.ledger.Fabrics) == 1 {
		all = all[:1]
	}
	w.Start("div", "class", "bars", "aria-hidden", "true")
	for _, s := range all {
		w.Start("div", "class", "barrow")
		w.Leaf("span", fabricName(s), "class", "barname")
		stackedBar(w, s.Books)
		w.Start("span", "class", "barsum")
		w.Leaf("b", percent(s.Books.NetYield()))
		w.Text(" net")
		w.End()
		w.End()
	}
	w.End()
	scrapTable(w, all)
	w.Leaf("p", "Square metres are rounded so that each column adds up to the fabric drawn; shares one by one, as yields are, so that theirs may miss 100 % by a tenth or two.", "class", "note")
	w.End()
}

func fabricName(s account.Summary) string {
	if s.Fabric == "" {
		return "All fabrics"
	}
	return s.Fabric
}

// classLetter names the i-th class in bars and tables.
func classLetter(i int) string { return string(rune('A' + i)) }

// stackedBar draws the classes of one set of books, each as long as its share,
// with the percentage written where there is room.
func stackedBar(w *markup.Writer, b account.Books) {
	w.Start("svg", "class", "stack", "width", "100%", "height", "30")
	x := 0.0
	for i, c := range b.Classes() {
		if b.Drawn <= 0 || c.Area <= 0 {
			continue
		}
		wide := 100 * c.Area / b.Drawn
		at := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) + "%" }
		w.Start("rect", "class", "seg seg"+classLetter(i), "x", at(x), "width", at(wide), "height", "30")
		w.Leaf("title", c.Label+", "+fixed(wide, 1)+thin+"%")
		w.End()
		if wide >= 5 {
			w.Leaf("text", fixed(wide, 0), "class", "in in"+classLetter(i), "x", at(x+wide/2), "y", "20")
		}
		x += wide
	}
	w.End()
}

func scrapTable(w *markup.Writer, all []account.Summary) {
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", "scrap-cap")
	w.Start("table", "class", "classes")
	w.Start("caption", "id", "scrap-cap")
	w.Text("Fabric drawn by what became of it, m² and share")
	w.End()
	w.Start("thead")
	w.Start("tr")
	w.Leaf("th", "Class", "scope", "col", "class", "name")
	for _, s := range all {
		w.Leaf("th", fabricName(s), "scope", "col", markup.If(s.Fabric == "", "class"), "sum")
	}
	w.End()
	w.End()
	// Areas are rounded column by column, each to its own sum.
	var area, share [][]float64
	for _, s := range all {
		var amounts, parts []float64
		for _, c := range s.Books.Classes() {
			amounts = append(amounts, c.Area)
			if s.Books.Drawn > 0 {
				parts = append(parts, 100*c.Area/s.Books.Drawn)
			} else {
				parts = append(parts, 0)
			}
		}
		area = append(area, shares(s.Books.Drawn, 1000, amounts))
		// Shares are rounded one by one, as every yield on the page is.
		share = append(share, parts)
	}
	w.Start("tbody")
	for i, c := range (account.Books{}).Classes() {
		w.Start("tr")
		w.Start("th", "scope", "row", "class", "name")
		w.Start("svg", "class", "sw", "viewBox", "0 0 26 14", "aria-hidden", "true")
		w.Empty("rect", "class", "seg seg"+classLetter(i), "width", "26", "height", "14")
		w.End()
		w.Text(c.Label)
		w.End()
		for k := range all {
			if area[k][i] == 0 {
				scrapCell(w, all[k], "–", "")
				continue
			}
			scrapCell(w, all[k], fixed(area[k][i]/1e6, 3), fixed(share[k][i], 1)+thin+"%")
		}
		w.End()
	}
	w.End()
	w.Start("tfoot")
	w.Start("tr")
	w.Leaf("th", "Drawn", "scope", "row", "class", "name")
	for k, s := range all {
		sum := 0.0
		for _, a := range area[k] {
			sum += a
		}
		scrapCell(w, s, fixed(sum/1e6, 3), orDash(s.Books.Drawn > 0, "100"+thin+"%"))
	}
	w.End()
	w.End()
	w.End()
	w.End()
}

// scrapCell writes an area and, on a line of its own, its share: a job may have
// many fabrics. The column of the total stays in sight where they scroll.
func scrapCell(w *markup.Writer, s account.Summary, area, share string) {
	w.Start("td", markup.If(s.Fabric == "", "class"), "sum")
	w.Text(area)
	w.Leaf("small", share)
	w.End()
}

// barPatterns are the fillings of the classes. What is used is solid; what is
// lost is hatched, each class its own way; what comes back is clear.
func barPatterns(w *markup.Writer) {
	for _, h := range []struct{ letter, d string }{
		{"B", "M0 3h3v3H0zM3 0h3v3H3z"},
		{"C", "M0 0h2v6H0z"},
		{"D", "M-1 1L1-1M0 6L6 0M5 7l2-2"},
		{"E", "M3 1.4a1.6 1.6 0 1 0 .01 0z"},
		{"F", "M0 1h6M0 4h6"},
		{"G", "M0 0l6 6M-1 5l2 2M5-1l2 2"},
		{"H", "M1 0v6M4 0v6"},
		{"I", "M0 0l6 6M6 0L0 6"},
		{"J", "M0 3h6M3 0v6"},
	} {
		w.Start("pattern", "id", "seg"+h.letter, "width", "6", "height", "6", "patternUnits", "userSpaceOnUse")
		w.Empty("rect", "class", "segbg", "width", "6", "height", "6")
		w.Empty("path", "class", "segd segd"+h.letter, "d", h.d)
		w.End()
	}
}
