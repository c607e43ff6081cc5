package kitlist

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// rowHeight is that of one piece, mm: three lines of text and boxes that a
// gloved hand can tick.
const rowHeight = 15.5

// A column of the table of pieces.
type column struct {
	title string
	width float64
}

// columnsFor spreads what the page has over the columns; only the text of the
// ply gives way.
func columnsFor(w float64) []column {
	c := []column{
		{"Order", 12}, {"As laid", 22}, {"Ply, fabric, size", 0}, {"Direction", 19.5},
		{"Mass, thickness", 21.5}, {"Comes from", 27}, {"Handling", 27.5},
		{"Cut", 7.5}, {"Kit", 7.5}, {"Laid", 7.5},
	}
	rest := w
	for _, k := range c {
		rest -= k.width
	}
	c[2].width = rest
	return c
}

// lines prints every piece in lay-up order, a band before each wet set and the
// job's note on a ply under its row. Copies that follow each other share a note;
// a further page or wet set has it again.
func (s *sheet) lines() {
	cols := columnsFor(s.w)
	s.tableHead(cols)
	set := 0
	for i := range s.kit.Lines {
		l := &s.kit.Lines[i]
		note := s.noteLines(l, s.w-noteIndent(cols)-2)
		need := rowHeight + float64(noteHeight*float64(min(len(note), noteTogether)))
		band := l.Set != set && l.Set > 0
		if band {
			need += bandHeight
		}
		again := i > 0 && !band && l.Demand.Ply == s.kit.Lines[i-1].Demand.Ply && l.Demand.Note == s.kit.Lines[i-1].Demand.Note
		if again && s.y+rowHeight <= s.bottom {
			note, need = nil, rowHeight
		}
		if s.room(need) {
			s.tableHead(cols)
			if !band && l.Set > 0 {
				s.bandText(fmt.Sprintf("WET SET %d, continued", l.Set))
			}
		}
		if band {
			s.band(&s.kit.Plan.Sets[l.Set-1])
			set = l.Set
		}
		s.row(cols, l)
		s.note(cols, note)
		s.doc.Line(s.x, s.y, s.x+s.w, s.y, paper.Hairline, 0.3)
	}
}

const (
	noteHeight = 4.2
	// noteTogether is how many lines of a note are kept with their row; what is
	// longer may go on overleaf.
	noteTogether = 4
)

var plyNote = paper.Style{Pt: 8.5, Bold: true}

// noteIndent is where notes stand: under the name of the ply.
func noteIndent(cols []column) float64 { return cols[0].width + cols[1].width + 1 }

// noteLines is the job's note on a ply, broken to a width; nil where it has
// none.
func (s *sheet) noteLines(l *kit.Line, w float64) []string {
	note := strings.TrimSpace(l.Demand.Note)
	if note == "" {
		return nil
	}
	who := "Note: "
	if n := s.copies[l.Demand.Ply]; n > 1 {
		who = fmt.Sprintf("Note on all %d: ", n)
	}
	return s.doc.Lines(who+note, w, plyNote)
}

// note prints the lines of a note under the row it belongs to.
func (s *sheet) note(cols []column, lines []string) {
	for _, l := range lines {
		if s.room(noteHeight) {
			s.tableHead(cols)
		}
		s.doc.Fill(s.x, s.y, s.w, noteHeight, 0.92)
		s.doc.Text(s.x+noteIndent(cols), s.y+3.1, s.w-noteIndent(cols)-1, l, plyNote)
		s.y += noteHeight
	}
}

func (s *sheet) tableHead(cols []column) {
	const h = 6.0
	s.doc.Fill(s.x, s.y, s.w, h, 0)
	x := s.x
	for i, c := range cols {
		st := paper.Style{Pt: 7.5, Min: 5, Bold: true, Grey: 1}
		if i >= len(cols)-3 {
			st.Align = paper.Centre
			s.doc.Text(x+0.3, s.y+4.1, c.width-0.6, c.title, st)
		} else {
			s.doc.Text(x+1, s.y+4.1, c.width-1.5, c.title, st)
		}
		x += c.width
	}
	s.y += h
}

const bandHeight = 5.6

