package report

import (
	"fmt"

	"plyroom/export/markup"
)

// short is the section that says, before all figures, what the plan lacks: the
// kits that are not whole and how much of each fabric they miss. It writes
// nothing where every kit is whole.
func (p *page) short(w *markup.Writer) {
	pieces, kits := 0, 0
	for k := range p.kits {
		if n := len(p.kits[k].Short()); n > 0 {
			pieces, kits = pieces+n, kits+1
		}
	}
	if pieces == 0 {
		return
	}
	w.Start("section", "id", "short", "class", "short", "aria-labelledby", "short-h")
	w.Leaf("h2", "Short: "+count(kits, "kit is", "kits are")+" not whole", "id", "short-h", "class", "bad")
	w.Start("ul")
	var fabrics []string
	missing, area := map[string]int{}, map[string]float64{}
	for k := range p.kits {
		lines := p.kits[k].Short()
		if len(lines) == 0 {
			continue
		}
		w.Start("li", "class", "bad")
		w.Leaf("b", "Short: "+p.kits[k].Title())
		w.Text(" lacks ")
		for i, l := range lines {
			if i > 0 {
				w.Text("; ")
			}
			w.Text(plyName(l) + ", " + l.Demand.Fabric)
			f := l.Demand.Fabric
			if missing[f] == 0 {
				fabrics = append(fabrics, f)
			}
			missing[f]++
			area[f] += l.CutArea
		}
		w.End()
	}
	w.End()
	w.Start("p")
	for i, f := range fabrics {
		if i > 0 {
			w.Text("; ")
		}
		w.Leaf("b", f)
		w.Text(fmt.Sprintf(": %s, %s of plies", count(missing[f], "piece", "pieces"), squareMetres(area[f])+thin+"m²"))
	}
	w.Text(". More fabric than that is needed, since none is laid without waste: plyroom buy says how much.")
	w.End()
	w.End()
	w.Line()
}
