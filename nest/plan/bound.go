package plan

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/nest/bound"
	"plyroom/nest/demand"
	"plyroom/shapes"
)

// lengthBound bounds the length of a strip of the stack's greatest usable width
// for so many cuts of each kind.
func (w *work) lengthBound(counts map[int]int) float64 {
	return bound.Length(bound.Strip{Width: w.strip.width, Gap: w.rules.Gap}, w.boundPieces(counts))
}

// boundPieces words so many cuts of each kind for package bound.
func (w *work) boundPieces(counts map[int]int) []bound.Piece {
	var pieces []bound.Piece
	for i, k := range w.stack.Kinds {
		if n := counts[i]; n > 0 {
			pieces = append(pieces, bounded(w.shapes[k.Shape].Cut, k.Turns, n))
		}
	}
	return pieces
}

// least bounds the strip for all cuts of the stack; it is worked out once.
func (w *work) least() float64 {
	if w.limit == 0 {
		counts := map[int]int{}
		for i, k := range w.stack.Kinds {
			counts[i] = len(k.Cuts)
		}
		w.limit = w.lengthBound(counts)
	}
	return w.limit
}

// bounded words a kind for package bound.
func bounded(cut nest.Polygon, turns []demand.Turn, count int) bound.Piece {
	p := bound.Piece{Exterior: orbRing(cut.Outline), Count: count}
	for _, h := range cut.Holes {
		p.Holes = append(p.Holes, orbRing(h))
	}
	for _, t := range turns {
		turn := bound.Turn{Mirrored: t.Mirrored, From: t.Rotation - t.Slack, To: t.Rotation + t.Slack}
		if t.Any {
			turn.From, turn.To = 0, 360
		}
		p.Turns = append(p.Turns, turn)
	}
	return p
}

// fabricBounds states, for each fabric, a length that no plan for the laid
// plies could beat, end allowances included, single or in spreads: each ply on
// either side of the fabric, on the greatest usable width. A plan of n layers
// of layouts becomes one strip by putting them end to end with n-1 gaps
// between; where both end allowances are at least a gap, its length covers
// that. Otherwise the bound is taken without any gap.
func (p *planner) fabricBounds(ls []nest.Layout) []nest.FabricBound {
	laid := map[nest.Key]bool{}
	length := map[string]float64{}
	for i := range ls {
		for k := range ls[i].Placed {
			laid[ls[i].Placed[k].Key()] = true
		}
		for _, ly := range ls[i].Layers {
			length[ly.Fabric] += ls[i].Draws(&ly)
		}
	}
	gap := p.rules.Gap
	if 2*p.rules.EndAllowance < gap {
		gap = 0
	}
	out := []nest.FabricBound{}
	for _, f := range p.order {
		var pieces []bound.Piece
		at := map[string]int{}
		for _, d := range p.demand {
			if d.Fabric != f.Name || !laid[d.Key()] {
				continue
			}
			turns := demand.Turns(f, d, p.rules.AngleTolerance, false)
			turns = append(turns, demand.Turns(f, d, p.rules.AngleTolerance, true)...)
			id := turnsID(d.Shape, turns)
			i, ok := at[id]
			if !ok {
				i = len(pieces)
				at[id] = i
				pieces = append(pieces, bounded(p.shapes[d.Shape].Cut, turns, 0))
			}
			pieces[i].Count++
		}
		if len(pieces) > 0 {
			least := bound.Length(bound.Strip{Width: p.greatestWidth(f), Gap: gap}, pieces) + 2*p.rules.EndAllowance
			out = append(out, nest.FabricBound{Fabric: f.Name, Length: nest.Round(math.Min(least, length[f.Name]))})
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
