package report

import (
	"fmt"
	"strconv"

	"plyroom/export/markup"
	"plyroom/export/paper"
	"plyroom/nest"
	"plyroom/nest/kit"
)

// kitSection holds one table per part and unit, in lay-up order.
func (p *page) kitSection(w *markup.Writer) {
	w.Start("section", "id", "kits", "aria-labelledby", "kits-h")
	w.Leaf("h2", "Kits", "id", "kits-h")
	w.Leaf("p", "Lay-up order from the tool up: 1 is laid first. Pile the kit the other way round, so that 1 lies on top. Directions are the warp as laid, counter-clockwise from the datum, looking down on the tool; in brackets, how far that is off what was asked.", "class", "note")
	w.Leaf("p", "In short: hand and face are named where they are out of the ordinary. The kit lists to work from, with pictures, notes and boxes to tick, are the documents in the folder kits.", "class", "note paperonly")
	w.Leaf("p", "Ticks are kept in this browser, for this plan only.", "class", "note screen")
	w.Start("div", "class", "locator screen")
	w.Start("div", "class", "stage", "aria-hidden", "true")
	w.Leaf("p", "Point at a row to see where its ply lies on the fabric.")
	w.End()
	w.Leaf("button", "Hide", "type", "button", "class", "fold", "aria-label", "Hide or show the picture")
	w.End()
	n := 0
	for k := range p.kits {
		p.kit(w, k, n)
		n += len(p.kits[k].Lines)
	}
	w.Leaf("p", "No ply matches the filter.", "id", "none", "class", "note", "hidden", "")
	w.End()
	w.Line()
}

func (p *page) partIndex(name string) int {
	for i, part := range p.rec.Parts {
		if part.Part == name {
			return i
		}
	}
	return -1
}

func (p *page) kit(w *markup.Writer, k, first int) {
	kt := &p.kits[k]
	id := kitID(k)
	w.Start("section", "class", "kit", "id", id, "aria-labelledby", id+"-h",
		"data-k", strconv.Itoa(k), "data-part", strconv.Itoa(p.partIndex(kt.Part)), "data-unit", strconv.Itoa(kt.Unit))
	w.Start("h3", "id", id+"-h")
	w.Text(kt.Part)
	w.Leaf("span", " "+kt.Serial(), "class", "serial")
	w.End()
	p.kitFacts(w, kt)
	p.stack(w, kt)
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", id+"-h")
	w.Start("table", "class", "plies")
	w.Leaf("caption", "Plies of "+kt.Title()+" in lay-up order", "class", "unseen")
	w.Start("thead")
	// On paper every sheet says whose plies these are.
	w.Start("tr", "class", "owner")
	w.Leaf("th", kt.Title()+" · "+title(p.rec), "colspan", "10", "scope", "colgroup")
	w.End()
	w.Start("tr")
	head := func(class string, lines ...string) {
		w.Start("th", "scope", "col", "class", class)
		for i, s := range lines {
			if i > 0 {
				w.Leaf("small", s)
			} else {
				w.Text(s)
			}
		}
		w.End()
	}
	head("n", "Order")
	w.Start("th", "scope", "col", "class", "thumb")
	w.Leaf("span", "Shape", "class", "unseen")
	w.End()
	head("", "Ply", "bag, note")
	head("", "Fabric", "direction laid")
	head("", "Hand", "face, packing")
	head("n", "Size, mm", "area, m²")
	head("n", "Fibre, kg", "resin, kg")
	head("", "Lies in", "roll · lot")
	head("box", "In kit")
	head("box", "Laid")
	w.End()
	w.End()
	w.Start("tbody")
	set := 0
	for i := range kt.Lines {
		if s := kt.Lines[i].Set; s != set && kt.Plan != nil && s > 0 && s <= len(kt.Plan.Sets) {
			set = s
			setRow(w, kt.Plan, &kt.Plan.Sets[s-1])
		}
		p.kitRow(w, kt, first+i)
	}
	w.End()
	w.End()
	w.End()
	w.End()
	w.Line()
}

func (p *page) kitFacts(w *markup.Writer, kt *kit.Kit) {
	t := kt.Totals
	w.Start("dl", "class", "facts")
	fact(w, "Plies", strconv.Itoa(t.Pieces))
	if t.Short > 0 {
		w.Start("div", "class", "bad")
		w.Leaf("dt", "Short of")
		w.Leaf("dd", strconv.Itoa(t.Short))
		w.End()
	}
	if rev := kt.PartRevision; rev != "" && rev != kt.Revision {
		fact(w, "Drawing revision", rev)
	}
	fact(w, "Area as cut", fixed(t.CutArea/1e6, 2)+thin+"m²")
	fact(w, "Fibre", fixed(t.Fibre, 2)+thin+"kg")
	if t.Resin > 0 {
		fact(w, "Resin in laminate", fixed(t.Resin, 2)+thin+"kg")
		fact(w, "Thickness", fixed(t.Thickness, 1)+thin+"mm")
	}
	if plan := kt.Plan; plan != nil {
		if plan.Mixes > 0 {
			fact(w, "Mixes", strconv.Itoa(plan.Mixes))
		}
		if plan.Minutes > 0 {
			fact(w, "Wet work, estimated", fixed(plan.Minutes, 0)+thin+"min")
		}
	}
	p.lifeFacts(w, kt)
	if len(kt.Bags) > 1 {
		fact(w, "Bags", strconv.Itoa(len(kt.Bags)))
	}
	w.Start("div", "class", "done screen")
	w.Leaf("dt", "In kit")
	w.Start("dd")
	w.Leaf("output", "0", "class", "got")
	w.Text(" of " + strconv.Itoa(t.Pieces))
	w.End()
	w.End()
	w.End()
}

