package plan

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/shapes"
)

// lengthBound bounds the length of a strip of the stack's greatest usable width
// for so many cuts of each kind: their area, and the longest of them.
func (w *work) lengthBound(counts map[int]int) float64 {
	area, longest := 0.0, 0.0
	for i, k := range w.stack.Kinds {
		if n := counts[i]; n > 0 {
			s := w.shapes[k.Shape]
			area += float64(n) * polygonArea(s.Cut)
			longest = math.Max(longest, demand.LeastAlong(demand.Extents(orbRing(s.Cut.Outline), k.Turns), w.strip.width))
		}
	}
	return math.Max(area/w.strip.width, longest)
}

// fabricBounds states, for each fabric, a length that no plan for the laid
// plies could beat, both end allowances included, single or in spreads: the
// plies' area over the greatest usable width, and the longest ply, on either
// side of the fabric.
func (p *planner) fabricBounds(ls []nest.Layout) []nest.FabricBound {
	laid := map[nest.Key]bool{}
	length := map[string]float64{}
	for i := range ls {
		for k := range ls[i].Placed {
			laid[ls[i].Placed[k].Key()] = true
		}
		for _, ly := range ls[i].Layers {
			length[ly.Fabric] += ls[i].Length + ls[i].RollEnd + ly.RollEnd
		}
	}
	out := []nest.FabricBound{}
	for _, f := range p.order {
		area, longest := 0.0, 0.0
		width := p.greatestWidth(f)
		done := map[string]bool{}
		for _, d := range p.demand {
			if d.Fabric != f.Name || !laid[d.Key()] {
				continue
			}
			cut := p.shapes[d.Shape].Cut
			area += polygonArea(cut)
			turns := demand.Turns(f, d, p.rules.AngleTolerance, false)
			turns = append(turns, demand.Turns(f, d, p.rules.AngleTolerance, true)...)
			if id := turnsID(d.Shape, turns); !done[id] {
				done[id] = true
				longest = math.Max(longest, demand.LeastAlong(demand.Extents(orbRing(cut.Outline), turns), width))
			}
		}
		if area > 0 {
			bound := math.Max(area/width, longest) + 2*p.rules.EndAllowance
			out = append(out, nest.FabricBound{Fabric: f.Name, Length: nest.Round(math.Min(bound, length[f.Name]))})
		}
	}
	return out
}

// greatestWidth is the usable width of the widest roll, mm.
func (p *planner) greatestWidth(f *shapes.Fabric) float64 {
	w := 0.0
	for _, r := range p.stock.order[f.Name] {
		w = math.Max(w, rollWidth(f, r)-2*f.Selvedge)
	}
	return w
}

func turnsID(shape string, ts []demand.Turn) string { return fmt.Sprint(shape, ts) }
