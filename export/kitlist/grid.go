package kitlist

import "plyroom/export/paper"

// A field is one column of a small table.
type field struct {
	title string
	// share of the table's width; the shares of a table need not add up to 1.
	share float64
	right bool
}

// A grid is a small table of a summary.
type grid struct {
	title string
	// note stands under the title, in smaller type; may be empty.
	note   string
	fields []field
	rows   [][]string
	// total says that the last row is a total.
	total bool
	// write leaves rows high enough to write in, tick adds a box to be ticked at
	// the end of each.
	write, tick bool
	// strong says which rows are bold; nil for none.
	strong func(row int) bool
	// under says what stands in a marked line below a row; nil, or empty, for
	// nothing.
	under func(row int) string
}

const (
	gridTitle = 6.0
	gridNote  = 3.6
	gridHead  = 4.6
	gridAfter = 4.0
	gridUnder = 4.6
	// boxSide is that of a box to tick; tickRoom what a row leaves free for it.
	boxSide  = 5.0
	tickRoom = 7.5
)

func (g *grid) rowHeight() float64 {
	if g.write || g.tick {
		return 7
	}
	return 4.9
}

// height is what the whole table takes, mm.
func (g *grid) height(d *paper.Doc, w float64) float64 {
	return gridTitle + float64(float64(len(g.notes(d, w)))*gridNote) + gridHead + float64(float64(len(g.rows))*g.rowHeight()) + gridAfter
}

func (g *grid) notes(d *paper.Doc, w float64) []string {
	return d.Lines(g.note, w, noteStyle)
}

var noteStyle = paper.Style{Pt: 7.5, Grey: 0.25}

// print prints the table at x, from s.y down, over as many pages as it needs.
func (g *grid) print(s *sheet, x, w float64) {
	d := s.doc
	notes := g.notes(d, w)
	s.room(gridTitle + float64(float64(len(notes))*gridNote) + gridHead + 2*g.rowHeight())
	d.Text(x, s.y+4, w, g.title, paper.Style{Pt: 10.5, Min: 8, Bold: true})
	s.y += gridTitle
	for _, n := range notes {
		d.Text(x, s.y+1.8, w, n, noteStyle)
		s.y += gridNote
	}
	g.head(s, x, w)
	for i, r := range g.rows {
		need, under := g.rowHeight(), ""
		if g.under != nil {
			under = g.under(i)
		}
		if under != "" {
			need += gridUnder
		}
		if i == len(g.rows)-2 {
			need += g.rowHeight() // no last row alone on a page
		}
		if s.room(need) {
			g.head(s, x, w)
		}
		last := g.total && i == len(g.rows)-1
		if last {
			d.Line(x, s.y, x+w, s.y, paper.Medium, 0)
		}
		bold := last || g.strong != nil && g.strong(i)
		drop := 1.5
		if g.tick {
			drop = 2.3
			s.doc.Tick(x+w-boxSide-0.5, s.y+(g.rowHeight()-boxSide)/2, boxSide)
		}
		g.cells(s, x, w, s.y+g.rowHeight()-drop, r, paper.Style{Pt: 8.5, Min: 5.5, Bold: bold})
		s.y += g.rowHeight()
		if under != "" {
			d.Fill(x, s.y, w, gridUnder, 0.82)
			d.Text(x+6, s.y+3.3, w-7, under, paper.Style{Pt: 8.5, Min: 6.5, Bold: true})
			s.y += gridUnder
		}
		if !last {
			d.Line(x, s.y, x+w, s.y, paper.Hairline, 0.5)
		}
	}
	s.y += gridAfter
}

func (g *grid) head(s *sheet, x, w float64) {
	titles := make([]string, len(g.fields))
	for i, f := range g.fields {
		titles[i] = f.title
	}
	g.cells(s, x, w, s.y+3.2, titles, paper.Style{Pt: 7, Min: 5, Bold: true, Grey: 0.25})
	s.y += gridHead
	s.doc.Line(x, s.y, x+w, s.y, paper.Medium, 0)
}

// cells prints one row with its baseline at y.
func (g *grid) cells(s *sheet, x, w, y float64, texts []string, st paper.Style) {
	if g.tick {
		w -= tickRoom
	}
	var sum float64
	for _, f := range g.fields {
		sum += f.share
	}
	for i, f := range g.fields {
		fw := w * f.share / sum
		st.Align = paper.Left
		if f.right {
			st.Align = paper.Right
		}
		from := x + 0.5
		if !f.right && i > 0 && g.fields[i-1].right {
			from += 2.5 // figures and words keep apart
		}
		s.doc.Text(from, y, x+fw-1.3-from, texts[i], st)
		x += fw
	}
}
