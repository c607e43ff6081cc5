package report

import (
	"slices"
	"strconv"

	"plyroom/export/kitlist"
	"plyroom/export/markup"
	"plyroom/export/paper"
	"plyroom/export/table"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// shop is the section for those who hand kits over: when each leaves the
// cutting room, where the lay-up stops, and what prepreg has left. It writes
// nothing where nothing of this is known.
func (p *page) shop(w *markup.Writer) {
	if !p.hasShop() {
		return
	}
	w.Start("section", "id", "shop", "aria-labelledby", "shop-h")
	w.Leaf("h2", "Timetable", "id", "shop-h")
	if p.schedule != nil {
		w.Start("ul", "class", "says")
		for _, words := range p.schedule.Words() {
			w.Leaf("li", words)
		}
		w.End()
	}
	if t := p.stops(); len(t.Rows) > 0 {
		plain(w, "Planned stops, and stops for thickness", t, look{})
	}
	if t := p.lives(); len(t.Rows) > 0 {
		plain(w, "Prepreg", t, look{strong: func(i int) bool { return t.Rows[i][6].String() == usedUp }})
		w.Leaf("p", "Out-life left is what the roll has once it is thawed, as cutting begins; a kit has the least of its rolls. The supplier's data sheet governs; log every time out of the freezer.", "class", "note")
	}
	if p.schedule != nil {
		slots := p.schedule.Slots
		t := kitlist.Timetable(p.schedule)
		t.Columns[len(t.Columns)-1].FileOnly = true // stands below the row
		plain(w, "When each set leaves", t, look{
			strong: func(i int) bool { return slots[i].Late() > 0 || slots[i].Over },
			under: func(i int) string {
				words := kitlist.StopWords(&slots[i])
				if words == "" {
					return ""
				}
				return slots[i].Title() + ": " + words
			},
		})
	}
	w.End()
	w.Line()
}

// hasShop reports whether there is anything to say.
func (p *page) hasShop() bool {
	return p.schedule != nil || len(p.stops().Rows) > 0 || len(p.lives().Rows) > 0
}

// stops lists where the lay-up of every part that is made stops: the planned
// stops with the job's reasons, and where the thickness laid at once ends a wet
// set; and whether the time of cure is known.
func (p *page) stops() *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "part", Title: "part"}, {Key: "after", Title: "after order", Right: true}, {Key: "reason", Title: "reason"}, {Key: "cure", Title: "cure"},
	}}
	cure := 0.0
	if p.rec.Laminating != nil {
		cure = p.rec.Laminating.Cure
	}
	for _, part := range p.rec.Parts {
		for _, s := range p.stopsOf(&part) {
			t.Add(table.Text(part.Part), table.Text(s.after), table.Text(s.reason), table.Text(paper.CureWords(cure)))
		}
	}
	return t
}

// A stop is a pause of the lay-up in words.
type stop struct {
	order         int
	after, reason string
}

