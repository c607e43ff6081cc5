package jobfile

import (
	"fmt"
	"sort"

	"plyroom/shapes"
)

// readBuying reads how a fabric is bought.
func (r *reader) readBuying(fabric *fields, f *shapes.Fabric) {
	n := fabric.values["buying"]
	if n == nil || n.kind == nullNode {
		return
	}
	m := r.fields(n, buyingForm, "")
	if m == nil {
		return
	}
	b := &shapes.Buying{Unit: shapes.PerMetre}
	if f.DeliveryLength > 0 {
		b.Unit = shapes.PerRoll
	}
	if m.has("sold_by") {
		word, _ := m.word("sold_by")
		b.Unit = shapes.PriceUnit(word)
	}
	switch {
	case b.Unit == shapes.PerRoll && f.DeliveryLength == 0:
		m.fault("sold_by", "sold by the roll, but the length of a roll is not stated", `state the fabric's "delivery_length"`)
	case b.Unit == shapes.PerKilogram && f.ArealMass == 0 && f.Construction != "":
		m.fault("sold_by", "sold by mass, but the fabric has no areal mass", "")
	}
	if b.Unit == shapes.PerRoll {
		b.Step = 1
	}
	if m.has("step") {
		b.Step, _ = m.number("step")
	}
	b.Minimum = m.figure("minimum")
	b.LeadTime, _ = m.whole("lead_time")
	for _, n := range m.list("price_breaks") {
		if bm := r.fields(n, priceBreakForm, ""); bm != nil {
			from, ok := bm.number("from")
			if price := r.readPrice(bm, "price"); ok && price != nil {
				b.Breaks = append(b.Breaks, shapes.PriceBreak{From: from, Price: *price})
			}
		}
	}
	sort.SliceStable(b.Breaks, func(i, j int) bool { return b.Breaks[i].From < b.Breaks[j].From })
	for _, n := range m.list("widths") {
		if wm := r.fields(n, deliveryWidthForm, ""); wm != nil {
			w := shapes.DeliveryWidth{Width: wm.figure("width"), DeliveryLength: wm.figure("delivery_length"), Price: r.readPrice(wm, "price")}
			if w.Width > 0 && w.Width <= 2*f.Selvedge {
				wm.fault("width", fmt.Sprintf("two selvedges of %s mm leave nothing of a width of %s mm", figure(f.Selvedge), figure(w.Width)), "")
			}
			r.stateLength(wm, "delivery_length", fmt.Sprintf("a roll of %s, %s mm wide, as delivered", quote(f.Name), figure(w.Width)), w.DeliveryLength, w.Width, false)
			b.Widths = append(b.Widths, w)
		}
	}
	for _, n := range m.list("orders") {
		if om := r.fields(n, openOrderForm, ""); om != nil {
			o := shapes.OpenOrder{Length: om.figure("length"), Reserved: om.figure("reserved")}
			o.Name, _ = om.text("order")
			o.Due, _ = om.date("due")
			r.stateLength(om, "length", "order "+quote(o.Name), o.Length, f.Width, false)
			if o.Length > 0 && o.Reserved > o.Length {
				om.fault("reserved", fmt.Sprintf("%s mm are reserved of an order of %s mm", figure(o.Reserved), figure(o.Length)), "")
			}
			b.Orders = append(b.Orders, o)
		}
	}
	f.Buying = b
}
