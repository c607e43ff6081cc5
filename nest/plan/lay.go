package plan

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"time"

	"plyroom/nest"
	"plyroom/nest/bound"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
)

// A scheme says what is cut together; the rest is cut single.
type scheme struct {
	stacks []demand.Stack
	rest   []int // places in the demand
}

// A draft is a scheme laid on the rolls.
type draft struct {
	scheme  scheme
	layouts []nest.Layout
	// pieces are the plies of each layout, as its bound is reckoned.
	pieces [][]bound.Piece
	// missing lists the places in the demand of what found no room.
	missing []int
	early   bool // the search was cut off before it had done all it was asked
	optimal bool // every stack was laid as short as its bound
}

// A budget is how long a scheme may be searched for.
type budget struct {
	effort int       // for each stack; 0: until a time
	until  time.Time // where effort is 0
	// trial asks for no more than a first layout of each stack, to compare
	// with others.
	trial bool
}

// lay lays a scheme: the stacks of several layers first, then what is single,
// fabric by fabric, on what is left of the rolls. What finds no room in a
// stack of several layers is laid single.
func (p *planner) lay(ctx context.Context, s scheme, b budget) (*draft, error) {
	d := &draft{scheme: s, optimal: true}
	st := p.stock.clone()
	singles := p.singles(s.rest)
	ahead := 0.0
	for i := range s.stacks {
		ahead += p.weigh(&s.stacks[i])
	}
	for i := range singles {
		ahead += p.weigh(&singles[i].Stack)
	}
	rest := s.rest
	of := len(s.stacks) + len(singles)
	for i := range s.stacks {
		w := p.newWork(s.stacks[i], false, st)
		w.last = !needed(&w.stack, s.stacks[i+1:], singles)
		if err := p.search(ctx, w, st, b, ahead, d, i, of); err != nil {
			return nil, err
		}
		ahead -= p.weigh(&s.stacks[i])
		d.take(w, st)
		for _, c := range w.unplaced() {
			rest = append(rest[:len(rest):len(rest)], c...)
		}
	}
	if len(rest) > len(s.rest) {
		singles = p.singles(rest)
	}
	for i := 0; i < len(singles); i++ {
		one := singles[i]
		w := p.newWork(one.Stack, one.either, st)
		w.last = !needed(&w.stack, nil, singles[i+1:])
		if err := p.search(ctx, w, st, b, ahead, d, len(s.stacks)+i, of); err != nil {
			return nil, err
		}
		ahead -= p.weigh(&one.Stack)
		d.take(w, st)
		var left []int
		for _, c := range w.unplaced() {
			left = append(left, c...)
		}
		if len(left) == 0 {
			continue
		}
		if other, ok := p.otherFace(one, left); ok {
			singles = append(singles[:i+1:i+1], append([]single{other}, singles[i+1:]...)...)
			continue
		}
		d.missing = append(d.missing, left...)
	}
	rollEnds(d.layouts, p.fabrics, p.rules)
	return d, nil
}

// needed tells whether stacks or singles to come draw on a fabric of this one.
func needed(s *demand.Stack, stacks []demand.Stack, singles []single) bool {
	draws := func(o *demand.Stack) bool {
		return slices.ContainsFunc(o.Layers, func(l demand.Layer) bool {
			return slices.ContainsFunc(s.Layers, func(m demand.Layer) bool { return m.Fabric == l.Fabric })
		})
	}
	for i := range stacks {
		if draws(&stacks[i]) {
			return true
		}
	}
	for i := range singles {
		if draws(&singles[i].Stack) {
			return true
		}
	}
	return false
}

// weigh is the weight of a stack in the sharing of time.
func (p *planner) weigh(s *demand.Stack) float64 {
	area, cuts := 0.0, 0
	for _, k := range s.Kinds {
		area += float64(float64(len(k.Cuts)) * polygonArea(p.shapes[k.Shape].Cut))
		cuts += len(k.Cuts)
	}
	return weight(area, cuts, len(s.Layers))
}