// band announces a wet set.
func (s *sheet) band(set *kit.Set) {
	minutes := ""
	if set.Minutes > 0 {
		minutes = fmt.Sprintf("about %.0f min", set.Minutes)
	}
	text := sentence(fmt.Sprintf("WET SET %d", set.Number), setOrders(s.kit, set), minutes)
	if set.ToMix > 0 {
		text = sentence(text, fmt.Sprintf("mix %.2f kg resin in %s", set.ToMix, count(set.Mixes, "mix", "mixes")))
	} else {
		text = sentence(text, "no resin")
	}
	text = sentence(text, paper.EndWords(s.kit.Plan, set))
	s.bandText(text)
}

func (s *sheet) bandText(text string) {
	s.doc.Fill(s.x, s.y, s.w, bandHeight, 0.82)
	s.doc.Text(s.x+1, s.y+4, s.w*0.88, text, paper.Style{Pt: 8.5, Min: 6.5, Bold: true})
	s.doc.Text(s.x+float64(s.w*0.88), s.y+4, float64(s.w*0.12)-1, "estimate", paper.Style{Pt: 8, Align: paper.Right})
	s.y += bandHeight
}

// setOrders writes the orders of a set in words: "orders 4–6".
func setOrders(k *kit.Kit, set *kit.Set) string {
	if resumes(k, set) {
		return setRun(k, set)
	}
	return orders(set.First, set.Last)
}

// resumes reports whether a set goes on with the order inside which the set
// before it ended.
func resumes(k *kit.Kit, set *kit.Set) bool {
	return set.From > 0 && k.Lines[set.From-1].Demand.Order == set.First
}

// setRun writes the orders of a set, 4 or 4–6, and says where the set before it
// ended inside an order.
func setRun(k *kit.Kit, set *kit.Set) string {
	rest := resumes(k, set)
	switch {
	case rest && set.First == set.Last:
		return fmt.Sprintf("rest of order %d", set.First)
	case rest:
		return fmt.Sprintf("rest of order %d, to %d", set.First, set.Last)
	case set.First == set.Last:
		return fmt.Sprint(set.First)
	}
	return fmt.Sprintf("%d–%d", set.First, set.Last)
}

// row prints one piece.
func (s *sheet) row(cols []column, l *kit.Line) {
	d := s.doc
	x, y := s.x, s.y
	cell := func(i int) (float64, float64) {
		at := x
		for _, c := range cols[:i] {
			at += c.width
		}
		return at, cols[i].width
	}
	if l.Place == nil {
		d.Fill(x, y, s.w, rowHeight, 0.92)
	}

	cx, cw := cell(0)
	d.Text(cx, y+8.3, cw, fmt.Sprint(l.Demand.Order), paper.Style{Pt: 17, Min: 9, Bold: true, Align: paper.Centre})
	small, under := paper.Style{Pt: 7.5, Min: 5, Align: paper.Centre}, y+11.6
	if n := s.copies[l.Demand.Ply]; n > 1 {
		d.Text(cx, under, cw, fmt.Sprintf("%d of %d", l.Demand.Copy, n), small)
		under += 3
	}
	if p := l.Demand.Panel; p != nil {
		d.Text(cx+0.3, under, cw-0.6, fmt.Sprintf("panel %d/%d", p.Number, p.Of), small)
	}

	cx, cw = cell(1)
	d.Ply(cx+1.2, y+1.2, cw-2.4, rowHeight-2.4, paper.PictureOf(l))

	cx, cw = cell(2)
	d.Text(cx+1, y+4.6, cw-2, l.Demand.Ply, paper.Style{Pt: 11, Min: 7.5, Bold: true})
	d.Text(cx+1, y+9, cw-2, l.Fabric.Name, paper.Style{Pt: 9.5, Min: 7})
	text := size(l.Net) + " mm"
	if l.Cut != l.Net {
		text = size(l.Net) + ", cut " + size(l.Cut) + " mm"
	}
	d.Text(cx+1, y+13.3, cw-2, sentence(text, squareMetres(l.NetArea)), paper.Style{Pt: 8, Min: 5.5})

	cx, cw = cell(3)
	s.direction(cx, y, cw, l)

	cx, cw = cell(4)
	s.masses(cx, y, cw, l)

	cx, cw = cell(5)
	s.source(cx, y, cw, l)

	cx, cw = cell(6)
	s.handling(cx, y, cw, l)

	const side = 6.0
	for i := 7; i < 10; i++ {
		cx, cw = cell(i)
		d.Tick(cx+(cw-side)/2, y+(rowHeight-side)/2, side)
	}
	s.y += rowHeight
}

