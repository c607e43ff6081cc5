package plan

import (
	"fmt"
	"strings"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/shapes"
)

func keyOf(of []int) string { return strings.Trim(fmt.Sprint(of), "[]") }

// drawn is the area of fabric that layouts draw, roll ends counted, mm².
func (p *planner) drawn(ls []nest.Layout) float64 {
	sum := 0.0
	for i := range ls {
		for _, ly := range ls[i].Layers {
			sum += float64(p.layerLength(&ls[i], &ly) * p.layerWidth(&ly))
		}
	}
	return sum
}

func (p *planner) layerLength(l *nest.Layout, ly *nest.Layer) float64 {
	return l.Draws(ly)
}

// layerWidth is the whole width of a layer's roll, mm.
func (p *planner) layerWidth(ly *nest.Layer) float64 {
	f := p.fabrics[ly.Fabric]
	for i := range f.Rolls {
		if f.Rolls[i].Name == ly.Roll {
			return rollWidth(f, &f.Rolls[i])
		}
	}
	return f.Width
}

// areaPrice is what a fabric costs per mm², in the job's currency; 0 where the
// job does not tell.
func areaPrice(f *shapes.Fabric) float64 {
	cost, ok := account.Cost(f, 1e6/f.Width, 1e6)
	if !ok {
		return 0
	}
	return cost / 1e6
}

// figures measures a draft as an option.
func (p *planner) figures(name string, ls []nest.Layout) nest.SpreadOption {
	o := nest.SpreadOption{Name: name, Layouts: len(ls), Fabrics: []nest.FabricLength{}, Priced: true}
	rec := nest.Record{Rules: *p.rules, Layouts: ls}
	o.Minutes = account.Minutes(&rec)
	plies := 0.0
	net := map[nest.Key]float64{}
	for _, d := range p.demand {
		s := p.shapes[d.Shape]
		net[d.Key()] = polygonArea(s.Net) - s.LapArea
	}
	for i := range ls {
		if len(ls[i].Layers) > 1 {
			o.Spreads++
		}
		for k := range ls[i].Placed {
			plies += net[ls[i].Placed[k].Key()]
		}
	}
	for _, f := range p.order {
		length, area := 0.0, 0.0
		for i := range ls {
			for _, ly := range ls[i].Layers {
				if ly.Fabric == f.Name {
					v := p.layerLength(&ls[i], &ly)
					length += v
					area += float64(v * p.layerWidth(&ly))
				}
			}
		}
		if length == 0 {
			continue
		}
		o.Fabrics = append(o.Fabrics, nest.FabricLength{Fabric: f.Name, Length: nest.Round(length)})
		o.Length += length
		o.Drawn += area
		cost, ok := account.Cost(f, length, area)
		o.FabricCost += cost
		o.Priced = o.Priced && ok
	}
	if !o.Priced {
		o.FabricCost = 0
	}
	o.LabourCost = o.Minutes.Total() / 60 * p.rules.WorkRates().Labour
	if o.Drawn > 0 {
		o.NetYield = plies / o.Drawn
	}
	round(&o)
	return o
}

// round rounds the figures to what the record keeps.
func (o *option) round() { round(&o.SpreadOption) }

func round(o *nest.SpreadOption) {
	for _, v := range []*float64{&o.Length, &o.Drawn, &o.FabricCost, &o.LabourCost, &o.NetYield,
		&o.Minutes.Cutting, &o.Minutes.Spreading, &o.Minutes.RollChanges, &o.Minutes.Kitting} {
		*v = nest.Round(*v)
	}
}