func (p *page) stopsOf(part *nest.Part) []stop {
	var out []stop
	for _, s := range part.Stops {
		out = append(out, stop{s.After, strconv.Itoa(s.After), s.Reason})
	}
	for k := range p.kits {
		kt := &p.kits[k]
		if kt.Part != part.Part || kt.Plan == nil {
			continue
		}
		for i := range kt.Plan.Sets {
			set := &kt.Plan.Sets[i]
			if set.End != kit.EndThickness {
				continue
			}
			s := stop{set.Last, strconv.Itoa(set.Last), "thickness limit"}
			if kt.Lines[set.To].Demand.Order == set.Last {
				s.after = "part of " + s.after
			}
			if !slices.Contains(out, s) { // units of a part stop alike
				out = append(out, s)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b stop) int { return a.order - b.order })
	return out
}

const usedUp = "USED UP"

// lives lists the rolls of prepreg that plies are cut from, and which kits hold
// them.
func (p *page) lives() *table.Table {
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric", Title: "fabric"}, {Key: "roll", Title: "roll"}, {Key: "lot", Title: "lot"}, {Key: "expires", Title: "expires"},
		{Key: "out", Title: "out so far, h", Right: true}, {Key: "thaw", Title: "thaw, h", Right: true}, {Key: "left", Title: "out-life left", Right: true},
		{Key: "kits", Title: "kits"},
	}}
	for i := range p.rec.Fabrics {
		f := &p.rec.Fabrics[i]
		if !f.Prepreg() {
			continue
		}
		rolls := f.Rolls
		if len(rolls) == 0 {
			rolls = []shapes.Roll{{}}
		}
		for k := range rolls {
			r := &rolls[k]
			var of []int
			for n := range p.kits {
				if holds(&p.kits[n], f.Name, r.Name) {
					of = append(of, p.kits[n].Number)
				}
			}
			if len(of) == 0 {
				continue
			}
			left, _ := f.OutLifeLeft(r)
			words := usedUp
			if left > 0 {
				words = paper.Hours(left)
			}
			t.Add(table.Text(f.Name), table.Text(orNone(r.Name)), table.Text(r.Lot), table.Text(string(r.Expires)),
				table.Text(fixed(r.OutUsed/60, 1)), table.Text(fixed(r.Thaw/60, 1)), table.Text(words), table.Text(kit.Runs(of)))
		}
	}
	return t
}

// holds reports whether a piece of a kit is cut from a roll.
func holds(k *kit.Kit, fabric, roll string) bool {
	for i := range k.Lines {
		l := &k.Lines[i]
		if l.Place != nil && l.Fabric.Name == fabric && l.Place.Roll == roll {
			return true
		}
	}
	return false
}

// A look says how rows of a plain table stand out; what is nil, none does.
type look struct {
	// strong names the rows that are bold.
	strong func(i int) bool
	// under is what stands in a marked row below one, or empty.
	under func(i int) string
}

// wholeCell is how long a text in a plain table may be, bytes, to stay on one
// line: times and runs of orders are not torn.
const wholeCell = 16

// plain writes a table as the terminal shows it.
func plain(w *markup.Writer, title string, t *table.Table, l look) {
	id := "t-" + t.Columns[0].Key + strconv.Itoa(len(t.Columns))
	w.Start("div", "class", "scroll", "tabindex", "0", "role", "region", "aria-labelledby", id)
	w.Start("table", "class", "plain")
	w.Leaf("caption", title, "id", id)
	w.Start("thead")
	w.Start("tr")
	for _, c := range t.Columns {
		if !c.FileOnly {
			w.Leaf("th", c.Title, "scope", "col", markup.If(c.Right, "class"), "n")
		}
	}
	w.End()
	w.End()
	w.Start("tbody")
	for i, row := range t.Rows {
		w.Start("tr", markup.If(l.strong != nil && l.strong(i), "class"), "bad")
		n := 0
		for k, c := range t.Columns {
			if !c.FileOnly {
				text, class := row[k].String(), ""
				switch {
				case c.Right:
					class = "n"
				case len(text) <= wholeCell:
					class = "whole"
				}
				w.Leaf("td", text, markup.If(class != "", "class"), class)
				n++
			}
		}
		w.End()
		if l.under == nil {
			continue
		}
		if words := l.under(i); words != "" {
			w.Start("tr", "class", "stop")
			w.Leaf("td", words, "colspan", strconv.Itoa(n))
			w.End()
		}
	}
	w.End()
	w.End()
	w.End()
}

// lifeFacts says what a kit's prepreg has left, and whether that is enough.
func (p *page) lifeFacts(w *markup.Writer, k *kit.Kit) {
	l := k.Life
	if l == nil {
		return
	}
	o := p.schedule.Overrun(k)
	w.Start("div", markup.If(o != nil || l.Left <= 0, "class"), "bad")
	w.Leaf("dt", "Prepreg at cutting")
	words := paper.LifeWords(l)
	if o != nil {
		words += "; about " + paper.Hours(o.Needed) + " needed to cure: TOO LONG"
	}
	w.Leaf("dd", words)
	w.End()
}
