package kitlist

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
)

// closing prints warnings, notes and cautions, then what is filled in by hand:
// the count of tags and the sign-off.
func (s *sheet) closing() {
	s.alone()
	s.remarks()
	s.cautions()
	s.tags()
	s.signOff()
}

// alone names the plies that take longer than the planned window, with what
// would help.
func (s *sheet) alone() {
	p := s.kit.Plan
	if p == nil {
		return
	}
	st := paper.Style{Pt: 8.5}
	if len(p.Thick) > 0 {
		s.room(16)
		s.doc.Text(s.x, s.y+4, s.w, "Plies thicker than is laid at once (estimates)", paper.Style{Pt: 10.5, Bold: true})
		s.y += 6.5
		for _, i := range p.Thick {
			l := &s.kit.Lines[i]
			s.bullet(fmt.Sprintf("Order %d, %s: %.2f mm cured, %g mm planned. Needs a thinner fabric in two plies; or a resin that stays cooler; or the supplier's word.",
				l.Demand.Order, l.Demand.Ply, l.Laminate.Thickness, p.SetThickness), st)
		}
		s.y += 3
	}
	if len(p.Alone) == 0 {
		return
	}
	s.room(16)
	s.doc.Text(s.x, s.y+4, s.w, "Plies that outlast the planned working time (estimates)", paper.Style{Pt: 10.5, Bold: true})
	s.y += 6.5
	for _, a := range p.Alone {
		l := &s.kit.Lines[a.Line]
		s.bullet(fmt.Sprintf("Order %d, %s: about %.0f min, %.0f min planned. Needs %s.",
			l.Demand.Order, l.Demand.Ply, a.Minutes, a.Window, strings.Join(a.Proposals(), "; or ")), st)
	}
	s.y += 3
}

// bullet prints a paragraph behind a dot.
func (s *sheet) bullet(text string, st paper.Style) {
	lines := s.doc.Lines(text, s.w-4, st)
	for i, l := range lines {
		s.room(paper.LineHeight(st.Pt))
		if i == 0 {
			s.doc.Text(s.x, s.y+3, 4, "•", st)
		}
		s.doc.Text(s.x+4, s.y+3, s.w-4, l, st)
		s.y += paper.LineHeight(st.Pt)
	}
}

// tags is where tags are counted out and back.
func (s *sheet) tags() {
	const h = 13.0
	s.room(h + 4)
	d := s.doc
	d.Box(s.x, s.y, s.w, h, paper.Thick, 0)
	n := s.kit.Totals.Pieces - s.kit.Totals.Short
	d.Text(s.x+3, s.y+5.5, s.w*0.4, fmt.Sprintf("%s in this kit", count(n, "tag", "tags")), paper.Style{Pt: 12, Bold: true})
	d.Text(s.x+3, s.y+10.3, s.w*0.4, "A tag left in the laminate is a defect.", paper.Style{Pt: 8.5, Min: 6})
	x := s.x + float64(s.w*0.42)
	w := s.w * 0.58 / 3
	for i, label := range []string{"counted out", "back before wet-out", "difference, must be 0"} {
		at := x + float64(float64(i)*w)
		d.Text(at, s.y+3.8, w-3, label, paper.Style{Pt: 7.5, Min: 5.5, Grey: 0.2})
		d.Box(at, s.y+5, w-3, h-7, paper.Medium, 0)
	}
	s.y += h + 4
}

// signOff is where people, batches and the climate are written down.
func (s *sheet) signOff() {
	const row, head, w0 = 8.5, 5.0, 30.0
	steps := []string{"Cut", "Kitted", "Checked", "Laid"}
	s.room(head + float64(row*float64(len(steps))) + row + 6)
	d := s.doc
	titles := []string{"name", "signature", "date", "start", "finish"}
	shares := []float64{0.32, 0.28, 0.16, 0.12, 0.12}
	x := s.x + w0
	for i, t := range titles {
		d.Text(x+1, s.y+3.4, 40, t, paper.Style{Pt: 7.5, Bold: true, Grey: 0.25})
		x += float64((s.w - w0) * shares[i])
	}
	s.y += head
	top := s.y
	for _, step := range steps {
		d.Line(s.x, s.y, s.x+s.w, s.y, paper.Thin, 0.2)
		d.Text(s.x, s.y+row-2.6, w0, step, paper.Style{Pt: 10, Bold: true})
		s.y += row
	}
	d.Line(s.x, s.y, s.x+s.w, s.y, paper.Thin, 0.2)
	x = s.x + w0
	for _, share := range shares {
		d.Line(x-0.5, top, x-0.5, s.y, paper.Hairline, 0.4)
		x += float64((s.w - w0) * share)
	}
	blanks := append([]string{"mould"}, paper.CareOf(s.resin).Blanks...)
	blanks = append(blanks, "shop °C", "humidity %")
	w := s.w / float64(len(blanks))
	for i, b := range blanks {
		d.Text(s.x+float64(float64(i)*w), s.y+3.6, w-2, b, paper.Style{Pt: 7.5, Min: 5.5, Bold: true, Grey: 0.25})
		d.Line(s.x+float64(float64(i)*w), s.y+row+1, s.x+float64(float64(i+1)*w)-2, s.y+row+1, paper.Thin, 0.2)
	}
	s.y += row + 5
}

// remarks prints notes of the record and what the fonts could not show.
func (s *sheet) remarks() {
	notes := append([]string(nil), s.settings.Notes...)
	if len(s.missing) > 0 {
		var codes []string
		for _, r := range s.missing[:min(len(s.missing), 12)] {
			codes = append(codes, fmt.Sprintf("U+%04X", r))
		}
		more := ""
		if len(s.missing) > len(codes) {
			more = " and more"
		}
		notes = append(notes, fmt.Sprintf("Names here hold characters that cannot be printed and are shown as %c (%s%s); the CSV has them in full.",
			paper.Substitute, strings.Join(codes, ", "), more))
	}
	if len(notes) == 0 {
		return
	}
	s.room(14)
	s.doc.Text(s.x, s.y+4, s.w, "Notes", paper.Style{Pt: 10.5, Bold: true})
	s.y += 5.5
	for _, n := range notes {
		s.bullet(n, paper.Style{Pt: 8})
	}
	s.y += 2.5
}

// Cautions are printed once per document, in plain words that fit the resin.
func Cautions(resin string) []string {
	care := paper.CareOf(resin).Cautions
	last := len(care) - 1
	out := append([]string{
		"Quantities of resin and working times are estimates from the job's own figures. The supplier's data sheet, local rules and licensed practice govern.",
	}, care[:last]...)
	return append(out, care[last]+" Keep clear of the moving knife; lock it out before reaching in.")
}

func (s *sheet) cautions() {
	st := paper.Style{Pt: 8}
	const pad = 2.5
	var lines []string
	for _, c := range Cautions(s.resin) {
		lines = append(lines, s.doc.Lines(c, s.w-2*pad-24, st)...)
	}
	h := float64(float64(len(lines))*paper.LineHeight(st.Pt)) + 2*pad
	s.room(h)
	s.doc.Box(s.x, s.y, s.w, h, paper.Medium, 0)
	s.doc.Text(s.x+pad, s.y+pad+2.6, 22, "CAUTION", paper.Style{Pt: 9.5, Bold: true})
	for i, l := range lines {
		s.doc.Text(s.x+pad+24, s.y+pad+2.4+float64(float64(i)*paper.LineHeight(st.Pt)), s.w-2*pad-24, l, st)
	}
	s.y += h + 4
}
