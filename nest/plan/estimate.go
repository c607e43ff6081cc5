package plan

import (
	"math"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/demand"
	"plyroom/shapes"
	"plyroom/shapes/steady"
)

// An estimator foretells what a scheme comes to without laying it, from how
// densely the fabrics were laid when every ply was cut single.
type estimator struct {
	*planner
	density map[string]float64 // plies over usable width times length, 0 to 1
	cuts    map[string]cutTime // by shape
	width   map[string]float64 // common usable width of a stack, mm
	// left is the length left on the last table of a stack that others may be
	// joined to, mm.
	left map[string]float64
}

// cutTime is what the knife does for one shape.
type cutTime struct {
	line  float64 // mm
	lifts float64
	along float64 // of the bounding box, mm, as drawn
	area  float64 // mm²
}

// endShare is how much of its longest ply a strip loses at its ragged end,
// about.
const endShare = 0.3

// newEstimator learns from a laid scheme without spreads.
func (p *planner) newEstimator(base *draft) *estimator {
	e := &estimator{planner: p, cuts: map[string]cutTime{}, width: map[string]float64{}}
	for i := range p.table {
		s := &p.table[i]
		line := perimeter(s.Cut.Outline)
		for _, h := range s.Cut.Holes {
			line += perimeter(h)
		}
		b := boundOf(s.Cut.Outline)
		e.cuts[s.ID] = cutTime{line, float64(1 + len(s.Cut.Holes)), math.Max(b[0], b[1]), polygonArea(s.Cut)}
	}
	e.density = p.densities(base)
	return e
}

// densities are how densely a plan without spreads lays each fabric, apart
// from the ragged end: plies over usable fabric, 0 to 1.
func (p *planner) densities(base *draft) map[string]float64 {
	area, room, longest := map[string]float64{}, map[string]float64{}, map[string]float64{}
	laid := map[nest.Key]bool{}
	for i := range base.layouts {
		l := &base.layouts[i]
		room[l.Layers[0].Fabric] += float64((l.Usable[1][0] - l.Usable[0][0]) * (l.Usable[1][1] - l.Usable[0][1]))
		for k := range l.Placed {
			laid[l.Placed[k].Key()] = true
		}
	}
	for _, d := range p.demand {
		if !laid[d.Key()] {
			continue
		}
		cut := p.shapes[d.Shape].Cut
		area[d.Fabric] += polygonArea(cut)
		b := boundOf(cut.Outline)
		longest[d.Fabric] = math.Max(longest[d.Fabric], math.Max(b[0], b[1]))
	}
	out := map[string]float64{}
	for f := range room {
		rest := room[f] - float64(endShare*longest[f]*p.greatestWidth(p.fabrics[f]))
		out[f] = guessedDensity
		if rest > area[f] {
			out[f] = area[f] / rest
		}
	}
	return out
}

// guessedDensity stands in where a plan is too small to tell.
const guessedDensity = 0.7

// of foretells a scheme.
func (e *estimator) of(s scheme) option {
	o := option{draft: &draft{scheme: s}, SpreadOption: nest.SpreadOption{Priced: true, Fabrics: []nest.FabricLength{}}}
	length := map[string]float64{}
	e.left = map[string]float64{}
	rates := e.rules.WorkRates()
	for i := range s.stacks {
		st := &s.stacks[i]
		t := &tally{layers: st.Layers}
		for _, k := range st.Kinds {
			for _, c := range k.Cuts {
				e.count(t, c)
			}
		}
		before := o.Layouts
		used := e.stack(t, &o)
		o.Spreads += o.Layouts - before
		for _, l := range st.Layers {
			length[l.Fabric] += used
		}
	}
	type single struct {
		demand.Layer
		kitKey
	}
	singles := map[single]*tally{}
	var order []single
	for _, i := range s.rest {
		l := single{demand.Layer{Fabric: e.demand[i].Fabric, Lot: e.lot(i)}, e.group(i)}
		if singles[l] == nil {
			singles[l] = &tally{layers: []demand.Layer{l.Layer}}
			order = append(order, l)
		}
		e.count(singles[l], demand.Cut{i})
	}
	for _, l := range order {
		length[l.Fabric] += e.stack(singles[l], &o)
	}
	for _, f := range e.order {
		v := length[f.Name]
		if v == 0 {
			continue
		}
		o.Fabrics = append(o.Fabrics, nest.FabricLength{Fabric: f.Name, Length: nest.Round(v)})
		o.Minutes.RollChanges += rates.RollChange
		o.Length += v
		o.Drawn += float64(v * f.Width)
		cost, ok := account.Cost(f, v, v*f.Width)
		o.FabricCost += cost
		o.Priced = o.Priced && ok
	}
	if !o.Priced {
		o.FabricCost = 0
	}
	if o.Drawn > 0 {
		o.NetYield = e.net(s) / o.Drawn
	}
	o.LabourCost = o.Minutes.Total() / 60 * rates.Labour
	o.round()
	return o
}

