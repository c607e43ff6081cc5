package report

import (
	"fmt"
	"math"

	"plyroom/export/markup"
	"plyroom/export/paper"
	"plyroom/export/summary"
	"plyroom/nest/account"
	"plyroom/shapes"
)

// overview is the section that stands first: fabric by fabric, where the
// fabric went, what to know before cutting.
func (p *page) overview(w *markup.Writer) {
	w.Start("section", "id", "overview", "aria-labelledby", "overview-h")
	w.Leaf("h2", "Overview", "id", "overview-h")
	p.fabricTable(w)
	p.divisions(w)
	p.spreads(w)
	p.together(w)
	p.scrap(w)
	w.Start("div", "class", "pair")
	p.remarks(w)
	p.cautions(w)
	w.End()
	w.End()
	w.Line()
}

// A column of the fabric table.
type column struct {
	name  string
	value func(account.Summary) string
}

func (p *page) columns() []column {
	cols := []column{
		{"Layouts", func(s account.Summary) string { return fixed(float64(s.Layouts), 0) }},
		{"Plies", func(s account.Summary) string { return fixed(float64(s.Plies), 0) }},
		{"Drawn, m", func(s account.Summary) string { return metres(s.Length) }},
		{"Drawn, m²", func(s account.Summary) string { return squareMetres(s.Books.Drawn) }},
		{"Net yield", func(s account.Summary) string { return percent(s.Books.NetYield()) }},
		{"Cut yield", func(s account.Summary) string { return percent(s.Books.CutYield()) }},
		{"Net yield less selvedge", func(s account.Summary) string { return percent(s.Books.NetYieldUsable()) }},
		{"Cut yield less selvedge", func(s account.Summary) string { return percent(s.Books.CutYieldUsable()) }},
		{"Least possible, m", func(s account.Summary) string { return orDash(s.BoundLength > 0, metres(s.BoundLength)) }},
		{"Drawn above the least by", func(s account.Summary) string { return orDash(s.BoundLength > 0, percent(s.Gap())) }},
	}
	priced := false
	for _, s := range p.ledger.Fabrics {
		priced = priced || s.Priced
	}
	if priced {
		cols = append(cols, column{p.money("Cost"), func(s account.Summary) string { return orDash(s.Priced, fixed(s.Cost, 2)) }})
	}
	return cols
}

func orDash(known bool, s string) string {
	if !known {
		return "–"
	}
	return s
}

func (p *page) fabricTable(w *markup.Writer) {
	cols := p.columns()
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", "fabric-cap")
	w.Start("table", "class", "fabrics")
	w.Leaf("caption", "Fabric by fabric", "id", "fabric-cap")
	w.Start("thead")
	w.Start("tr")
	w.Leaf("th", "Fabric", "scope", "col", "class", "name")
	for _, c := range cols {
		w.Leaf("th", c.name, "scope", "col")
	}
	w.End()
	w.End()
	w.Start("tbody")
	for _, s := range p.ledger.Fabrics {
		w.Start("tr")
		w.Start("th", "scope", "row", "class", "name")
		w.Leaf("b", s.Fabric)
		w.Leaf("small", fabricWords(p.rec.Fabric(s.Fabric)))
		w.End()
		for _, c := range cols {
			w.Leaf("td", c.value(s))
		}
		w.End()
	}
	w.End()
	w.Start("tfoot")
	w.Start("tr")
	w.Leaf("th", "All fabrics", "scope", "row", "class", "name")
	for _, c := range cols {
		w.Leaf("td", c.value(p.ledger.Total))
	}
	w.End()
	w.End()
	w.End()
	w.End()
	if words := summary.Repeats(p.ledger); words != "" {
		w.Leaf("p", words, "class", "note")
	}
	w.Leaf("p", "Yield is plies over fabric drawn and not returned, of the whole width or less the selvedges. Net counts plies as drawn; cut counts laps and trim as used. The least possible length is a proved lower limit that no layout could beat, not a plan.", "class", "note")
}

// fabricWords says what a fabric is: "plain weave · 600 g/m² · 1250 mm".
func fabricWords(f *shapes.Fabric) string {
	if f == nil {
		return ""
	}
	s := string(f.Construction)
	if f.Construction.Woven() {
		s += " weave"
	}
	if f.ArealMass > 0 {
		s += " · " + fixed(f.ArealMass, 0) + thin + "g/m²"
	}
	return s + " · " + fixed(f.Width, 0) + thin + "mm wide"
}

func (p *page) remarks(w *markup.Writer) {
	w.Start("section", "class", "remarks", "aria-labelledby", "remarks-h")
	w.Leaf("h3", "Remarks", "id", "remarks-h")
	w.Start("ul")
	over, opposite, furthest := 0, 0, 0.0
	for i := range p.rec.Layouts {
		for k := range p.rec.Layouts[i].Placed {
			pl := &p.rec.Layouts[i].Placed[k]
			if pl.TurnedOver {
				over++
			}
			if pl.OppositeHand {
				opposite++
			}
			furthest = math.Max(furthest, math.Abs(pl.DeviationDeg))
		}
	}
	if over > 0 {
		w.Leaf("li", count(over, "ply is", "plies are")+" cut face down and must be turned over before laying (broken outline, TURN OVER)")
	}
	if opposite > 0 {
		w.Leaf("li", count(opposite, "ply is", "plies are")+" of the opposite hand (heavy outline)")
	}
	if furthest < 0.005 {
		w.Leaf("li", "every ply lies exactly in the direction asked for")
	} else {
		w.Leaf("li", "the fibre of no ply is off by more than "+degrees(furthest))
	}
	for k := range p.kits {
		if plan := p.kits[k].Plan; plan != nil {
			for _, a := range plan.Alone {
				w.Start("li")
				w.Text(fmt.Sprintf("%s: ply %s alone takes %.0f min of a planned %.0f; what would help:", p.kits[k].Title(), plyName(&p.kits[k].Lines[a.Line]), a.Minutes, a.Window))
				for i, s := range a.Proposals() {
					if i > 0 {
						w.Text(";")
					}
					w.Text(" " + s)
				}
				w.End()
			}
		}
	}
	for _, n := range p.rec.Notes {
		w.Leaf("li", n)
	}
	if s := p.rec.Search; s.Status != "" {
		t := fmt.Sprintf("search: %s; seed %d", s.Status, s.Seed)
		if s.Effort > 0 {
			t += fmt.Sprintf(", effort %d", s.Effort)
		}
		w.Leaf("li", t)
	}
	w.End()
	w.End()
}

// cautions stand once in the document, in words that fit the job's resin.
func (p *page) cautions(w *markup.Writer) {
	w.Start("section", "class", "care", "aria-labelledby", "care-h")
	w.Leaf("h3", "Take care", "id", "care-h")
	w.Start("ul")
	w.Leaf("li", "Keep clear of the moving knife. Lock it out before reaching in.")
	resin := ""
	if l := p.rec.Laminating; l != nil {
		resin = l.Resin
	}
	for _, s := range paper.CareOf(resin).Cautions {
		w.Leaf("li", s)
	}
	w.Leaf("li", "Quantities and times are estimates from the job's own figures. The supplier's data sheet, local rules and licensed practice govern.")
	w.End()
	w.End()
}
