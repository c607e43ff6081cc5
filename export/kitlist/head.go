package kitlist

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
)

// firstHead names the kit in full and sums it up.
func (s *sheet) firstHead() {
	d, k := s.doc, s.kit
	const boxW, boxH = 42.0, 24.0
	bx := s.x + s.w - boxW
	d.Box(bx, s.y, boxW, boxH, paper.Thick, 0)
	d.Text(bx+2, s.y+5, boxW-4, "UNIT", paper.Style{Pt: 8, Bold: true})
	d.Text(bx+2, s.y+5, boxW-4, fmt.Sprintf("kit %d of %d", k.Number, k.Of), paper.Style{Pt: 8, Align: paper.Right})
	d.Text(bx+2, s.y+18.5, boxW-4, fmt.Sprintf("%d of %d", k.Unit, k.Units), paper.Style{Pt: 30, Min: 14, Bold: true, Align: paper.Centre})

	w := s.w - boxW - 5
	d.Text(s.x, s.y+3, w, "KIT LIST", paper.Style{Pt: 10, Bold: true, Grey: 0.25})
	d.Text(s.x, s.y+12.5, w, k.Part, paper.Style{Pt: 24, Min: 13, Bold: true})
	d.Text(s.x, s.y+18.7, w, k.Job, paper.Style{Pt: 11, Min: 8})
	d.Text(s.x, s.y+23.7, w, sentence(labelled("Job revision", k.Revision), labelled("drawings", k.PartRevision)), paper.Style{Pt: 9.5, Min: 7})
	s.y += boxH + 3
	s.shortage()
	s.strip()
	s.pileNote()
	s.life()
}

// life says in bold what the kit's prepreg has left.
func (s *sheet) life() {
	l := s.kit.Life
	if l == nil {
		return
	}
	from := l.LeftFabric
	if l.LeftRoll != "" {
		from = "roll " + l.LeftRoll
	}
	text := fmt.Sprintf("Prepreg at cutting: %s (%s).", paper.LifeWords(l), from)
	if o := s.settings.Overrun; o != nil {
		text += fmt.Sprintf(" About %s are needed to the beginning of cure: TOO LONG.", paper.Hours(o.Needed))
	}
	text += " The supplier's data sheet governs; log every time out of the freezer."
	st := paper.Style{Pt: 9, Bold: true}
	for _, line := range s.doc.Lines(text, s.w, st) {
		s.doc.Text(s.x, s.y+3.6, s.w, line, st)
		s.y += paper.LineHeight(st.Pt)
	}
	s.y += 2
}

func labelled(label, value string) string {
	if strings.TrimSpace(value) == "" {
		return label + " not stated"
	}
	return label + " " + value
}

// shortage says in large letters what the kit lacks.
func (s *sheet) shortage() {
	short := s.kit.Short()
	if len(short) == 0 {
		return
	}
	names := make([]string, len(short))
	for i, l := range short {
		names[i] = fmt.Sprintf("%d %s", l.Demand.Order, l.Demand.Ply)
	}
	st := paper.Style{Pt: 9.5, Bold: true, Grey: 1}
	text := fmt.Sprintf("SHORT: %s not placed on any fabric. Do not start this kit. Missing: %s.",
		count(len(short), "piece is", "pieces are"), strings.Join(names, ", "))
	lines := s.doc.Lines(text, s.w-6, st)
	if len(lines) > 4 {
		lines = append(lines[:3], "… and more; see the lines marked SHORT.")
	}
	h := float64(float64(len(lines))*paper.LineHeight(st.Pt)) + 3
	s.doc.Fill(s.x, s.y, s.w, h, 0)
	for i, l := range lines {
		s.doc.Text(s.x+3, s.y+4.8+float64(float64(i)*paper.LineHeight(st.Pt)), s.w-6, l, st)
	}
	s.y += h + 2
}

// strip sums the kit up in a row of figures.
func (s *sheet) strip() {
	k := s.kit
	type cell struct{ label, value string }
	pieces := "pieces, and tags"
	if k.Totals.Short > 0 {
		pieces = "pieces asked for"
	}
	cells := []cell{
		{pieces, fmt.Sprint(k.Totals.Pieces)},
		{"bags", fmt.Sprint(len(k.Bags))},
		{"area as cut, m²", fmt.Sprintf("%.2f", k.Totals.CutArea/1e6)},
	}
	add := func(label, value string) {
		if value != "" {
			cells = append(cells, cell{label, value})
		}
	}
	add("dry fibre, kg", kilograms(k.Totals.Fibre, 2))
	if p := k.Plan; p != nil {
		add("resin to mix, kg (est.)", kilograms(p.ToMix, 2))
		if p.Mixes > 0 {
			add("mixes (est.)", fmt.Sprint(p.Mixes))
		}
		if len(p.Sets) > 0 {
			add("wet sets (est.)", fmt.Sprint(len(p.Sets)))
		}
	} else {
		add("resin, kg (est.)", kilograms(k.Totals.Resin, 2))
	}
	const h = 12.0
	w := s.w / float64(len(cells))
	for i, c := range cells {
		x := s.x + float64(float64(i)*w)
		if i > 0 {
			s.doc.Line(x, s.y+1.5, x, s.y+h-1.5, paper.Hairline, 0.4)
		}
		s.doc.Text(x+1, s.y+6.2, w-2, c.value, paper.Style{Pt: 14, Min: 9, Bold: true, Align: paper.Centre})
		s.doc.Text(x+1, s.y+10.3, w-2, c.label, paper.Style{Pt: 7.5, Min: 5.5, Align: paper.Centre, Grey: 0.25})
	}
	s.doc.Line(s.x, s.y, s.x+s.w, s.y, paper.Medium, 0)
	s.doc.Line(s.x, s.y+h, s.x+s.w, s.y+h, paper.Medium, 0)
	s.y += h + 1.5
}

// pileNote says how the kit is stacked.
func (s *sheet) pileNote() {
	text := "One order: nothing to pile. Lay against the tool."
	if n := len(s.kit.Lines); n > 0 && s.kit.Lines[n-1].Demand.Order > 1 {
		text = "Pile each bag from its last order up, so that its first lies on top. Lay order 1 first, against the tool."
	}
	s.doc.Text(s.x, s.y+3.6, s.w, text, paper.Style{Pt: 9, Min: 7, Bold: true})
	s.y += 6.2
}

// nextHead names the document at the top of every further page.
func (s *sheet) nextHead() {
	s.doc.Text(s.x, s.y+4, s.w*0.62, s.head.title, paper.Style{Pt: 13, Min: 8, Bold: true})
	s.doc.Text(s.x+float64(s.w*0.64), s.y+4, s.w*0.36, s.head.right, paper.Style{Pt: 10, Min: 7, Bold: true, Align: paper.Right})
	s.y += 8
}

func orNone(s string) string {
	if strings.TrimSpace(s) == "" {
		return "not stated"
	}
	return s
}
