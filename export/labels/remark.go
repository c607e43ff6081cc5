package labels

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
)

// remark prints a last label that says which characters could not be printed
// on those before it. The QR codes hold the names in full.
func (p *printer) remark(missing []rune) {
	x, y := p.place()
	f := p.frame(x, y)
	u := f.scale
	p.doc.Badge(f.x, f.y, f.w, 4.4*u, "NO TAG: NOTE ON THIS PRINT", 8*u, false)
	st := paper.Style{Pt: 7 * u}
	step := paper.LineHeight(st.Pt)
	at := f.y + float64(4.4*u) + step
	for _, line := range p.doc.Lines(MissingWords(missing), f.w, st) {
		if at > f.y+f.h {
			return
		}
		p.doc.Text(f.x, at, f.w, line, st)
		at += step
	}
}

// MissingWords says which characters the embedded fonts lack, by their code
// points; empty where none is.
func MissingWords(missing []rune) string {
	if len(missing) == 0 {
		return ""
	}
	const shown = 8
	var codes []string
	for _, r := range missing[:min(len(missing), shown)] {
		codes = append(codes, fmt.Sprintf("U+%04X", r))
	}
	more := ""
	if n := len(missing) - len(codes); n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	return fmt.Sprintf("Names hold characters that cannot be printed and are shown as %c (%s%s). The codes and the kit list's CSV have them in full.",
		paper.Substitute, strings.Join(codes, ", "), more)
}
