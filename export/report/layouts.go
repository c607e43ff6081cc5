package report

import (
	"fmt"
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest"
	"plyroom/nest/account"
)

// layoutSection shows every layout: what it is cut from, its figures, the
// picture, and the picture again in strips for paper.
func (p *page) layoutSection(w *markup.Writer) {
	w.Start("section", "id", "layouts", "aria-labelledby", "layouts-h")
	w.Leaf("h2", "Layouts", "id", "layouts-h")
	signs(w)
	w.Leaf("p", "Least possible is a proved lower limit: no layout of these plies could be shorter.", "class", "note")
	p.knifeNote(w)
	w.Start("p", "class", "note screen", "id", "keys")
	w.Text("Point at a ply or tap it to see what it is; follow its link to the kit row. Click a picture, then turn the wheel or pinch to zoom and drag to move. Keys in a picture: ")
	for i, k := range [][2]string{{"+ −", "zoom"}, {"arrows", "move"}, {"0", "show all"}, {"N P", "next and previous ply"}, {"Enter", "go to the kit row"}} {
		if i > 0 {
			w.Text(", ")
		}
		w.Leaf("kbd", k[0])
		w.Text(" " + k[1])
	}
	w.Text(".")
	w.End()
	for i := range p.rec.Layouts {
		p.layout(w, i)
	}
	w.End()
	w.Line()
}

// knifeNote sums the knife's work up.
func (p *page) knifeNote(w *markup.Writer) {
	var sum Knife
	n := 0
	for i := range p.rec.Layouts {
		if k, ok := p.knife[p.rec.Layouts[i].ID]; ok {
			n++
			sum.Minutes, sum.Down, sum.Up = sum.Minutes+k.Minutes, sum.Down+k.Down, sum.Up+k.Up
		}
	}
	if n == 0 {
		return
	}
	other := ""
	if len(p.rec.SpreadOptions) > 0 {
		other = " The table of spreads reckons cutting in another way, from the length of the outlines at the job's rates, so that plans can be compared before they are laid."
	}
	w.Leaf("p", "The knife takes about "+fixed(sum.Minutes, 0)+thin+"min in all, with "+fixed(sum.Down/1e3, 1)+thin+"m of the knife down and "+
		fixed(sum.Up/1e3, 1)+thin+"m of it up, without spreading and kitting: estimated from its path by a cutter's feeds, lifts and turns; with your cutter's profile, plyroom cut --machine says it for yours. The timetable counts this, spreading, changes of roll and kitting."+other, "class", "note")
}

func (p *page) layout(w *markup.Writer, i int) {
	l, d := &p.rec.Layouts[i], p.drawings[i]
	id := layoutID(i)
	class := "lay"
	if len(l.Layers) > 1 {
		class += " spread"
	}
	w.Start("section", "class", class, "id", id, "aria-labelledby", id+"-h", "data-l", strconv.Itoa(i))
	w.Start("h3", "id", id+"-h")
	w.Leaf("span", l.ID, "class", "code")
	w.Text(" ")
	for k, layer := range l.Layers {
		if k > 0 {
			w.Text(" under ")
		}
		w.Text(layer.Fabric)
	}
	w.Leaf("small", " "+title(p.rec), "class", "paper")
	w.End()
	p.layoutFacts(w, l)
	if len(l.Layers) > 1 {
		layerTable(w, l)
	}
	p.viewer(w, i)
	p.partKey(w, l)
	strips(w, d, i, l)
	w.End()
	w.Line()
}

// booksOf sums the books of a layout.
func (p *page) booksOf(l *nest.Layout) account.Books {
	var b account.Books
	for _, lb := range p.ledger.Layers {
		if lb.Layout != nil && lb.Layout.ID == l.ID {
			b = b.Add(lb.Books)
		}
	}
	return b
}

func fact(w *markup.Writer, label, value string) {
	w.Start("div")
	w.Leaf("dt", label)
	w.Leaf("dd", value)
	w.End()
}