// search has one stack laid within its share of the budget.
func (p *planner) search(ctx context.Context, w *work, st *stock, b budget, ahead float64, d *draft, i, of int) error {
	ps := pack.Settings{Seed: p.settings.Seed, Workers: p.settings.Workers, Effort: b.effort, Cache: &p.cache}
	if ps.Workers == 0 {
		ps.Workers = runtime.GOMAXPROCS(0)
	}
	if b.effort == 0 && !b.trial {
		left := time.Until(b.until)
		share := 1.0
		if ahead > 0 {
			share = min(1, w.weighed()/ahead)
		}
		turn, cancel := context.WithTimeout(ctx, max(0, time.Duration(float64(left)*share)))
		defer cancel()
		ctx = turn
	}
	key := ""
	if b.trial {
		key = w.key()
		if have, ok := p.tried[key]; ok {
			w.best, w.strip = have.best, have.strip
			return nil
		}
	}
	given := ctx
	told := func(length float64) { p.report(w, i, of, w.strip.drawnLength(length)) }
	if b.trial {
		told = func(float64) {}
		ps.NoPolish = true
		if ps.Effort = trialEffort; p.settings.Effort == 0 {
			// The first layout told ends the search for others.
			first, cancel := context.WithCancel(ctx)
			defer cancel()
			ctx, ps.Effort, told = first, 0, func(float64) { cancel() }
		}
	}
	joint, rest := ps, ps
	until, cancel := ctx, context.CancelFunc(func() {})
	pairwise := !b.trial && w.repacks()
	if pairwise {
		joint.Still = true
		if ps.Effort > 0 {
			joint.Effort = max(1, int(jointShare*float64(ps.Effort)))
			rest.Effort = max(1, ps.Effort-joint.Effort)
		}
		if d, ok := ctx.Deadline(); ok && ps.Effort == 0 {
			until, cancel = context.WithTimeout(ctx, time.Duration(jointShare*float64(time.Until(d))))
		}
	}
	defer cancel()
	status, err := w.solve(until, st, joint, told)
	if pairwise && err == nil && status != pack.Optimal &&
		!w.repack(ctx, rest, func(drawn float64) { p.report(w, i, of, drawn) }) {
		status, err = w.again(ctx, st, rest, told)
	}
	if b.trial && given.Err() == nil {
		p.tried[key] = trial{w.best, w.strip}
	}
	d.early = d.early || status.Early() || b.effort > 0 && given.Err() != nil
	d.optimal = d.optimal && (status == pack.Optimal || status == pack.Trivial)
	return err
}

// again goes on with a search over all stretches at once, where they cannot be
// improved pair by pair. What was laid before stays if it is better.
func (w *work) again(ctx context.Context, st *stock, ps pack.Settings, told func(length float64)) (pack.Status, error) {
	before, strip, left := w.best, w.strip, len(w.unplaced())
	status, err := w.solve(ctx, st, ps, told)
	more := len(w.unplaced()) - left
	if err != nil || more > 0 || more == 0 && w.best.Length > before.Length {
		w.best, w.strip = before, strip
	}
	return status, err
}

// A trial is what was laid and where: the strip may have grown meanwhile.
type trial struct {
	best  *pack.Result
	strip *strip
}

// key tells works apart: what is cut, and from where.
func (w *work) key() string {
	key := scheme{stacks: []demand.Stack{w.stack}}.key() + fmt.Sprint(w.either)
	for _, s := range w.strip.stretches {
		for _, src := range s.sources {
			key += fmt.Sprintf("%s %g %g|", src.roll.Name, src.from, s.length)
		}
	}
	return key
}

func (w *work) weighed() float64 { return weight(w.area, w.cuts, len(w.stack.Layers)) }

// A single is a stack of one layer.
type single struct {
	demand.Stack
	fabric *shapes.Fabric
	of     []int
	// either says that the side of the roll that lies up makes no difference.
	either bool
	// second says that the rolls of the other face were tried already.
	second bool
}

// singles sorts pieces into stacks of one layer, fabric by fabric in the job's
// order, lot by lot where lots are given, and kit by kit where kits are kept
// together.
func (p *planner) singles(of []int) []single {
	var out []single
	for _, f := range p.order {
		byLot := map[string][]int{}
		var lots []string
		for _, i := range of {
			if p.demand[i].Fabric != f.Name {
				continue
			}
			lot := p.lot(i)
			if byLot[lot] == nil {
				lots = append(lots, lot)
			}
			byLot[lot] = append(byLot[lot], i)
		}
		for _, lot := range lots {
			for _, g := range p.groups(byLot[lot]) {
				out = append(out, p.single(f, lot, g))
			}
		}
	}
	return out
}

// single is the stack of one layer for pieces of one fabric and lot. Where the
// side that lies up makes a difference, the side of the first roll is taken;
// otherFace goes on with the rolls of the other.
func (p *planner) single(f *shapes.Fabric, lot string, of []int) single {
	one := single{fabric: f, of: of, either: true}
	for _, i := range of {
		up := demand.Turns(f, p.demand[i], p.rules.AngleTolerance, false)
		down := demand.Turns(f, p.demand[i], p.rules.AngleTolerance, true)
		one.either = one.either && sameTurns(up, down)
	}
	layer := demand.Layer{Fabric: f.Name, Lot: lot}
	if rolls := p.stock.rolls(layer, false, true); len(rolls) > 0 {
		layer.FaceDown = rolls[0].FaceDown
	}
	one.Stack = demand.Single(p.demand, of, f, layer, p.rules.AngleTolerance)
	return one
}

// otherFace is the stack of what the rolls of one face could not hold, on the
// rolls of the other face.
func (p *planner) otherFace(s single, left []int) (single, bool) {
	layer := s.Layers[0]
	layer.FaceDown = !layer.FaceDown
	if s.either || s.second || len(p.stock.rolls(layer, true, false)) == 0 {
		return single{}, false
	}
	return single{Stack: demand.Single(p.demand, left, s.fabric, layer, p.rules.AngleTolerance),
		fabric: s.fabric, of: left, second: true}, true
}

func sameTurns(a, b []demand.Turn) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
