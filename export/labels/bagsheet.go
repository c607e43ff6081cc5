package labels

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
	"plyroom/nest/kit"
)

// bag prints the sheet of one bag or tube.
func (p *printer) bag(x, y float64, k *kit.Kit, b *kit.Bag) error {
	f := p.frame(x, y)
	u := f.scale
	p.doc.Box(f.x-float64(0.6*u), f.y-float64(0.6*u), f.w+float64(1.2*u), f.h+float64(1.2*u), paper.Thick, 0)
	f.x, f.y, f.w, f.h = f.x+float64(0.8*u), f.y+float64(0.6*u), f.w-float64(1.6*u), f.h-float64(1.2*u)

	count := 7.2 * u
	f.count(f.y+f.h-count, count, b)
	f.h -= count + float64(0.8*u)
	w, side := f.w, 0.0
	if f.w < tall*(f.h+count) {
		side = min(f.w*0.7, f.h-float64(24*u))
	} else {
		side = min(f.h, f.w*0.34)
		w -= side + float64(1.2*u)
	}
	if side > 0 {
		if _, err := f.doc.QR(f.x+f.w-side, f.y+f.h-side, side, BagCode(k, b)); err != nil {
			return err
		}
	}
	title, which := fmt.Sprintf("BAG %s of %d", b.Label(), len(k.Bags)), ""
	if b.Name != "" {
		title, which = "BAG "+b.Name, fmt.Sprintf("%d of %d in this kit", b.Number, len(k.Bags))
	}
	y = f.y
	line := func(down float64, text string, st paper.Style) {
		if text != "" {
			y += float64(down * u)
			f.text(f.x, y, w, text, st)
		}
	}
	line(4, title, paper.Style{Pt: 13, Min: 5, Bold: true})
	line(3.4, which, paper.Style{Pt: 8, Min: 5, Bold: true})
	line(3.8, k.Part, paper.Style{Pt: 9.5, Min: 5.5, Bold: true})
	line(3, unit(k), paper.Style{Pt: 7, Min: 4.5})
	line(3.5, contents(b), paper.Style{Pt: 8, Min: 5})
	line(3, orderRange(b), paper.Style{Pt: 7, Min: 4.5})
	line(3, paper.LifeWords(k.Life), paper.Style{Pt: 7, Min: 4.5, Bold: true})
	return nil
}

// count is where the tags of a bag are counted out and back.
func (f *frame) count(y, h float64, b *kit.Bag) {
	u := f.scale
	f.doc.Line(f.x, y, f.x+f.w, y, paper.Medium, 0)
	w := f.w / 3
	n := fmt.Sprintf("%d tags", b.Pieces)
	if b.Pieces == 1 {
		n = "1 tag"
	}
	f.text(f.x, y+float64(5.2*u), w, n, paper.Style{Pt: 11, Min: 7, Bold: true})
	for i, s := range []string{"out", "back"} {
		x := f.x + float64(w*float64(i+1))
		lw := 8 * u
		f.text(x, y+float64(5.2*u), lw, s, paper.Style{Pt: 8, Min: 5})
		f.doc.Box(x+lw, y+float64(1.2*u), w-lw-float64(1.5*u), h-float64(1.8*u), paper.Medium, 0)
	}
}

// contents says how many pieces a bag holds and what they weigh.
func contents(b *kit.Bag) string {
	parts := []string{fmt.Sprintf("%d plies", b.Pieces)}
	if b.Pieces == 1 {
		parts[0] = "1 ply"
	}
	if b.Short > 0 {
		parts = append(parts, fmt.Sprintf("SHORT OF %d", b.Short))
	}
	if b.Fibre > 0 {
		parts = append(parts, fmt.Sprintf("%.2f kg dry", b.Fibre))
	}
	if b.Rolled > 0 {
		parts = append(parts, fmt.Sprintf("%d rolled", b.Rolled))
	}
	return strings.Join(parts, " · ")
}

// orderRange says which part of the lay-up a bag holds.
func orderRange(b *kit.Bag) string {
	if b.First == b.Last {
		return fmt.Sprintf("order %d", b.First)
	}
	return fmt.Sprintf("orders %s; %d on top", kit.Runs(b.Orders), b.First)
}