func (p *page) layoutFacts(w *markup.Writer, l *nest.Layout) {
	b := p.booksOf(l)
	w.Start("dl", "class", "facts")
	if len(l.Layers) == 1 {
		ly := l.Layers[0]
		fact(w, "Roll", orNone(ly.Roll))
		if ly.Lot != "" {
			fact(w, "Lot", ly.Lot)
		}
		fact(w, "Starts at", rollStart(ly))
		fact(w, "Face", ly.Face)
	}
	fact(w, "Plies", strconv.Itoa(len(l.Placed)))
	fact(w, "Length", fixed(l.Length/1e3, 3)+thin+"m")
	fact(w, "Width", fixed(l.Width, 0)+thin+"mm")
	if l.BoundLength > 0 {
		fact(w, "Least possible", fixed(l.BoundLength/1e3, 3)+thin+"m")
		fact(w, "Above it by", percent(l.Length/l.BoundLength-1))
	}
	fact(w, "Net yield", percent(b.NetYield()))
	fact(w, "Cut yield", percent(b.CutYield()))
	if k, ok := p.knife[l.ID]; ok {
		fact(w, "Cutting, estimated", fixed(k.Minutes, 1)+thin+"min")
		fact(w, "Cuts", strconv.Itoa(k.Cuts))
		fact(w, "Knife down", fixed(k.Down/1e3, 1)+thin+"m")
		fact(w, "Knife up", fixed(k.Up/1e3, 1)+thin+"m")
	}
	if l.RollEnd > 0 {
		fact(w, "Roll end, too short to keep", fixed(l.RollEnd/1e3, 3)+thin+"m")
	}
	for _, f := range l.Flaws {
		fact(w, "Flaw", fixed(f.From/1e3, 3)+"–"+fixed(f.To/1e3, 3)+thin+"m")
	}
	w.End()
}

// rollStart is where on its roll a layer begins.
func rollStart(ly nest.Layer) string { return fixed(ly.RollFrom/1e3, 3) + thin + "m of the roll" }

// layerTable says what lies on the table in a spread: fabric, roll and lot, and
// where on the roll each layer begins.
func layerTable(w *markup.Writer, l *nest.Layout) {
	w.Start("div", "class", "scroll")
	w.Start("table", "class", "layers")
	w.Leaf("caption", "On the table", "class", "unseen")
	w.Start("thead")
	w.Start("tr")
	for _, h := range []string{"Layer", "Fabric", "Roll", "Lot", "Starts at", "Face"} {
		w.Leaf("th", h, "scope", "col")
	}
	w.End()
	w.End()
	w.Start("tbody")
	for _, ly := range l.Layers {
		name := strconv.Itoa(ly.Layer)
		if ly.Layer == 1 {
			name += ", bottom"
		}
		w.Start("tr")
		w.Leaf("td", name)
		w.Leaf("td", ly.Fabric)
		w.Leaf("td", orNone(ly.Roll))
		w.Leaf("td", ly.Lot)
		w.Leaf("td", rollStart(ly))
		w.Leaf("td", ly.Face)
		w.End()
	}
	w.End()
	w.End()
	w.End()
}

func orNone(s string) string {
	if s == "" {
		return "not named"
	}
	return s
}

// unitPixels is how large the measure of a picture's writing may be on the
// screen, pixels: a short layout is not blown up to the width of the page.
const unitPixels = 4.0

// viewer is the picture one can zoom, and the line that says what is pointed
// at.
func (p *page) viewer(w *markup.Writer, i int) {
	l, d := &p.rec.Layouts[i], p.drawings[i]
	id := "d" + strconv.Itoa(i)
	if layers := d.Layers(); len(layers) > 1 {
		w.Start("fieldset", "class", "which screen")
		w.Leaf("legend", "Show layer")
		for k, n := range layers {
			w.Start("label", "class", "tick")
			w.Empty("input", "type", "radio", "name", id+"-layer", "value", strconv.Itoa(n), markup.If(k == 0, "checked"), "")
			w.Leaf("span", fmt.Sprintf("%d, %s", n, layerFabric(l, n)))
			w.End()
		}
		w.End()
	}
	w.Start("div", "class", "view", "tabindex", "0", "role", "group", "aria-label", "Picture of layout "+l.ID, "aria-describedby", "keys")
	_, _, _, high := d.Box()
	d.Open(w, d.Title(), "class", "pic", "preserveAspectRatio", "xMinYMid meet", "data-high", strconv.Itoa(int(unitPixels*high/d.Unit())))
	w.Start("g", "id", id+"-ground")
	d.Ground(w)
	w.End()
	for k, n := range d.Layers() {
		w.Start("g", "class", "layer", "data-layer", strconv.Itoa(n), markup.If(k > 0, "display"), "none")
		w.Start("g", "id", id+"-plies"+strconv.Itoa(n))
		d.Plies(w, n)
		w.End()
		w.End()
	}
	w.End()
	w.End()
	w.Leaf("output", "", "class", "what screen", "aria-live", "polite")
	w.Start("div", "class", "zoom screen", "role", "group", "aria-label", "Zoom of layout "+l.ID)
	for _, b := range [][3]string{{"in", "+", "Zoom in"}, {"out", "−", "Zoom out"}, {"all", "All", "Show all"}} {
		w.Leaf("button", b[1], "type", "button", "data-zoom", b[0], "aria-label", b[2])
	}
	w.End()
}

func layerFabric(l *nest.Layout, n int) string {
	for _, ly := range l.Layers {
		if ly.Layer == n {
			return ly.Fabric
		}
	}
	return ""
}
