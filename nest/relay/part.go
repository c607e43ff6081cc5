package relay

import (
	"math"

	"plyroom/nest"
	"plyroom/shapes/geom"
)

// Part is the part of a layout that is cut, where the knife was stopped: the
// pieces that a function accepts, by their place in Placed. The layout ends
// behind them; what lies further is fabric again.
func Part(l nest.Layout, rules float64, cut func(int) bool) nest.Layout {
	out := copied(l)
	out.Placed = nil
	for i := range l.Placed {
		if cut(i) {
			out.Placed = append(out.Placed, l.Placed[i])
		}
	}
	if len(out.Placed) < len(l.Placed) {
		trim(&out, rules)
		out.RollEnd = 0
		for k := range out.Layers {
			out.Layers[k].RollEnd = 0
		}
	}
	return out
}

// trim ends a layout behind its last ply.
func trim(l *nest.Layout, endAllowance float64) {
	reach := math.Inf(-1)
	for i := range l.Placed {
		for _, v := range l.Placed[i].Outline {
			reach = math.Max(reach, v[0])
		}
	}
	length := nest.Round(reach + endAllowance)
	if math.IsInf(reach, 0) || length > l.Length-1e-6 {
		return
	}
	l.Length = length
	l.Usable[1][0] = nest.Round(length - endAllowance)
	var flaws []nest.Flaw
	for _, f := range l.Flaws {
		if f.From < length {
			flaws = append(flaws, nest.Flaw{From: f.From, To: math.Min(f.To, length)})
		}
	}
	l.Flaws = flaws
	l.BoundLength = nest.Round(math.Min(math.Min(l.BoundLength, length), areaBound(l)+2*endAllowance))
}

// areaBound is the length that the plies' area alone needs, mm, of the layer
// that holds most.
func areaBound(l *nest.Layout) float64 {
	most := 0.0
	for _, ly := range l.Layers {
		area := 0.0
		for i := range l.Placed {
			if p := &l.Placed[i]; p.Layer == ly.Layer {
				area += polygonArea(nest.Polygon{Outline: p.Outline, Holes: p.Holes})
			}
		}
		most = math.Max(most, area)
	}
	return most / (l.Usable[1][1] - l.Usable[0][1])
}

func polygonArea(p nest.Polygon) float64 {
	a := geom.Area(toOrb(p.Outline))
	for _, h := range p.Holes {
		a -= geom.Area(toOrb(h))
	}
	return a
}
