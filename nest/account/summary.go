package account

import (
	"fmt"

	"plyroom/nest"
	"plyroom/shapes"
)

// A Summary is the books of one fabric over all layouts, or of all fabrics.
type Summary struct {
	// Fabric is the fabric's name; empty for the total.
	Fabric string `json:"fabric"`
	// Layouts and Plies count; a ply counts once for each fabric it is cut
	// from.
	Layouts int `json:"layouts"`
	Plies   int `json:"plies"`
	// Length is what is drawn along the roll, mm, roll ends included.
	Length float64 `json:"length"`
	// BoundLength is a length that no arrangement of all these plies could
	// beat, mm; 0 where the record states none.
	BoundLength float64 `json:"bound_length"`
	Books       Books   `json:"books"`
	// Cost is the fabric drawn less what is returned, in the job's currency;
	// Priced says whether it is known.
	Cost   float64 `json:"cost"`
	Priced bool    `json:"priced"`
}

// Gap is how far the length lies above the bound, as a share of the bound; 0
// where no bound is known.
func (s Summary) Gap() float64 {
	if s.BoundLength <= 0 {
		return 0
	}
	return s.Length/s.BoundLength - 1
}

// LayoutBooks are the books of one layer of one layout.
type LayoutBooks struct {
	Layout *nest.Layout
	Layer  int // index into Layout.Layers
	Books  Books
}

// A Ledger is the whole record measured.
type Ledger struct {
	// Layers holds one entry per layer of each layout, in record order.
	Layers []LayoutBooks
	// Fabrics holds one entry per fabric that was cut, in record order.
	Fabrics []Summary
	// Total sums the fabrics.
	Total Summary
}

// Repeats is how many layouts the fabrics count more than the total does: one laid
// of several fabrics counts for each of them.
func (l *Ledger) Repeats() int {
	n := -l.Total.Layouts
	for i := range l.Fabrics {
		n += l.Fabrics[i].Layouts
	}
	return n
}

// Measure measures every layout of a record.
func Measure(r *nest.Record) (*Ledger, error) {
	led := &Ledger{}
	index := map[string]int{}
	for _, f := range r.Fabrics {
		used := false
		for i := range r.Layouts {
			for _, ly := range r.Layouts[i].Layers {
				used = used || ly.Fabric == f.Name
			}
		}
		if used {
			index[f.Name] = len(led.Fabrics)
			s := Summary{Fabric: f.Name}
			for _, b := range r.FabricBounds {
				if b.Fabric == f.Name {
					s.BoundLength = b.Length
				}
			}
			led.Fabrics = append(led.Fabrics, s)
		}
	}
	for i := range r.Layouts {
		l := &r.Layouts[i]
		for k, ly := range l.Layers {
			b, err := Layer(r, l, k)
			if err != nil {
				return nil, err
			}
			led.Layers = append(led.Layers, LayoutBooks{l, k, b})
			at, ok := index[ly.Fabric]
			if !ok {
				return nil, fmt.Errorf("layout %s: the record has no fabric %q", l.ID, ly.Fabric)
			}
			s := &led.Fabrics[at]
			s.Layouts++
			s.Length += l.Draws(&ly)
			s.Books = s.Books.Add(b)
			for j := range l.Placed {
				if l.Placed[j].Layer == ly.Layer {
					s.Plies++
				}
			}
		}
	}
	led.Total.Priced = len(led.Fabrics) > 0
	for i := range led.Fabrics {
		s := &led.Fabrics[i]
		s.Cost, s.Priced = Cost(r.Fabric(s.Fabric), s.Length, s.Books.Drawn-s.Books.Remnant)
		led.Total.Plies += s.Plies
		led.Total.Length += s.Length
		led.Total.BoundLength += s.BoundLength
		led.Total.Books = led.Total.Books.Add(s.Books)
		led.Total.Cost += s.Cost
		led.Total.Priced = led.Total.Priced && s.Priced
	}
	led.Total.Layouts = len(r.Layouts)
	return led, nil
}

// Cost is what a length (mm) and an area (mm²) of fabric cost at the fabric's
// price, in the job's currency. It reports false where the price is not known,
// or is per roll and the roll's length as bought is not.
func Cost(f *shapes.Fabric, length, area float64) (float64, bool) {
	if f == nil || f.Price == nil {
		return 0, false
	}
	switch p := f.Price; p.Per {
	case shapes.PerSquareMetre:
		return p.Amount * area / 1e6, true
	case shapes.PerKilogram:
		return p.Amount * area / 1e6 * f.ArealMass / 1e3, f.ArealMass > 0
	case shapes.PerMetre:
		return p.Amount * length / 1e3, true
	case shapes.PerRoll:
		if f.DeliveryLength > 0 {
			return p.Amount * length / f.DeliveryLength, true
		}
	}
	return 0, false
}
