package plan

import (
	"context"
	"math"
	"slices"

	"plyroom/shapes"
)

// A lotKey is all plies of one fabric in one kit.
type lotKey struct {
	fabric string
	part   string
	unit   int
}

// lot is the only lot a piece may come from; empty for any.
func (p *planner) lot(piece int) string {
	if len(p.lots) == 0 {
		return ""
	}
	d := p.demand[piece]
	return p.lots[lotKey{d.Fabric, d.Part, d.Unit}]
}

// maxLotTrials is how many ways to deal kits to lots are laid and compared;
// where there are no more, the best of all is found.
const maxLotTrials = 64

// chooseLots deals the kits to the lots of each fabric that has several, so
// that every kit has all its plies of the fabric from one. All ways are laid
// and the one that draws least is taken where there are no more than
// maxLotTrials; else each kit, in the order of the job, goes to the first lot
// that holds it beside those before it.
func (p *planner) chooseLots(ctx context.Context) error {
	if !p.rules.OneLotPerUnit {
		return nil
	}
	p.lots = map[lotKey]string{}
	for _, f := range p.order {
		lots := lotsOf(f)
		if len(lots) < 2 {
			continue
		}
		d := &dealer{planner: p, ctx: ctx, fabric: f, lots: lots, of: map[lotKey][]int{}, seen: map[string]lotResult{}}
		for i, piece := range p.demand {
			if piece.Fabric != f.Name {
				continue
			}
			k := lotKey{f.Name, piece.Part, piece.Unit}
			if d.of[k] == nil {
				d.kits = append(d.kits, k)
			}
			d.of[k] = append(d.of[k], i)
		}
		if err := d.deal(); err != nil {
			return err
		}
		for i, k := range d.kits {
			p.lots[k] = lots[d.best[i]]
		}
	}
	return nil
}

// lotsOf lists the lots of a fabric's rolls as they come. A roll without a lot
// cannot be said to be of any.
func lotsOf(f *shapes.Fabric) []string {
	var out []string
	for _, r := range f.Rolls {
		if r.Lot != "" && !slices.Contains(out, r.Lot) {
			out = append(out, r.Lot)
		}
	}
	return out
}

// A dealer deals the kits of one fabric to its lots.
type dealer struct {
	*planner
	ctx    context.Context
	fabric *shapes.Fabric
	lots   []string
	kits   []lotKey
	of     map[lotKey][]int
	seen   map[string]lotResult // by lot and kits
	best   []int                // lot of each kit
}

// A lotResult is what one lot's kits came to.
type lotResult struct {
	missing int
	drawn   float64 // mm²
}

func (d *dealer) deal() error {
	d.best = make([]int, len(d.kits))
	if math.Pow(float64(len(d.lots)), float64(len(d.kits))) <= maxLotTrials {
		return d.every()
	}
	held := make([][]lotKey, len(d.lots))
	for i, k := range d.kits {
		d.best[i] = 0
		for l := range d.lots {
			r, err := d.try(l, append(slices.Clone(held[l]), k))
			if err != nil {
				return err
			}
			if r.missing == 0 {
				d.best[i] = l
				break
			}
		}
		held[d.best[i]] = append(held[d.best[i]], k)
	}
	return nil
}

// every lays all ways to deal, the first lots first.
func (d *dealer) every() error {
	at := make([]int, len(d.kits))
	best := lotResult{missing: math.MaxInt}
	for {
		var sum lotResult
		for l := range d.lots {
			var kits []lotKey
			for i, k := range d.kits {
				if at[i] == l {
					kits = append(kits, k)
				}
			}
			r, err := d.try(l, kits)
			if err != nil {
				return err
			}
			sum.missing += r.missing
			sum.drawn += r.drawn
		}
		if sum.missing < best.missing || sum.missing == best.missing && sum.drawn < best.drawn-1 {
			best = sum
			copy(d.best, at)
		}
		i := len(at) - 1
		for ; i >= 0; i-- {
			if at[i]++; at[i] < len(d.lots) {
				break
			}
			at[i] = 0
		}
		if i < 0 {
			return nil
		}
	}
}

// try lays some kits on one lot.
func (d *dealer) try(lot int, kits []lotKey) (lotResult, error) {
	if len(kits) == 0 {
		return lotResult{}, nil
	}
	var of []int
	name := d.lots[lot]
	for _, k := range kits {
		of = append(of, d.of[k]...)
	}
	key := name + "\n" + keyOf(of)
	if r, ok := d.seen[key]; ok {
		return r, nil
	}
	for _, k := range kits {
		d.planner.lots[k] = name
	}
	dr, err := d.lay(d.ctx, scheme{rest: of}, budget{trial: true})
	for _, k := range kits {
		delete(d.planner.lots, k)
	}
	if err != nil {
		return lotResult{}, err
	}
	r := lotResult{missing: len(dr.missing), drawn: d.drawn(dr.layouts)}
	d.seen[key] = r
	return r, nil
}
