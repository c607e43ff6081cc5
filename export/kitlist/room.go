package kitlist

import (
	"fmt"
	"io"
	"sort"
	"strings"

	"plyroom/export/paper"
	"plyroom/export/table"
	"plyroom/nest/kit"
)

// A Room is what the document of the whole cutting room is made from.
type Room struct {
	Kits []kit.Kit
	// Schedule is nil where nothing is known about the time laying takes.
	Schedule *Schedule
}

// WriteRoom prints what the cutting room needs of all kits together: the kits
// in an overview, when each must leave, and the walk along the table, with a
// box to tick for every piece in the order in which it comes off.
func WriteRoom(w io.Writer, r Room, s Settings) error {
	if s.Paper.Width <= 0 {
		s.Paper = paper.A4
	}
	job, revision := "", ""
	if len(r.Kits) > 0 {
		job, revision = r.Kits[0].Job, r.Kits[0].Revision
	}
	h := heading{title: job, right: "revision " + orNone(revision), foot: footLine(job, revision, "cutting room")}
	begin := func() *sheet {
		sh := emptySheet("Cutting room: "+job, h, s)
		for i := range r.Kits {
			if p := r.Kits[i].Plan; p != nil {
				sh.resin = p.Resin // every kit's is the job's
			}
		}
		return sh
	}
	return printSheet(w, begin, func(sh *sheet) { sh.cuttingRoom(r) })
}

// cuttingRoom prints the whole document.
func (s *sheet) cuttingRoom(r Room) {
	s.newPage()
	s.doc.Text(s.x, s.y+3, s.w, "CUTTING ROOM", paper.Style{Pt: 10, Bold: true, Grey: 0.25})
	s.doc.Text(s.x, s.y+11.5, s.w*0.7, s.head.title, paper.Style{Pt: 20, Min: 12, Bold: true})
	s.doc.Text(s.x+float64(s.w*0.72), s.y+11.5, s.w*0.28, s.head.right, paper.Style{Pt: 11, Min: 8, Bold: true, Align: paper.Right})
	s.y += 16
	gridOf(Overview(r.Kits), "Kits", "Layouts: how many hold a ply of the kit. Walk: metres along the table from the middle of its first ply to that of its last, all layouts added up. Resin, sets and mixes are estimates.",
		map[string]float64{"kit": 6, "part": 26, "unit": 6, "revision": 6, "wet_sets": 6, "mixes": 7, "resin_kg": 11, "resin_to_mix_kg": 11, "cut_area_m2": 10}).print(s, s.x, s.w)
	if r.Schedule != nil {
		s.timetable(r.Schedule)
	}
	s.remarks()
	s.cautions()
	s.offTable(r)
}

// timetable prints when each set leaves, and what that rests on.
func (s *sheet) timetable(c *Schedule) {
	t := Timetable(c)
	t.Columns[len(t.Columns)-1].FileOnly = true // stands below the row
	g := gridOf(t, "Timetable (estimates)", "", map[string]float64{"leave": 22, "part": 27, "unit": 7, "wet_set": 6, "orders": 26, "crew": 7, "lay": 18, "done": 18, "ready": 19, "late_min": 10})
	g.tick = true
	g.strong = func(i int) bool { return c.Slots[i].Late() > 0 }
	g.under = func(i int) string {
		words := StopWords(&c.Slots[i])
		if words == "" {
			return ""
		}
		return sentence(c.Slots[i].Title(), words)
	}
	g.print(s, s.x, s.w)
	for _, words := range c.Words() {
		s.bullet(words, paper.Style{Pt: 8.5})
	}
	s.y += 4
}

// gridOf prints what a terminal shows of a table. Shares are the widths of
// columns by key; the rest take their place in turn.
func gridOf(t *table.Table, title, note string, shares map[string]float64) *grid {
	g := &grid{title: title, note: note, total: t.Footer != nil}
	row := func(cells []table.Cell) []string {
		var out []string
		for i, c := range t.Columns {
			if !c.FileOnly {
				out = append(out, cells[i].String())
			}
		}
		return out
	}
	for _, c := range t.Columns {
		if c.FileOnly {
			continue
		}
		share, ok := shares[c.Key]
		if !ok {
			share = 9
		}
		// The table's note says what is estimated, for all of it.
		g.fields = append(g.fields, field{strings.TrimSuffix(c.Title, " (est.)"), share, c.Right})
	}
	for _, r := range t.Rows {
		g.rows = append(g.rows, row(r))
	}
	if t.Footer != nil {
		g.rows = append(g.rows, row(t.Footer))
	}
	return g
}

