package report

import (
	"fmt"
	"strings"

	"plyroom/export/markup"
	"plyroom/nest"
)

// divisions says which plies were divided to save fabric, and what that saves.
// It writes nothing where none was.
func (p *page) divisions(w *markup.Writer) {
	if len(p.rec.Divisions) == 0 {
		return
	}
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", "division-cap")
	w.Start("table", "class", "fabrics options")
	w.Leaf("caption", "Plies divided to save fabric", "id", "division-cap")
	w.Start("thead")
	w.Start("tr")
	w.Leaf("th", "Fabric", "scope", "col", "class", "name")
	for _, name := range []string{"Whole, m", "Divided, m", "Saved, m", "Saved, m²", "Asked of the seams, m²", "Doubled by laps, m²"} {
		w.Leaf("th", name, "scope", "col")
	}
	w.End()
	w.End()
	w.Start("tbody")
	for i := range p.rec.Divisions {
		d := &p.rec.Divisions[i]
		laps := 0.0
		for _, ply := range d.Plies {
			laps += ply.LapArea
		}
		w.Start("tr")
		w.Start("th", "scope", "row", "class", "name")
		w.Leaf("b", d.Fabric)
		w.Leaf("small", dividedWords(d))
		w.End()
		for _, cell := range []string{metres(d.WholeLength), metres(d.Length), orDash(d.Homeless == 0, metres(d.SavedLength())),
			orDash(d.Homeless == 0, squareMetres(d.SavedArea())), squareMetres(d.Asked), squareMetres(laps)} {
			w.Leaf("td", cell)
		}
		w.End()
	}
	w.End()
	w.End()
	w.End()
	w.Leaf("p", "Each of these plies fits whole. Figures are of the fabric's plies cut single, laid whole and divided with equal searches; laps are paid for. A ply is divided only where that saves the least length of roll that the job asks of every seam.", "class", "note")
}

// dividedWords names the plies of a division: "Upper shell U02 in 2 panels".
func dividedWords(d *nest.Division) string {
	var out []string
	for _, p := range d.Plies {
		s := fmt.Sprintf("%s %s in %d panels", p.Part, p.Ply, p.Panels)
		if p.Pieces > 1 {
			s += fmt.Sprintf(", %d times", p.Pieces)
		}
		out = append(out, s)
	}
	if d.Homeless > 0 {
		out = append(out, count(d.Homeless, "piece finds", "pieces find")+" no room otherwise")
	}
	return strings.Join(out, "; ")
}