// net is the net area of a scheme's plies, mm².
func (e *estimator) net(s scheme) float64 {
	sum := 0.0
	add := func(i int) {
		sh := e.shapes[e.demand[i].Shape]
		sum += polygonArea(sh.Net) - sh.LapArea
	}
	for _, st := range s.stacks {
		for _, k := range st.Kinds {
			for _, c := range k.Cuts {
				for _, i := range c {
					add(i)
				}
			}
		}
	}
	for _, i := range s.rest {
		add(i)
	}
	return sum
}

// A tally sums up what is cut from one stack of layers.
type tally struct {
	layers         []demand.Layer
	area, longest  float64 // mm², mm
	cutting, lifts float64 // min, goes
}

func (e *estimator) count(t *tally, cut demand.Cut) {
	rates := e.rules.WorkRates()
	shape := e.demand[cut[0]].Shape
	c := e.cuts[shape]
	t.area += c.area
	t.longest = math.Max(t.longest, c.along)
	t.cutting += c.line/1e3/rates.Cut + float64(c.lifts*rates.Lift)
	t.lifts += float64(e.lifts(cut))
}

// stack adds the minutes of one stack to an option and returns the length each
// layer draws, mm.
func (e *estimator) stack(t *tally, o *option) float64 {
	rates := e.rules.WorkRates()
	o.Minutes.Cutting += t.cutting
	o.Minutes.Kitting += float64(rates.Walk * t.lifts)
	key := layersKey(t.layers)
	width, ok := e.width[key]
	if !ok {
		width = newStrip(e.stock, e.fabrics, t.layers, len(t.layers) == 1, e.rules, 1).width
		e.width[key] = width
	}
	density := 1.0
	for _, l := range t.layers {
		density = math.Min(density, e.density[l.Fabric])
	}
	if t.area == 0 || width <= 0 || density <= 0 {
		return 0
	}
	net := math.Max(t.area/(width*density)+float64(endShare*t.longest), t.longest)
	layouts, table := 1.0, math.Inf(1)
	if tb := e.rules.Table; tb != nil && tb.Kind == shapes.StaticTable && tb.Length > 2*e.rules.EndAllowance {
		table = tb.Length - 2*e.rules.EndAllowance
		layouts = math.Ceil(net / table)
	}
	// Kits that are kept together are joined where they fit.
	if left, ok := e.left[key]; ok && net+e.rules.Gap <= left {
		layouts = 0
		net += e.rules.Gap
		e.left[key] = left - net
	} else if len(e.rules.KeepTogether) > 0 {
		e.left[key] = float64(layouts*table) - net
	}
	length := net + float64(layouts*2*e.rules.EndAllowance)
	layers := float64(len(t.layers))
	o.Layouts += int(layouts)
	o.Minutes.Spreading += float64(layouts*rates.Layout) + float64(layers*(float64(layouts*rates.Layer)+length/1e3/rates.Spread))
	return length
}

// lifts is in how many goes the plies of one cut leave the table.
func (e *estimator) lifts(c demand.Cut) int {
	first := e.demand[c[0]]
	for i, at := range c {
		d := e.demand[at]
		if d.Part != first.Part || d.Unit != first.Unit || d.OppositeHand != first.OppositeHand ||
			i > 0 && d.Order < e.demand[c[i-1]].Order {
			return len(c)
		}
	}
	return 1
}

func perimeter(r nest.Ring) float64 {
	sum := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		sum += steady.Hypot(b[0]-a[0], b[1]-a[1])
	}
	return sum
}

// boundOf is the size of a ring's bounding box, mm.
func boundOf(r nest.Ring) [2]float64 {
	lo, hi := r[0], r[0]
	for _, p := range r {
		lo[0], lo[1] = math.Min(lo[0], p[0]), math.Min(lo[1], p[1])
		hi[0], hi[1] = math.Max(hi[0], p[0]), math.Max(hi[1], p[1])
	}
	return [2]float64{hi[0] - lo[0], hi[1] - lo[1]}
}