// direction prints what is asked, the tolerance, and how the warp lies where
// that is another angle.
func (s *sheet) direction(x, y, w float64, l *kit.Line) {
	taken := s.doc.Text(x+1, y+6, w-1.5, direction(l), paper.Style{Pt: 13, Min: 9, Bold: true})
	if l.Directionless() {
		return
	}
	note := paper.Style{Pt: 8, Min: 5.5}
	s.doc.Text(x+taken+2, y+6, w-taken-2.5, fmt.Sprintf("±%g°", l.Demand.ToleranceDeg), paper.Style{Pt: 7, Min: 4.5})
	for i, words := range laid(l) {
		s.doc.Text(x+1, y+10+float64(3.5*float64(i)), w-1.5, words, note)
	}
}

// masses prints fibre, resin and thickness; nothing for what has no fibre.
func (s *sheet) masses(x, y, w float64, l *kit.Line) {
	m := l.Laminate
	if m == nil {
		s.doc.Text(x+1, y+4.6, w-2, "no fibre", paper.Style{Pt: 7.5, Grey: 0.3})
		return
	}
	row := func(at float64, label, value, unit string) {
		if value == "" {
			return
		}
		s.doc.Text(x+1, y+at, 8, label, paper.Style{Pt: 7, Grey: 0.3})
		s.doc.Text(x+6, y+at, w-11.5, value, paper.Style{Pt: 8.5, Min: 6, Align: paper.Right})
		s.doc.Text(x+w-4.8, y+at, 5, unit, paper.Style{Pt: 7, Grey: 0.3})
	}
	row(4.6, "fibre", kilograms(m.Fibre, 3), "kg")
	row(9, "resin", kilograms(m.Resin, 3), "kg")
	row(13.3, "cured", kilograms(m.Thickness, 2), "mm")
}

// source prints layout, position, roll and lot.
func (s *sheet) source(x, y, w float64, l *kit.Line) {
	p := l.Place
	if p == nil {
		s.doc.Badge(x+1, y+3.5, w-3, 7, "SHORT", 11, true)
		return
	}
	at := fmt.Sprintf("%s  no. %d", p.Layout, p.Position)
	if p.CutAgain {
		at = "cut again " + p.Layout
	}
	if p.Layers > 1 {
		at += fmt.Sprintf("  layer %d", p.Layer)
	}
	s.doc.Text(x+1, y+4.6, w-2, at, paper.Style{Pt: 9.5, Min: 6.5, Bold: true})
	roll := "roll not named"
	if p.Roll != "" {
		roll = "roll " + p.Roll
	}
	s.doc.Text(x+1, y+9, w-2, roll, paper.Style{Pt: 8, Min: 5.5})
	lot := ""
	if p.Lot != "" {
		lot = "lot " + p.Lot
	}
	if l.Life != nil {
		lot = sentence(lot, paper.Hours(l.Life.Left)+" left")
	}
	s.doc.Text(x+1, y+13.3, w-2, lot, paper.Style{Pt: 8, Min: 5.5})
}

// handling says face, hand, bag and packing in words.
func (s *sheet) handling(x, y, w float64, l *kit.Line) {
	if f := l.Face(); f != "" {
		s.doc.Badge(x+1, y+1.2, w-2.5, 4.8, f, 8.5, f == kit.TurnOver)
	}
	hand := paper.Style{Pt: 7.5, Min: 6}
	hand.Bold = l.Demand.OppositeHand
	s.doc.Text(x+1, y+9.2, w-2, handWords(l), hand)
	packing := ", " + l.Packing.Word()
	if l.Packing.NoFold {
		packing += ", NO FOLD"
	}
	if j := jointWords(l); j != "" {
		packing += ", " + j
	}
	// A long name of a bag is cut short, never the packing.
	least := paper.Style{Pt: 5.5}
	bag := "bag " + s.doc.Fit(l.BagLabel(), w-2-s.doc.Width("bag "+packing, least), least)
	s.doc.Text(x+1, y+13.3, w-2, bag+packing, paper.Style{Pt: 7.5, Min: 5.5})
}

// handWords is the hand as printed: capitals only where it matters.
func handWords(l *kit.Line) string {
	if l.Demand.OppositeHand {
		return kit.OppositeHand
	}
	return "as drawn"
}

// jointWords says how a panel of a divided ply meets its neighbours.
func jointWords(l *kit.Line) string {
	switch p := l.Demand.Panel; {
	case p == nil:
		return ""
	case p.Joint == shapes.JointLap && p.Overlap > 0:
		return fmt.Sprintf("lap %g mm", p.Overlap)
	default:
		return string(p.Joint)
	}
}
