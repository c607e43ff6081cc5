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

// sound is the length of a roll outside its flaws, mm. Flaws may overlap, and
// reach past the end.
func sound(r *shapes.Roll) float64 {
	flaws := append([]shapes.Span{}, r.Flaws...)
	sort.Slice(flaws, func(i, k int) bool { return flaws[i].From < flaws[k].From })
	length, at := r.Length, 0.0
	for _, f := range flaws {
		from, to := math.Max(f.From, at), math.Min(f.To, r.Length)
		if to > from {
			length -= to - from
			at = to
		}
	}
	return length
}

// draws offers the rolls and open orders of a fabric for a length (mm),
// remnants first, then rolls, the oldest lot first, then orders as they come
// in. Nothing comes from flaws, from rolls that have expired on the job's date or are
// narrower than width (mm), from what others have reserved, and from orders
// that come after by.
func draws(f *shapes.Fabric, length, width float64, date, by shapes.Date) []Draw {
	rolls := append([]shapes.Roll{}, f.Rolls...)
	sort.SliceStable(rolls, func(i, k int) bool {
		a, b := &rolls[i], &rolls[k]
		switch {
		case a.Remnant != b.Remnant:
			return a.Remnant
		case a.Received != b.Received:
			// A roll of unknown age stands behind those that are known.
			return a.Received != "" && (b.Received == "" || a.Received < b.Received)
		case a.Lot != b.Lot:
			return a.Lot < b.Lot
		}
		return a.Name < b.Name
	})
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
	for _, r := range rolls {
		d := Draw{Source: FromRoll, Name: r.Name, Lot: r.Lot, Date: r.Received}
		if r.Remnant {
			d.Source = FromRemnant
		}
		w := r.Width
		if w == 0 {
			w = f.Width
		}
		switch {
		case r.Expires != "" && date != "" && r.Expires < date:
			d.Refused = "expired on " + string(r.Expires)
		case w < width:
			d.Refused = "too narrow"
		}
		free := math.Max(0, sound(&r)-r.Reserved)
		if r.Length == 0 {
			free = math.Max(length, 0) // as much as needed
		}
		take(d, free)
	}
	orders := append([]shapes.OpenOrder{}, f.Bought().Orders...)
	sort.SliceStable(orders, func(i, k int) bool {
		a, b := orders[i].Due, orders[k].Due
		return a != "" && (b == "" || a < b)
	})
	for _, o := range orders {
		d := Draw{Source: FromOrder, Name: o.Name, Date: o.Due}
		switch {
		case width != f.Width:
			d.Refused = "of another width"
		case by != "" && o.Due == "":
			d.Refused = "no day of delivery known"
		case by != "" && o.Due > by:
			d.Refused = "comes too late"
		}
		take(d, math.Max(0, o.Length-o.Reserved))
	}
	return out
}
