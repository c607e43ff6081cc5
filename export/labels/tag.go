package labels

import (
	"fmt"
	"strings"

	"plyroom/export/paper"
	"plyroom/nest/kit"
)

// Remove stands on every ply tag.
const Remove = "REMOVE BEFORE WET-OUT"

// tall is the ratio of width to height under which a label is laid out with
// the code below the words instead of beside them.
const tall = 1.35

// A frame is the inside of one label: where, how large, and how much larger
// type is than on a label of 64 × 34 mm.
type frame struct {
	x, y, w, h float64
	scale      float64
	doc        *paper.Doc
}

func (p *printer) frame(x, y float64) frame {
	w, h := p.grid.Width, p.grid.Height
	scale := min(w/64, h/34)
	if w < tall*h {
		scale = min(w/50, h/60)
	}
	scale = min(max(scale, 0.62), 2.4)
	pad := 1.7 * scale
	return frame{x + pad, y + pad, w - 2*pad, h - 2*pad, scale, p.doc}
}

// text prints one line kept to w, in scaled type.
func (f *frame) text(x, y, w float64, s string, st paper.Style) {
	st.Pt *= f.scale
	st.Min *= f.scale
	f.doc.Text(x, y, w, s, st)
}

// tag prints the tag of one ply.
func (p *printer) tag(x, y float64, k *kit.Kit, l *kit.Line) error {
	f := p.frame(x, y)
	strip := 4.2 * f.scale
	p.doc.Badge(f.x, f.y+f.h-strip, f.w, strip, Remove, 9*f.scale, true)
	f.h -= strip + float64(0.6*f.scale)
	if f.w < tall*(f.h+strip) {
		return f.tallTag(k, l)
	}
	return f.wideTag(k, l)
}

// wideTag has the code at the right.
func (f frame) wideTag(k *kit.Kit, l *kit.Line) error {
	u := f.scale
	source := from(l)
	foot := (0.3 + float64(2.6*float64(len(source)))) * u
	side := min(f.h-foot, f.w*0.4)
	qx := f.x + f.w - side
	if _, err := f.doc.QR(qx, f.y, side, Code(k, l)); err != nil {
		return err
	}
	for i, s := range source {
		f.text(qx, f.y+f.h-float64((0.4+float64(2.6*float64(len(source)-1-i)))*u), side, s, paper.Style{Pt: 6.5, Min: 4.5, Align: paper.Centre})
	}
	w := f.w - side - float64(1.2*u)
	y := f.names(f.y, w, k, l)
	pw := min(w*0.46, 18*u)
	ph := f.y + f.h - y
	f.doc.Ply(f.x+0.3, y+0.3, pw-0.6, ph-0.6, paper.PictureOf(l))
	f.handling(f.x+pw+float64(0.8*u), y, w-pw-float64(0.8*u), ph, l)
	return nil
}

// tallTag has picture and code in the middle and the rest above and below.
func (f frame) tallTag(k *kit.Kit, l *kit.Line) error {
	u := f.scale
	y := f.names(f.y, f.w, k, l)
	foot := 16.5 * u
	side := min(f.w*0.56, f.y+f.h-foot-y)
	if _, err := f.doc.QR(f.x+f.w-side, y, side, Code(k, l)); err != nil {
		return err
	}
	f.doc.Ply(f.x+0.3, y+float64(0.8*u), f.w-side-float64(1.5*u), side-float64(1.6*u), paper.PictureOf(l))
	y += side
	f.handling(f.x, y, f.w, foot-4*u, l)
	f.text(f.x, f.y+f.h-float64(0.6*u), f.w, strings.Join(from(l), " · "), paper.Style{Pt: 7, Min: 5})
	return nil
}

