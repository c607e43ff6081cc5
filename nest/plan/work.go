package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// A work is one stack of layers and all that is cut from it.
type work struct {
	*base
	stack  demand.Stack
	either bool // single plies that may lie on rolls of either face
	last   bool // nothing else is to be cut from these fabrics afterwards
	cuts   int
	area   float64 // of all cuts, once each, mm²
	strip  *strip
	best   *pack.Result
	limit  float64 // see least; 0 until it is worked out
}

// newWork readies a stack for the packer. The strip begins at the free ends of
// the rolls in st.
func (b *base) newWork(stack demand.Stack, either bool, st *stock) *work {
	w := &work{base: b, stack: stack, either: either}
	for _, k := range stack.Kinds {
		w.cuts += len(k.Cuts)
		w.area += float64(float64(len(k.Cuts)) * polygonArea(b.shapes[k.Shape].Cut))
	}
	w.offer(st, 4)
	if !w.strip.limited && w.strip.width > 0 && w.strip.longest() > 0 {
		// Half as much again as the area needs, and two more; grown where that
		// turns out too few.
		w.offer(st, int(1.5*w.area/(w.strip.width*w.strip.longest()))+2)
	}
	return w
}

// offer strings so many lengths of a roll without end.
func (w *work) offer(st *stock, tables int) {
	w.strip = newStrip(st, w.fabrics, w.stack.Layers, w.either, w.rules, tables)
}

// name is the fabrics of the stack, bottom up.
func (w *work) name() string {
	var names []string
	for _, l := range w.stack.Layers {
		names = append(names, l.Fabric)
	}
	return strings.Join(names, " + ")
}

// weight is the share of time a stack gets: by area, since that is what can
// be saved, with something for each.
func weight(area float64, cuts, layers int) float64 {
	return area * float64(layers) * float64(min(cuts, 40))
}

// problem is what the packer is asked, and which kind each of its pieces is. A
// kind that has room on no stretch of this strip, which may be what is left of
// the rolls, is left out.
func (w *work) problem() (*pack.Problem, []int) {
	var kinds []int
	longest := w.strip.longest()
	p := &pack.Problem{Width: w.strip.width, Gap: w.rules.Gap, Obstacles: w.strip.obstacles}
	if !math.IsInf(w.strip.end, 1) {
		p.MaxLength = w.strip.end
	}
	for i, k := range w.stack.Kinds {
		es := demand.Extents(orbRing(w.shapes[k.Shape].Cut.Outline), k.Turns)
		if along := demand.LeastAlong(es, w.strip.width); math.IsInf(along, 1) || along > longest+demand.FitSlack {
			continue
		}
		exterior, holes := w.coarse(w.shapes[k.Shape], k.Turns, longest)
		p.Pieces = append(p.Pieces, piece(exterior, holes, k.Turns, len(k.Cuts)))
		kinds = append(kinds, i)
	}
	return p, kinds
}

// pack asks the packer and puts its answer in terms of the stack's kinds.
func (w *work) pack(ctx context.Context, p *pack.Problem, kinds []int, ps pack.Settings, told func(pack.Progress)) (pack.Result, error) {
	res, err := pack.Solve(ctx, p, ps, told)
	if err != nil {
		return res, w.explain(err, kinds)
	}
	for i := range res.Placements {
		res.Placements[i].Piece = kinds[res.Placements[i].Piece]
	}
	for i := range res.Unplaced {
		res.Unplaced[i].Piece = kinds[res.Unplaced[i].Piece]
	}
	for i, k := range w.stack.Kinds {
		if !slices.Contains(kinds, i) {
			res.Unplaced = append(res.Unplaced, pack.Unplaced{Piece: i, Count: len(k.Cuts)})
		}
	}
	return res, nil
}

// piece words a kind for the packer.
func piece(exterior orb.Ring, holes []orb.Ring, turns []demand.Turn, count int) pack.Piece {
	pc := pack.Piece{Exterior: exterior, Holes: holes, Count: count}
	for _, t := range turns {
		o := pack.Orientation{Mirrored: t.Mirrored, From: t.Rotation - t.Slack, To: t.Rotation + t.Slack}
		if t.Any {
			o.From, o.To = 0, 360
		}
		pc.Orientations = append(pc.Orientations, o)
	}
	return pc
}