// setRow heads the plies that are laid with one mix.
func setRow(w *markup.Writer, plan *kit.Plan, s *kit.Set) {
	w.Start("tr", "class", "set")
	w.Start("th", "colspan", "10", "scope", "rowgroup")
	w.Text("Wet set " + strconv.Itoa(s.Number))
	t := fmt.Sprintf(" orders %d–%d · laminate %s%skg", s.First, s.Last, fixed(s.Mass, 2), thin)
	if s.First == s.Last {
		t = fmt.Sprintf(" order %d · laminate %s%skg", s.First, fixed(s.Mass, 2), thin)
	}
	if s.ToMix > 0 {
		t += " · mix " + fixed(s.ToMix, 2) + thin + "kg"
		if plan.Resin != "" {
			t += " " + plan.Resin
		}
		if s.Mixes > 1 {
			t += fmt.Sprintf(" in %d pots", s.Mixes)
		}
	}
	if s.Minutes > 0 {
		t += " · about " + fixed(s.Minutes, 0) + thin + "min"
	}
	if end := paper.EndWords(plan, s); end != "" {
		t += " · " + end
	}
	w.Leaf("small", t)
	w.End()
	w.End()
}

// plyName is the ply's name, with its copy where there may be several.
func plyName(l *kit.Line) string {
	if l.Demand.Copy > 1 {
		return l.Demand.Ply + " (" + strconv.Itoa(l.Demand.Copy) + ")"
	}
	return l.Demand.Ply
}

func (p *page) kitRow(w *markup.Writer, kt *kit.Kit, n int) {
	r := &p.rows[n]
	l := r.line
	two := func(class, first, second string) {
		w.Start("td", markup.If(class != "", "class"), class)
		w.Text(first)
		if second != "" {
			w.Leaf("small", second)
		}
		w.End()
	}
	w.Start("tr", "id", rowID(n), markup.If(l.Place == nil, "class"), "short")
	w.Leaf("td", strconv.Itoa(l.Demand.Order), "class", "n ord")
	w.Start("td", "class", "thumb")
	p.thumb(w, l)
	w.End()
	w.Start("th", "scope", "row")
	w.Text(plyName(l))
	if s := bagNote(kt, l); s != "" {
		w.Leaf("small", s)
	}
	w.End()
	two("any", l.Demand.Fabric, directionWords(l))
	w.Start("td")
	if l.Demand.OppositeHand {
		w.Leaf("b", l.Hand())
	} else {
		w.Leaf("span", l.Hand(), "class", "usual")
	}
	// On paper only what is out of the ordinary is told.
	turned := l.Face() == kit.TurnOver
	w.Start("small", markup.If(!turned, "class"), "usual")
	if turned {
		w.Leaf("b", l.Face())
	} else {
		w.Text(l.Face())
	}
	if l.Packing.Rolled || l.Packing.NoFold {
		w.Leaf("span", " · "+l.Packing.String(), "class", "usual")
	}
	w.End()
	w.End()
	two("n", fixed(l.Net.X, 0)+" × "+fixed(l.Net.Y, 0), fixed(l.NetArea/1e6, 3))
	if m := l.Laminate; m != nil {
		resin := ""
		if m.Resin > 0 {
			resin = fixed(m.Resin, 3)
		}
		two("n", fixed(m.Fibre, 3), resin)
	} else {
		two("n", "–", "")
	}
	w.Start("td", "class", "where")
	if pl := l.Place; pl != nil {
		w.Start("a", "href", "#"+plyID(n))
		w.Text(pl.Layout + " #" + strconv.Itoa(pl.Position))
		w.End()
		where := orNone(pl.Roll)
		if pl.Lot != "" {
			where += " · " + pl.Lot
		}
		if pl.Layers > 1 {
			where += " · layer " + strconv.Itoa(pl.Layer)
		}
		w.Leaf("small", where)
	} else {
		w.Leaf("b", "SHORT", "class", "bad")
	}
	w.End()
	for _, box := range [2]string{"in kit", "laid"} {
		w.Start("td", "class", "box")
		w.Empty("input", "type", "checkbox", "aria-label", plyName(l)+" "+box, markup.If(l.Place == nil, "disabled"), "")
		w.End()
	}
	w.End()
}

func bagNote(kt *kit.Kit, l *kit.Line) string {
	s := ""
	if l.Bag >= 1 && l.Bag <= len(kt.Bags) && len(kt.Bags) > 1 {
		s = "bag " + l.BagLabel()
	}
	for _, more := range []string{panelWords(l.Demand.Panel), l.Demand.Note} {
		if s != "" && more != "" {
			s += " · "
		}
		s += more
	}
	return s
}

// panelWords says which panel of a divided ply a piece is.
func panelWords(p *nest.Panel) string {
	if p == nil {
		return ""
	}
	s := fmt.Sprintf("panel %d of %d of %s, %s joint", p.Number, p.Of, p.Ply, p.Joint)
	if p.Overlap > 0 {
		s += ", overlap " + fixed(p.Overlap, 0) + thin + "mm"
	}
	return s
}

func directionWords(l *kit.Line) string {
	if l.Directionless() {
		return "any direction"
	}
	s := degrees(l.LaidDeg())
	if l.Place != nil {
		if d := l.Place.Placed.DeviationDeg; d > 0.005 {
			s += " (+" + degrees(d) + ")"
		} else if d < -0.005 {
			s += " (" + degrees(d) + ")"
		}
	}
	return s
}