// names prints order, ply, part, unit, fabric and direction, and returns where
// they end.
func (f *frame) names(y, w float64, k *kit.Kit, l *kit.Line) float64 {
	u := f.scale
	number := fmt.Sprint(l.Demand.Order)
	st := paper.Style{Pt: 22 * u, Bold: true}
	nw := min(f.doc.Width(number, st), w*0.3)
	f.text(f.x, y+float64(5.9*u), nw+0.1, number, paper.Style{Pt: 22, Min: 12, Bold: true})
	tx := f.x + nw + float64(1.6*u)
	tw := w - nw - float64(1.6*u)
	f.text(tx, y+float64(3*u), tw, l.Demand.Ply, paper.Style{Pt: 10.5, Min: 6, Bold: true})
	left, expires := life(l)
	f.text(tx, y+float64(5.9*u), tw, piece(k, l)+left, paper.Style{Pt: 6.8, Min: 4.5})
	f.text(f.x, y+float64(9*u), w, k.Part, paper.Style{Pt: 8, Min: 5})
	f.text(f.x, y+float64(11.7*u), w, unit(k)+expires, paper.Style{Pt: 6.8, Min: 4.5})
	d := direction(l)
	ds := paper.Style{Pt: 10 * u, Bold: true}
	dw := f.doc.Width(d, ds) + 0.2
	f.text(f.x, y+float64(15.5*u), w-dw-float64(1.5*u), l.Fabric.Name, paper.Style{Pt: 10, Min: 5.5, Bold: true})
	f.text(f.x+w-dw, y+float64(15.5*u), dw, d, paper.Style{Pt: 10, Bold: true, Align: paper.Right})
	return y + float64(16.4*u)
}

// handling prints face, hand and packing into a box of height h.
func (f *frame) handling(x, y, w, h float64, l *kit.Line) {
	u := f.scale
	badge := min(4*u, h*0.45)
	face := l.Face()
	f.doc.Badge(x, y+0.3, w, badge, face, 8*u, face == kit.TurnOver)
	lines := []string{strings.ToLower(l.Hand()), l.Packing.Word()}
	if l.Demand.OppositeHand {
		lines[0] = l.Hand()
	}
	if l.Packing.NoFold {
		lines[1] += ", NO FOLD"
	}
	// A long name of a bag is cut short, never the packing.
	lines[1] += " · bag "
	least := paper.Style{Pt: 4.2 * u}
	lines[1] += f.doc.Fit(l.BagLabel(), w-f.doc.Width(lines[1], least), least)
	step := min((h-badge-0.3)/2, 3.6*u)
	for i, s := range lines {
		st := paper.Style{Pt: min(7.5, step/u/0.4), Min: 4.2}
		st.Bold = i == 0 && l.Demand.OppositeHand
		f.text(x, y+badge+float64(step*float64(i+1)), w, s, st)
	}
}

// piece says which of how many: "order 3 of 12 · 1 of 2", and a panel's part.
func piece(k *kit.Kit, l *kit.Line) string {
	s := fmt.Sprintf("order %d of %d", l.Demand.Order, k.Lines[len(k.Lines)-1].Demand.Order)
	if p := l.Demand.Panel; p != nil {
		s += fmt.Sprintf(" · panel %d of %d", p.Number, p.Of)
	}
	n := 0
	for i := range k.Lines {
		if k.Lines[i].Demand.Ply == l.Demand.Ply {
			n++
		}
	}
	if n > 1 {
		s += fmt.Sprintf(" · piece %d of %d", l.Demand.Copy, n)
	}
	return s
}

// life says what prepreg has left, in two pieces that each follow other words.
func life(l *kit.Line) (left, expires string) {
	if l.Life == nil {
		return "", ""
	}
	left = " · " + paper.Hours(l.Life.Left) + " left"
	if l.Life.Left <= 0 {
		left = " · OUT-LIFE USED UP"
	}
	if l.Life.Expires != "" {
		expires = " · exp. " + string(l.Life.Expires)
	}
	return left, expires
}

// unit names unit and revision.
func unit(k *kit.Kit) string {
	s := k.Serial()
	if strings.TrimSpace(k.PartRevision) != "" {
		s += " · revision " + k.PartRevision
	}
	return s
}

// from says where the piece was cut: in which layout, and from which roll and
// lot.
func from(l *kit.Line) []string {
	p := l.Place
	s := fmt.Sprintf("%s no. %d", p.Layout, p.Position)
	if p.CutAgain {
		s = "cut again " + p.Layout
	}
	if p.Layers > 1 {
		s += fmt.Sprintf(" layer %d", p.Layer)
	}
	var fabric []string
	if p.Roll != "" {
		fabric = append(fabric, "roll "+p.Roll)
	}
	if p.Lot != "" {
		fabric = append(fabric, "lot "+p.Lot)
	}
	if len(fabric) == 0 {
		return []string{s}
	}
	return []string{s, strings.Join(fabric, " · ")}
}

// direction is the angle asked for, or "any".
func direction(l *kit.Line) string {
	if l.Directionless() {
		return "any"
	}
	return paper.Degrees(l.AskedDeg)
}
