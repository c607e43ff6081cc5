package plan

import (
	"context"
	"fmt"
	"slices"
	"time"

	"plyroom/shapes"
)

// lot is the only lot a piece may come from; empty for any.
func (p *planner) lot(piece int) string {
	if len(p.lots) == 0 {
		return ""
	}
	d := p.demand[piece]
	return p.lots[Lot{d.Fabric, d.Part, d.Unit}]
}

// maxLotTrials bounds the sets of kits that are laid on one lot, to be compared,
// for one fabric.
const maxLotTrials = 96

// chooseLots deals the kits to the lots of each fabric that has several, so
// that every kit has all its plies of the fabric from one; see dealer. Kits
// whose lot the settings state keep that.
func (p *planner) chooseLots(ctx context.Context) error {
	if !p.rules.OneLotPerUnit {
		return nil
	}
	p.lots = map[Lot]string{}
	for _, f := range p.order {
		lots := lotsOf(f)
		d := &dealer{lots: len(lots), bound: make([][]int, len(lots))}
		var kits []Lot
		pieces := map[Lot][]int{}
		for i, piece := range p.demand {
			if piece.Fabric != f.Name {
				continue
			}
			k := Lot{f.Name, piece.Part, piece.Unit}
			if pieces[k] == nil {
				kits = append(kits, k)
			}
			pieces[k] = append(pieces[k], i)
		}
		at := map[string]int{}
		for n, k := range kits {
			if lot, ok := p.settings.Lots[k]; ok {
				p.lots[k] = lot
				if l := slices.Index(lots, lot); l >= 0 {
					d.bound[l] = append(d.bound[l], n)
				}
				continue
			}
			// Kits of one part are alike.
			d.kits, d.twin = append(d.kits, n), append(d.twin, -1)
			if before, ok := at[k.Part]; ok {
				d.twin[len(d.twin)-1] = before
			}
			at[k.Part] = len(d.kits) - 1
		}
		if len(lots) < 2 || len(d.kits) == 0 {
			continue
		}
		took := time.Duration(0)
		d.stop = func() bool { return !p.affords(ctx, took) }
		d.lay = func(lot int, of []int) (lotResult, error) {
			began := time.Now()
			r, err := p.layOnLot(ctx, lots[lot], of, kits, pieces)
			took = max(took, time.Since(began))
			return r, err
		}
		if err := d.deal(); err != nil {
			return err
		}
		for i, n := range d.kits {
			p.lots[kits[n]] = lots[d.best[i]]
		}
		if d.skipped {
			p.notes = append(p.notes, fmt.Sprintf("fabric %q: its %d kits were dealt to %d lots after %d sets were laid; not every way was looked at",
				f.Name, len(d.kits), len(lots), d.trials))
		}
	}
	return nil
}

// layOnLot lays some kits on one lot.
func (p *planner) layOnLot(ctx context.Context, lot string, of []int, kits []Lot, pieces map[Lot][]int) (lotResult, error) {
	var scope []int
	was := p.lots
	p.lots = map[Lot]string{}
	defer func() { p.lots = was }()
	for _, n := range of {
		p.lots[kits[n]] = lot
		scope = append(scope, pieces[kits[n]]...)
	}
	dr, err := p.lay(ctx, scheme{rest: scope}, budget{trial: true})
	if err != nil {
		return lotResult{}, err
	}
	return lotResult{missing: len(dr.missing), drawn: p.drawn(dr.layouts)}, nil
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