// solve has the packer lay the stack. What has no room in any stretch is left
// to the result's Unplaced.
func (w *work) solve(ctx context.Context, st *stock, ps pack.Settings, told func(length float64)) (pack.Status, error) {
	if len(w.strip.stretches) == 0 {
		w.best = &pack.Result{Unplaced: w.everything()}
		return pack.Trivial, nil
	}
	if res, ok := w.bars(); ok {
		w.best = res
		told(res.Length)
		return pack.Optimal, nil
	}
	for tables, before := len(w.strip.stretches), math.MaxInt; ; {
		p, kinds := w.problem()
		res, err := w.pack(ctx, p, kinds, ps, func(p pack.Progress) { told(p.Length) })
		if err != nil {
			return res.Status, err
		}
		w.best = &res
		if len(res.Unplaced) > 0 && w.strip.limited && len(w.stack.Layers) == 1 {
			if w.squeeze(ctx, ps) || w.fill(ctx, ps) {
				res = *w.best
			}
		}
		if res.Length > 0 {
			told(res.Length)
		}
		if len(res.Unplaced) == 0 || w.strip.limited || tables > maxTables || len(kinds) < len(w.stack.Kinds) {
			return res.Status, nil
		}
		left := len(w.unplaced())
		if left >= before {
			return res.Status, nil // more of the same helps none
		}
		before = left
		// A roll without end on a static table: offer more lengths of it.
		tables *= 2
		w.offer(st, tables)
	}
}

// squeeze looks for a layout that fits the rolls where the first one did not:
// it lets plies lie past the last roll for a while, and reports whether the
// search has brought them all back. A trial may spend squeezeEffort on it: the
// answer decides whether the job can be laid at all.
func (w *work) squeeze(ctx context.Context, ps pack.Settings) bool {
	p, kinds := w.problem()
	wall := math.Max(w.rules.Gap, 1)
	end := w.strip.end
	p.MaxLength = 0
	if trial := ps.NoPolish; trial || ps.Effort > 0 {
		ps.NoPolish, ps.Effort = false, max(ps.Effort, squeezeEffort)
	}
	p.Obstacles = append(p.Obstacles, orb.Bound{Min: orb.Point{end, 0}, Max: orb.Point{end + wall, w.strip.width}})
	res, err := w.pack(ctx, p, kinds, ps, nil)
	if err != nil || res.Length > end+demand.FitSlack || len(res.Unplaced) > 0 {
		return false
	}
	w.best = &res
	return true
}

// squeezeEffort is the least effort spent on bringing plies back onto the
// rolls.
const squeezeEffort = 6

// maxTables bounds the lengths of table offered for one stack.
const maxTables = 1 << 16

func (w *work) everything() []pack.Unplaced {
	var out []pack.Unplaced
	for i, k := range w.stack.Kinds {
		out = append(out, pack.Unplaced{Piece: i, Count: len(k.Cuts)})
	}
	return out
}

// unplaced lists the cuts that found no room.
func (w *work) unplaced() []demand.Cut {
	var out []demand.Cut
	for _, u := range w.best.Unplaced {
		cuts := w.stack.Kinds[u.Piece].Cuts
		out = append(out, cuts[len(cuts)-u.Count:]...)
	}
	return out
}

// explain names the plies where the packer names a piece.
func (w *work) explain(err error, kinds []int) error {
	var wide *pack.TooWideError
	if errors.As(err, &wide) && wide.Piece >= 0 && wide.Piece < len(kinds) {
		d := w.demand[w.stack.Kinds[kinds[wide.Piece]].Cuts[0][0]]
		return fmt.Errorf("fabric %q: %s, ply %s (outline %q): %w", w.name(), d.Part, d.Ply, w.shapes[d.Shape].Name, err)
	}
	return fmt.Errorf("fabric %q: %w", w.name(), err)
}

// A base is what all stacks of a job share.
type base struct {
	rules   *shapes.Cutting
	demand  []nest.Demand
	table   []nest.Shape
	shapes  map[string]*nest.Shape
	fabrics map[string]*shapes.Fabric

	mirrors map[*nest.Shape][]demand.Mirror // see mirrorsOf
}

func polygonArea(p nest.Polygon) float64 {
	a := ringArea(p.Outline)
	for _, h := range p.Holes {
		a -= ringArea(h)
	}
	return a
}

func ringArea(r nest.Ring) float64 { return geom.Area(orbRing(r)) }

func orbRing(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
