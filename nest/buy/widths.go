package buy

import (
	"context"
	"fmt"

	"plyroom/nest/study"
	"plyroom/shapes"
)

// A Width is one width a fabric could be bought in.
type Width struct {
	Line
	// Least marks the width that costs least to buy, where prices are known.
	Least bool `json:"least"`
	// Cannot says why the plies do not lie on it; the line is empty then.
	Cannot string `json:"cannot,omitempty"`
}

// LayWidths lays the plies of every fabric that comes in several widths on each
// of them, and prices what must be bought. Widths that were not laid when the
// context ended are left out. Stock and orders of a smaller width
// are of no use to a wider one.
func LayWidths(ctx context.Context, j *shapes.Job, lay Layer, full int, needs *Needs, opt Options) ([]Width, error) {
	var out []Width
	for _, f := range j.Fabrics {
		n := needs.find(f.Name)
		if n == nil || len(f.Bought().Widths) == 0 {
			continue
		}
		first := len(out)
		l, _ := against(f, *n, nil, j, opt, f.Width)
		out = append(out, Width{Line: l})
		for _, w := range f.Bought().Widths {
			if ctx.Err() != nil {
				break
			}
			c := study.Only(j, f.Name)
			if err := study.WithWidth(c, f.Name, w.Width); err != nil {
				return nil, err
			}
			g := jobFabric(c, f.Name)
			g.Rolls = append([]shapes.Roll{}, f.Rolls...)
			for i := range g.Rolls {
				if g.Rolls[i].Width == 0 {
					g.Rolls[i].Width = f.Width
				}
			}
			if w.DeliveryLength > 0 {
				g.DeliveryLength = w.DeliveryLength
			}
			b := f.Bought()
			if w.Price != nil {
				g.Price = w.Price
				b.Breaks = nil // they are of the other width
			} else {
				b.Breaks = scaled(b.Breaks, w.Width/f.Width)
			}
			b.Orders = nil
			g.Buying = &b
			wide, err := LayNeeds(ctx, c, lay, full, nil)
			if err != nil {
				out = append(out, Width{Line: Line{Fabric: f.Name, Width: w.Width}, Cannot: err.Error()})
				continue
			}
			m := wide.find(f.Name)
			if m == nil {
				return nil, fmt.Errorf("the plan draws no fabric %q", f.Name)
			}
			l, _ := against(g, *m, nil, j, opt, w.Width)
			out = append(out, Width{Line: l})
		}
		best := -1
		for i := first; i < len(out); i++ {
			if out[i].Cannot == "" && out[i].Priced && (best < 0 || out[i].BuyCost < out[best].BuyCost) {
				best = i
			}
		}
		if best >= 0 {
			out[best].Least = true
		}
	}
	return out, nil
}

// scaled keeps the price of a square metre at another width.
func scaled(breaks []shapes.PriceBreak, by float64) []shapes.PriceBreak {
	out := append([]shapes.PriceBreak{}, breaks...)
	for i := range out {
		if per := out[i].Price.Per; per == shapes.PerMetre || per == shapes.PerRoll {
			out[i].Price.Amount *= by
		}
	}
	return out
}
