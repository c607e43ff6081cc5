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
	// Overrun is set where the kit's prepreg would be out for too long.
	Overrun *kit.Overrun
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
	return printSheet(w, func() *sheet { return newSheet(k, s) }, (*sheet).all)
}

// printSheet prints a document as often as it takes to know what stands in it:
// the number of pages, which every page shows, and the characters that the
// fonts lack, which a remark lists.
func printSheet(w io.Writer, begin func() *sheet, all func(*sheet)) error {
	first := begin()
	all(first)
	second := begin()
	second.pages = first.page
	second.missing = first.doc.Missing()
	if len(second.missing) > 0 {
		// The remark about missing characters may need one page more.
		again := begin()
		again.missing = second.missing
		all(again)
		second.pages = again.page
	}
	all(second)
	return second.doc.Write(w)
}

// A heading names a document at the top of its further pages and at the foot
// of all.
type heading struct{ title, right, foot string }

// A sheet is a document being printed: y runs down the current page.
type sheet struct {
	doc  *paper.Doc
	head heading
	// kit is nil where the document is not of one kit.
	kit *kit.Kit
	// resin is the job's, by name; empty where none is mixed or named.
	resin       string
	settings    Settings
	copies      map[string]int
	missing     []rune
	page, pages int
	// Left edge, width and lower end of what may be printed.
	x, w, bottom float64
	y            float64
}

func emptySheet(title string, h heading, s Settings) *sheet {
	return &sheet{
		doc: paper.New(s.Paper, title), head: h, settings: s,
		x: marginLeft, w: s.Paper.Width - marginLeft - marginRight, bottom: s.Paper.Height - marginBottom,
		copies: map[string]int{},
	}
}

func newSheet(k *kit.Kit, s Settings) *sheet {
	sh := emptySheet("Kit list: "+k.Title(), heading{
		title: k.Part,
		right: fmt.Sprintf("%s  ·  revision %s", k.Serial(), orNone(k.PartRevision)),
		foot:  footLine(k.Job, k.Revision, k.Title(), fmt.Sprintf("kit %d of %d", k.Number, k.Of)),
	}, s)
	sh.kit = k
	if k.Plan != nil {
		sh.resin = k.Plan.Resin
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
	s.doc.Text(s.x, y, s.w*0.78, s.head.foot, st)
	st.Align, st.Bold = paper.Right, true
	s.doc.Text(s.x+float64(s.w*0.8), y, s.w*0.2, fmt.Sprintf("page %d of %s", s.page, pages), st)
}

// footLine joins the job and its revision with what else names a document.
func footLine(job, revision string, more ...string) string {
	parts := []string{job}
	if revision != "" {
		parts = append(parts, "revision "+revision)
	}
	return strings.Join(append(parts, more...), "  ·  ")
}
