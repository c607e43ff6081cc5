package buy

import (
	"math"
	"sort"

	"plyroom/shapes"
)

// A Source is where fabric is drawn from.
type Source string

// The sources, in the order they are drawn from.
const (
	FromRemnant Source = "remnant"
	FromRoll    Source = "roll"
	FromOrder   Source = "open order"
)

// A Draw is fabric taken from one roll or order. Lengths are metres.
type Draw struct {
	Fabric string `json:"fabric"`
	Source Source `json:"source"`
	// Name is of the roll or order.
	Name string      `json:"name"`
	Lot  string      `json:"lot,omitempty"`
	Date shapes.Date `json:"date,omitempty"`
	// Free is what no other job needs; Take is what this one takes.
	Free float64 `json:"free_m"`
	Take float64 `json:"take_m"`
	// Left out says why nothing may be taken.
	Refused string `json:"refused,omitempty"`
}

// sound is the length of a roll outside its flaws, mm.
func sound(r *shapes.Roll) float64 {
	length := 0.0
	for _, s := range stretches(r, r.Length) {
		length += s.To - s.From
	}
	return length
}

// stretches are the parts of a roll between its flaws, up to a length (mm) from
// its free end. Flaws may overlap, and reach past the end.
func stretches(r *shapes.Roll, end float64) []shapes.Span {
	flaws := append([]shapes.Span{}, r.Flaws...)
	sort.Slice(flaws, func(i, k int) bool { return flaws[i].From < flaws[k].From })
	var out []shapes.Span
	at := 0.0
	add := func(to float64) {
		if to = math.Min(to, end); to > at {
			out = append(out, shapes.Span{From: at, To: to})
		}
	}
	for _, f := range flaws {
		add(f.From)
		at = math.Max(at, f.To)
	}
	add(end)
	return out
}

// usable are the rolls of a fabric in the order they are drawn from: remnants
// first, then the oldest lot; one of unknown age stands behind those that are
// known.
func usable(f *shapes.Fabric) []shapes.Roll {
	rolls := append([]shapes.Roll{}, f.Rolls...)
	sort.SliceStable(rolls, func(i, k int) bool {
		a, b := &rolls[i], &rolls[k]
		switch {
		case a.Remnant != b.Remnant:
			return a.Remnant
		case a.Received != b.Received:
			return a.Received != "" && (b.Received == "" || a.Received < b.Received)
		case a.Lot != b.Lot:
			return a.Lot < b.Lot
		}
		return a.Name < b.Name
	})
	return rolls
}

// incoming are the open orders of a fabric as they come in; those of an unknown
// day stand last.
func incoming(f *shapes.Fabric) []shapes.OpenOrder {
	orders := append([]shapes.OpenOrder{}, f.Bought().Orders...)
	sort.SliceStable(orders, func(i, k int) bool {
		a, b := orders[i].Due, orders[k].Due
		return a != "" && (b == "" || a < b)
	})
	return orders
}

// unfit says why nothing may be drawn from a roll; empty where all is well.
func unfit(f *shapes.Fabric, r *shapes.Roll, date, by shapes.Date) string {
	left, known := f.OutLifeLeft(r)
	switch {
	case r.ExpiredOn(date):
		return "expired on " + string(r.Expires)
	case known && left <= 0:
		return "its out-life is used up"
	case r.ExpiredOn(by):
		return "expires on " + string(r.Expires) + ", before the day of need"
	}
	return ""
}

// late says why an open order does not count; empty where it does.
func late(o *shapes.OpenOrder, by shapes.Date) string {
	switch {
	case by != "" && o.Due == "":
		return "no day of delivery known"
	case by != "" && o.Due > by:
		return "comes too late"
	}
	return ""
}

// draws offers the rolls and open orders of a fabric for a length (mm),
// remnants first, then rolls, the oldest lot first, then orders as they come
// in. Nothing comes from flaws, from rolls that may not be used on the job's
// date or on the day of need, or are narrower than width (mm), from what others
// have reserved, and from orders that come after the day of need.
func draws(f *shapes.Fabric, length, width float64, date, by shapes.Date) []Draw {
	var out []Draw
	left := length
	take := func(d Draw, free float64) {
		d.Fabric, d.Free = f.Name, free/1e3
		if d.Refused == "" {
			n := math.Min(free, left)
			d.Take = n / 1e3
			left -= n
		}
		out = append(out, d)
	}
	for _, r := range usable(f) {
		d := Draw{Source: FromRoll, Name: r.Name, Lot: r.Lot, Date: r.Received, Refused: unfit(f, &r, date, by)}
		if r.Remnant {
			d.Source = FromRemnant
		}
		w := r.Width
		if w == 0 {
			w = f.Width
		}
		if d.Refused == "" && w < width {
			d.Refused = "too narrow"
		}
		free := math.Max(0, sound(&r)-r.Reserved)
		if r.Length == 0 {
			free = math.Max(length, 0) // as much as needed
		}
		take(d, free)
	}
	for _, o := range incoming(f) {
		d := Draw{Source: FromOrder, Name: o.Name, Date: o.Due, Refused: late(&o, by)}
		if width > 0 && width != f.Width {
			d.Refused = "of another width"
		}
		take(d, math.Max(0, o.Length-o.Reserved))
	}
	return out
}

// ends counts how often a plan that draws so must break off: at a flaw, and at
// the end of a roll or order after which something else is drawn or bought.
func ends(f *shapes.Fabric, ds []Draw, rolls int) int {
	n, drawn := max(0, rolls-1), rolls > 0
	for i := len(ds) - 1; i >= 0; i-- {
		d := &ds[i]
		if d.Take <= 0 {
			continue
		}
		if drawn {
			n++
		}
		drawn = true
		for k := range f.Rolls {
			if r := &f.Rolls[k]; d.Source != FromOrder && r.Name == d.Name {
				left := float64(d.Take*1e3) - 1e-6
				for _, s := range stretches(r, r.Length) {
					if left -= s.To - s.From; left <= 0 {
						break
					}
					n++
				}
			}
		}
	}
	return n
}
