package account

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Layer measures one layer of a layout (an index into l.Layers). It returns an
// error where the layout names what the record does not have, or cannot be
// measured.
func Layer(r *nest.Record, l *nest.Layout, layer int) (Books, error) {
	if layer < 0 || layer >= len(l.Layers) {
		return Books{}, fmt.Errorf("layout %s has no layer index %d", l.ID, layer)
	}
	ly := l.Layers[layer]
	fabric := r.Fabric(ly.Fabric)
	if fabric == nil {
		return Books{}, fmt.Errorf("layout %s: the record has no fabric %q", l.ID, ly.Fabric)
	}
	width, selvedge := fabric.Width, fabric.Selvedge
	var piece *fabricPiece
	flawed := 0.0 // of what is passed over, mm
	for i := range fabric.Rolls {
		roll := &fabric.Rolls[i]
		if roll.Name != ly.Roll {
			continue
		}
		if roll.Width > 0 {
			width = roll.Width
		}
		selvedge = fabric.SelvedgeOf(roll)
		flawed = flawedIn(roll.Flaws, ly.RollFrom-ly.Skipped, ly.RollFrom)
		if roll.Piece != nil && len(roll.Piece.Outline) > 0 {
			piece = &fabricPiece{outline: roll.Piece.Outline, from: ly.RollFrom}
		}
	}
	table, demand := r.ShapesByID(), r.DemandByKey()

	var b Books
	common := l.Usable[1][1] - l.Usable[0][1]
	inner := l.Usable[1][0] - l.Usable[0][0]
	b.RollEnd = float64((l.RollEnd + ly.RollEnd) * width)
	b.RollEnd += float64((ly.Skipped - flawed) * width)
	b.Drawn = float64(l.Length*width) + float64(ly.Skipped*width) + float64((l.RollEnd+ly.RollEnd)*width)
	b.Selvedge = 2 * selvedge * l.Length
	b.Mismatch = (width - 2*selvedge - common) * l.Length
	b.EndAllowance = (l.Length - inner) * common

	var flaws, exteriors []nest.Ring
	b.Flaws = flawed * width
	for _, f := range flawsOf(l) {
		flaws = append(flaws, box(f.From, l.Usable[0][1], f.To, l.Usable[1][1]))
		b.Flaws += float64((f.To - f.From) * common)
	}
	for i := range l.Placed {
		p := &l.Placed[i]
		if p.Layer != ly.Layer {
			continue
		}
		d := demand[p.Key()]
		if d == nil {
			return Books{}, fmt.Errorf("layout %s: %s is placed but not demanded", l.ID, p.Key())
		}
		s := table[d.Shape]
		if s == nil {
			return Books{}, fmt.Errorf("the record has no shape %q", d.Shape)
		}
		cut := polygonArea(nest.Polygon{Outline: p.Outline, Holes: p.Holes})
		net := polygonArea(s.Net)
		b.PliesNet += net - s.LapArea
		b.Laps += s.LapArea
		b.Trim += cut - net
		exteriors = append(exteriors, p.Outline)
	}
	usable := box(l.Usable[0][0], l.Usable[0][1], l.Usable[1][0], l.Usable[1][1])
	var err error
	if b.Gaps, err = remainder([]nest.Ring{usable}, append(flaws, exteriors...)); err != nil {
		return Books{}, fmt.Errorf("layout %s: %w", l.ID, err)
	}
	if piece != nil {
		if err := piece.correct(&b, l, width, selvedge, l.RollEnd+ly.RollEnd); err != nil {
			return Books{}, fmt.Errorf("layout %s: %w", l.ID, err)
		}
	}
	if b.DropOuts, err = dropOuts(l, ly.Layer); err != nil {
		return Books{}, fmt.Errorf("layout %s: %w", l.ID, err)
	}
	return b, nil
}

// dropOuts is the area of all cut-outs less the plies that lie inside them. A
// ply inside a cut-out may have cut-outs of its own: each is looked at by
// itself, with the plies whose boxes lie inside its box. That set holds every
// ply inside the cut-out, never the ply around it, and whatever else it holds
// does not meet the cut-out.
func dropOuts(l *nest.Layout, layer int) (float64, error) {
	total := 0.0
	for i := range l.Placed {
		p := &l.Placed[i]
		if p.Layer != layer {
			continue
		}
		for _, h := range p.Holes {
			hole := geom.Bound(toOrb(h))
			var inner []nest.Ring
			for j := range l.Placed {
				q := &l.Placed[j]
				if j != i && q.Layer == layer && within(geom.Bound(toOrb(q.Outline)), hole) {
					inner = append(inner, q.Outline)
				}
			}
			a, err := remainder([]nest.Ring{h}, inner)
			if err != nil {
				return 0, err
			}
			total += a
		}
	}
	return total, nil
}

// flawedIn is the length of a stretch of a roll that is flawed, mm.
func flawedIn(flaws []shapes.Span, from, to float64) float64 {
	l := nest.Layout{Usable: [2]nest.Point{{from}, {to}}}
	for _, f := range flaws {
		l.Flaws = append(l.Flaws, nest.Flaw(f))
	}
	sum := 0.0
	for _, f := range flawsOf(&l) {
		sum += f.To - f.From
	}
	return sum
}

// within reports whether box a lies inside box b, a micrometre let pass.
func within(a, b orb.Bound) bool {
	const slack = 1e-3
	return a.Min[0] >= b.Min[0]-slack && a.Min[1] >= b.Min[1]-slack &&
		a.Max[0] <= b.Max[0]+slack && a.Max[1] <= b.Max[1]+slack
}

func box(x0, y0, x1, y1 float64) nest.Ring {
	return nest.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

// Layout sums the books of all layers of a layout.
func Layout(r *nest.Record, l *nest.Layout) (Books, error) {
	var sum Books
	for i := range l.Layers {
		b, err := Layer(r, l, i)
		if err != nil {
			return Books{}, err
		}
		sum = sum.Add(b)
	}
	return sum, nil
}

// flawsOf lists the stretches of usable length that are flawed in any layer,
// each once: flaws of two layers may lie over one another.
func flawsOf(l *nest.Layout) []nest.Flaw {
	var out []nest.Flaw
	for _, f := range l.Flaws {
		f.From, f.To = max(f.From, l.Usable[0][0]), min(f.To, l.Usable[1][0])
		if f.To > f.From {
			out = append(out, f)
		}
	}
	slices.SortFunc(out, func(a, b nest.Flaw) int { return cmp.Compare(a.From, b.From) })
	merged := out[:0]
	for _, f := range out {
		if n := len(merged); n > 0 && f.From <= merged[n-1].To {
			merged[n-1].To = max(merged[n-1].To, f.To)
			continue
		}
		merged = append(merged, f)
	}
	return merged
}
