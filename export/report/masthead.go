package report

import (
	"strconv"

	"plyroom/export/markup"
)

// masthead is the block with the job and its main figures.
func (p *page) masthead(w *markup.Writer) {
	total := p.ledger.Total
	w.Start("header", "class", "mast")
	w.Start("div", "class", "job")
	w.Leaf("p", "Cutting plan", "class", "lab")
	w.Leaf("h1", p.rec.Job)
	w.End()
	w.Start("div", "class", "rev")
	w.Leaf("p", "Revision", "class", "lab")
	rev := p.rec.Revision
	if rev == "" {
		rev = "–"
	}
	w.Leaf("p", rev, "class", "big")
	w.End()
	w.Start("dl", "class", "figs")
	fig := func(label, value, unit string) {
		w.Start("div")
		w.Leaf("dt", label)
		w.Start("dd")
		w.Text(value)
		if unit != "" {
			w.Leaf("small", thin+unit)
		}
		w.End()
		w.End()
	}
	fig("Plies", fixed(float64(total.Plies), 0), "")
	fig("Kits", fixed(float64(len(p.kits)), 0), "")
	fig("Layouts", fixed(float64(total.Layouts), 0), "")
	fig("Fabric", metres(total.Length), "m")
	fig("Area drawn", squareMetres(total.Books.Drawn), "m²")
	fig("Net yield", fixed(100*total.Books.NetYield(), 1), "%")
	if total.BoundLength > 0 {
		fig("Above least possible", fixed(100*total.Gap(), 1), "%")
	}
	if total.Priced {
		fig("Fabric cost", fixed(total.Cost, 2), p.rec.Currency)
	}
	w.End()
	w.End()
	w.Line()
}

// bar is the line of links, filters and switches that stays in view.
func (p *page) bar(w *markup.Writer) {
	w.Start("div", "class", "bar")
	w.Start("nav", "aria-label", "Sections")
	w.Leaf("a", "Overview", "href", "#overview")
	w.Leaf("a", "Layouts", "href", "#layouts")
	if p.hasShop() {
		w.Leaf("a", "Timetable", "href", "#shop")
	}
	w.Leaf("a", "Kits", "href", "#kits")
	w.End()
	w.Start("details", "class", "tools", "open", "")
	w.Start("summary")
	w.Text("Filter")
	w.Leaf("span", " and show", "class", "long")
	w.End()
	w.Start("div", "class", "sift", "role", "group", "aria-label", "Filter plies and kits")
	p.choice(w, "Part", "f-part", func(option func(text, value string)) {
		for i, part := range p.rec.Parts {
			option(part.Part, strconv.Itoa(i))
		}
	})
	p.choice(w, "Unit", "f-unit", func(option func(text, value string)) {
		most := 0
		for i := range p.kits {
			most = max(most, p.kits[i].Unit)
		}
		for u := 1; u <= most; u++ {
			option(strconv.Itoa(u), strconv.Itoa(u))
		}
	})
	w.Start("label")
	w.Leaf("span", "Find")
	w.Empty("input", "id", "f-text", "type", "search", "placeholder", "ply, fabric, roll …", "autocomplete", "off", "spellcheck", "false")
	w.End()
	w.Leaf("output", "", "id", "f-count", "for", "f-part f-unit f-text")
	w.End()
	w.Start("div", "class", "sift", "role", "group", "aria-label", "Show in the pictures")
	for _, s := range []struct{ key, label string }{
		{"names", "Names"}, {"numbers", "Numbers"}, {"fibres", "Fibre arrows"}, {"scrap", "Scrap"},
	} {
		w.Start("label", "class", "tick")
		w.Empty("input", "type", "checkbox", "data-show", s.key, markup.If(s.key != "scrap", "checked"), "")
		w.Leaf("span", s.label)
		w.End()
	}
	w.End()
	w.End()
	w.End()
	w.Line()
}

func (p *page) choice(w *markup.Writer, label, id string, fill func(option func(text, value string))) {
	w.Start("label")
	w.Leaf("span", label)
	w.Start("select", "id", id)
	w.Leaf("option", "all", "value", "")
	fill(func(text, value string) { w.Leaf("option", text, "value", value) })
	w.End()
	w.End()
}
