package kitlist

import (
	"fmt"
	"io"
	"strings"

	"plyroom/export/paper"
	"plyroom/nest/kit"
)

// Settings change how a kit list is printed. The zero value is ready to use.
type Settings struct {
	// Paper is the sheet; zero takes A4.
	Paper paper.Size
	// Notes are remarks of the record to be printed at the end.
	Notes []string
}

// Margins, mm. The left one leaves room for holes to file the list by.
const (
	marginLeft   = 16.0
	marginRight  = 10.0
	marginTop    = 11.0
	marginBottom = 15.0
)

// WritePDF prints the kit list of one kit.
//
// Characters that the embedded fonts lack are printed as a box; the document
// says so at its end, and the CSV has them all.
func WritePDF(w io.Writer, k *kit.Kit, s Settings) error {
	if s.Paper.Width <= 0 {
		s.Paper = paper.A4
	}
	// The number of pages stands on every page: print once to learn it.
	first := newSheet(k, s, 0)
	first.all()
	second := newSheet(k, s, first.page)
	second.missing = first.doc.Missing()
	if len(second.missing) > 0 {
		// The remark about missing characters may need one page more.
		again := newSheet(k, s, 0)
		again.missing = second.missing
		again.all()
		second.pages = again.page
	}
	second.all()
	return second.doc.Write(w)
}

// A sheet is a kit list being printed: y runs down the current page.
type sheet struct {
	doc         *paper.Doc
	kit         *kit.Kit
	settings    Settings
	copies      map[string]int
	missing     []rune
	page, pages int
	// Left edge, width and lower end of what may be printed.
	x, w, bottom float64
	y            float64
}

func newSheet(k *kit.Kit, s Settings, pages int) *sheet {
	sh := &sheet{
		doc: paper.New(s.Paper, "Kit list: "+k.Title()), kit: k, settings: s, pages: pages,
		x: marginLeft, w: s.Paper.Width - marginLeft - marginRight, bottom: s.Paper.Height - marginBottom,
		copies: map[string]int{},
	}
	for i := range k.Lines {
		sh.copies[k.Lines[i].Demand.Ply]++
	}
	return sh
}

// all prints the document.
func (s *sheet) all() {
	s.newPage()
	s.firstHead()
	s.lines()
	s.summary()
	s.closing()
}

// newPage begins a page and prints its foot.
func (s *sheet) newPage() {
	s.doc.AddPage()
	s.page++
	s.y = marginTop
	s.foot()
	if s.page > 1 {
		s.nextHead()
	}
}

// room makes sure that h fits on the page, and reports whether a page was
// begun for it.
func (s *sheet) room(h float64) bool {
	if s.y+h <= s.bottom {
		return false
	}
	s.newPage()
	return true
}

// foot says which page of which document this is.
func (s *sheet) foot() {
	y := s.settings.Paper.Height - 8
	s.doc.Line(s.x, y-4, s.x+s.w, y-4, paper.Thin, 0.5)
	st := paper.Style{Pt: 8, Min: 6}
	pages := "?"
	if s.pages > 0 {
		pages = fmt.Sprint(s.pages)
	}
	st.Align = paper.Left
	s.doc.Text(s.x, y, s.w*0.78, s.footLine(), st)
	st.Align, st.Bold = paper.Right, true
	s.doc.Text(s.x+s.w*0.8, y, s.w*0.2, fmt.Sprintf("page %d of %s", s.page, pages), st)
}

func (s *sheet) footLine() string {
	k := s.kit
	parts := []string{k.Job}
	if k.Revision != "" {
		parts = append(parts, "revision "+k.Revision)
	}
	parts = append(parts, k.Title(), fmt.Sprintf("kit %d of %d", k.Number, k.Of))
	return strings.Join(parts, "  ·  ")
}