// A lifted is one piece as it comes off the table.
type lifted struct {
	kit  *kit.Kit
	line *kit.Line
}

// offTable prints the walk: a table for every layout, a row for every piece.
func (s *sheet) offTable(r Room) {
	all := walk(r.Kits)
	for i := 0; i < len(all); {
		j := i
		for j < len(all) && all[j].line.Place.LayoutIndex == all[i].line.Place.LayoutIndex {
			j++
		}
		if i == 0 {
			s.newPage()
			s.doc.Text(s.x, s.y+4, s.w, "OFF THE TABLE", paper.Style{Pt: 10, Bold: true, Grey: 0.25})
			s.y += 6.5
			st := paper.Style{Pt: 8.5}
			for _, line := range s.doc.Lines(WalkWords(r.Kits), s.w, st) {
				s.doc.Text(s.x, s.y+3, s.w, line, st)
				s.y += paper.LineHeight(st.Pt)
			}
			s.y += 3
		}
		liftGrid(all[i:j]).print(s, s.x, s.w)
		i = j
	}
}

// walk lists every placed piece as it comes off the table.
func walk(kits []kit.Kit) []lifted {
	var all []lifted
	for i := range kits {
		for j := range kits[i].Lines {
			if l := &kits[i].Lines[j]; l.Place != nil {
				all = append(all, lifted{&kits[i], l})
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].line.Place.Before(all[j].line.Place) })
	return all
}

// liftGrid is the table of one layout.
func liftGrid(pieces []lifted) *grid {
	first := pieces[0].line
	title := "Layout " + first.Place.Layout
	if first.Place.CutAgain {
		title = "Cut again " + first.Place.Layout
	}
	g := &grid{
		title: title, tick: true,
		fields: []field{
			{"no.", 7, true}, {"to kit", 9, true}, {"part and unit", 31, false}, {"bag", 11, false},
			{"order", 8, true}, {"ply", 17, false}, {"handling", 41, false},
		},
	}
	spread := first.Place.Layers > 1
	from := map[string]bool{}
	for _, p := range pieces {
		at := p.line.Place
		name := p.line.Fabric.Name
		if at.Roll != "" {
			name = sentence(name, "roll "+at.Roll)
		}
		if at.Lot != "" {
			name = sentence(name, "lot "+at.Lot)
		}
		if spread {
			name = fmt.Sprintf("layer %d: %s", at.Layer, name)
		}
		if !from[name] {
			from[name] = true
			if g.note != "" {
				g.note += ". "
			}
			g.note += name
		}
		handling := p.line.Face()
		if p.line.Demand.OppositeHand {
			handling = sentence(handling, kit.OppositeHand)
		}
		handling = sentence(handling, p.line.Packing.Word())
		if spread {
			handling = sentence(fmt.Sprintf("layer %d", at.Layer), handling)
		}
		ply := p.line.Demand.Ply
		if p.line.Demand.Copy > 1 {
			ply += fmt.Sprintf(", piece %d", p.line.Demand.Copy)
		}
		g.rows = append(g.rows, []string{
			fmt.Sprint(at.Position), fmt.Sprint(p.kit.Number), fmt.Sprintf("%s, %d", p.kit.Part, p.kit.Unit),
			p.line.BagLabel(), fmt.Sprint(p.line.Demand.Order), ply, handling,
		})
	}
	return g
}

// WalkWords says how far apart the plies of the kits lie.
func WalkWords(kits []kit.Kit) string {
	var w kit.Walk
	layouts := map[int]bool{}
	for i := range kits {
		k := kits[i].Walk()
		w.Kits += k.Kits
		w.Visits += k.Visits
		w.Metres += k.Metres
		for j := range kits[i].Lines {
			if p := kits[i].Lines[j].Place; p != nil && !p.CutAgain {
				layouts[p.LayoutIndex] = true
			}
		}
	}
	return fmt.Sprintf("One walk along the table fills the kits. %s on %s: a kit is met on %.1f layouts and spans %.1f m of table, all layouts added up; %d meetings and %.1f m for all.",
		count(w.Kits, "kit lies", "kits lie"), count(len(layouts), "layout", "layouts"),
		float64(w.Visits)/float64(max(1, w.Kits)), w.Metres/float64(max(1, w.Kits)), w.Visits, w.Metres)
}
