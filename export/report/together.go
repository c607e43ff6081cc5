package report

import (
	"fmt"
	"strings"

	"plyroom/export/markup"
	"plyroom/nest"
)

// together sets the plan that keeps kits together beside the one that does not.
// It writes nothing where the record has no such comparison.
func (p *page) together(w *markup.Writer) {
	t := p.rec.Together
	if t == nil {
		return
	}
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", "together-cap")
	w.Start("table", "class", "fabrics options")
	w.Leaf("caption", "Kits kept together: what it costs", "id", "together-cap")
	w.Start("thead")
	w.Start("tr")
	w.Leaf("th", "Plan", "scope", "col", "class", "name")
	for _, name := range []string{"Layouts", "Drawn, m", "Drawn, m²", "Fabric " + p.rec.Currency, "All, min", "A kit lies on, layouts", "Table walked, m"} {
		w.Leaf("th", strings.TrimSpace(name), "scope", "col")
	}
	w.End()
	w.End()
	w.Start("tbody")
	for _, r := range []struct {
		name, of string
		f        nest.KeptFigures
	}{{"kept together", "this plan: " + strings.Join(p.rec.Rules.KeepTogether, ", "), t.Kept}, {"free", "laid for comparison", t.Free}} {
		w.Start("tr")
		w.Start("th", "scope", "row", "class", "name")
		w.Leaf("b", r.name)
		w.Leaf("small", r.of)
		w.End()
		for _, cell := range []string{
			fixed(float64(r.f.Layouts), 0), metres(r.f.Length), squareMetres(r.f.Drawn), orDash(r.f.Priced, fixed(r.f.FabricCost, 2)),
			fixed(r.f.Minutes.Total(), 0), fixed(float64(r.f.Visits)/float64(max(1, len(p.kits))), 1), fixed(r.f.Walk/1e3, 1),
		} {
			w.Leaf("td", cell)
		}
		w.End()
	}
	w.End()
	w.End()
	w.End()
	w.Leaf("p", p.togetherWords(), "class", "note")
}

// togetherWords says what keeping kits together costs and spares.
func (p *page) togetherWords() string {
	t := p.rec.Together
	s := fmt.Sprintf("Keeping kits together draws %s%sm of fabric %s and spares %s.",
		metres(abs(t.Kept.Length-t.Free.Length)), thin, moreOrLess(t.Kept.Length-t.Free.Length), spares(t))
	return s + " Both plans were laid from the same stock with the same effort and seed. Walked is the way along the table from the middle of a kit's first ply to that of its last, on every layout, all kits added up."
}

// spares words what is saved on the way to the kits.
func spares(t *nest.Together) string {
	visits, walk := t.Free.Visits-t.Kept.Visits, t.Free.Walk-t.Kept.Walk
	if visits <= 0 && walk <= 0 {
		return "no walking"
	}
	return fmt.Sprintf("%s of a kit on a layout and %s%sm of walking", count(max(0, visits), "meeting", "meetings"), fixed(max(0, walk)/1e3, 1), thin)
}
