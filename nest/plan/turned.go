package plan

import (
	"cmp"
	"fmt"
	"slices"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
)

// mirrorsOf lists the ways in which a shape is its own mirror image; it is worked
// out once for each shape.
func (b *base) mirrorsOf(s *nest.Shape) []demand.Mirror {
	ms, ok := b.mirrors[s]
	if !ok {
		ms = demand.Mirrors(s)
		if b.mirrors == nil {
			b.mirrors = map[*nest.Shape][]demand.Mirror{}
		}
		b.mirrors[s] = ms
	}
	return ms
}

// A spot is where one cut lies: of which stretch it is, and which of its cuts.
type spot struct{ on, n int }

// dealCuts says what each placement yields. The cuts of a kind go, in their order,
// to its placements as they come along the roll, but so that as few plies as can
// be are turned over: of two hands of one outline, those laid mirrored are the
// opposite hand first.
func (w *work) dealCuts(on []placedStretch, ls []nest.Layout) [][]demand.Cut {
	out := make([][]demand.Cut, len(on))
	spots := make([][]spot, len(w.stack.Kinds))
	for i, u := range on {
		out[i] = make([]demand.Cut, len(u.cuts))
		for n, p := range u.cuts {
			spots[p.Piece] = append(spots[p.Piece], spot{i, n})
		}
	}
	for k, at := range spots {
		// What found no room is taken from the end.
		for n, c := range w.dealKind(on, ls, at, w.stack.Kinds[k].Cuts[:len(at)]) {
			out[at[n].on][at[n].n] = c
		}
	}
	return out
}

// dealKind deals the cuts of one kind to as many spots.
func (w *work) dealKind(on []placedStretch, ls []nest.Layout, at []spot, cuts []demand.Cut) []demand.Cut {
	var sorts [][]demand.Cut // cuts that are turned over alike wherever they lie
	number := map[string]int{}
	held := make([]int, len(at)) // the sort at each spot
	for i, c := range cuts {
		key := w.sortOf(c)
		n, ok := number[key]
		if !ok {
			n = len(sorts)
			number[key] = n
			sorts = append(sorts, nil)
		}
		sorts[n] = append(sorts[n], c)
		held[i] = n
	}
	if len(sorts) < 2 {
		return cuts
	}
	turned := make([][]int, len(at)) // by spot and sort
	for i, s := range at {
		u := on[s.on]
		dx := w.strip.stretches[u.of].x - w.rules.EndAllowance
		for _, some := range sorts {
			turned[i] = append(turned[i], w.turnedOver(u.cuts[s.n], some[0], ls[s.on].Layers, dx))
		}
	}
	leastTurned(held, turned)
	out := make([]demand.Cut, len(at))
	for i, n := range held {
		out[i], sorts[n] = sorts[n][0], sorts[n][1:]
	}
	return out
}

// sortOf words all of a cut that tells how its plies come to lie.
func (w *work) sortOf(c demand.Cut) string {
	key := ""
	for _, i := range c {
		d := &w.demand[i]
		key += fmt.Sprintf("%q|%q|%v|%v|%v|", d.Shape, d.Fabric, d.DirectionDeg, d.ToleranceDeg, d.OppositeHand)
	}
	return key
}

// turnedOver counts the plies of a cut that would be turned over at a placement.
func (w *work) turnedOver(p pack.Placement, c demand.Cut, layers []nest.Layer, dx float64) int {
	n := 0
	for k, i := range c {
		d := &w.demand[i]
		if p.Mirrored == d.OppositeHand {
			continue
		}
		if len(w.mirrorsOf(w.shapes[d.Shape])) == 0 || w.placed(p, d, &layers[k], dx).TurnedOver {
			n++
		}
	}
	return n
}

// leastTurned exchanges what is held at each spot, each sort as often as before,
// while that turns fewer plies over. Each two sorts are shared out anew at their
// best, which for the two hands of single plies is the best there is.
func leastTurned(held []int, turned [][]int) {
	sorts := len(turned[0])
	for better := true; better; {
		better = false
		for a := range sorts {
			for b := range a {
				better = shareOut(held, turned, a, b) || better
			}
		}
	}
}

// shareOut shares out the spots that hold one of two sorts, and reports whether
// that turns fewer plies over. A spot keeps what it has where nothing is gained.
func shareOut(held []int, turned [][]int, a, b int) bool {
	var at []int
	ofA, before := 0, 0
	for i, n := range held {
		if n == a || n == b {
			at = append(at, i)
			before += turned[i][n]
			if n == a {
				ofA++
			}
		}
	}
	slices.SortStableFunc(at, func(i, j int) int {
		if c := cmp.Compare(turned[i][a]-turned[i][b], turned[j][a]-turned[j][b]); c != 0 {
			return c
		}
		switch {
		case held[i] == held[j]:
			return 0
		case held[i] == a:
			return -1
		}
		return 1
	})
	after := 0
	for n, i := range at {
		if n < ofA {
			after += turned[i][a]
		} else {
			after += turned[i][b]
		}
	}
	if after >= before {
		return false
	}
	for n, i := range at {
		held[i] = b
		if n < ofA {
			held[i] = a
		}
	}
	return true
}

// tradeHands looks in each kit for a ply and its opposite hand that are both turned
// over, whatever cuts or stacks they are of, and has them change names: neither is
// turned over then. Both are copies of one ply of one unit that may lie in the same
// turns, so that kits, lots, bounds and the order in stacks stay as they are, and
// nothing moves on the fabric.
func tradeHands(rec *nest.Record) {
	type copies struct {
		part, ply, fabric, shape string
		unit, order              int
	}
	type place struct {
		p        *nest.Placed
		d        *nest.Demand
		faceDown bool
	}
	demanded := rec.DemandByKey()
	waiting := map[copies][]place{}
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		down := map[int]bool{}
		for _, ly := range l.Layers {
			down[ly.Layer] = ly.Face == "down"
		}
		for k := range l.Placed {
			p := &l.Placed[k]
			a := place{p, demanded[p.Key()], down[p.Layer]}
			f := rec.Fabric(p.Fabric)
			if !p.TurnedOver || a.d == nil || f == nil {
				continue
			}
			of := copies{p.Part, p.Ply, p.Fabric, a.d.Shape, p.Unit, p.Order}
			n := slices.IndexFunc(waiting[of], func(b place) bool {
				return b.d.OppositeHand != a.d.OppositeHand && turnAlike(f, a.d, b.d, rec.Rules.AngleTolerance)
			})
			if n < 0 {
				waiting[of] = append(waiting[of], a)
				continue
			}
			b := waiting[of][n]
			waiting[of] = slices.Delete(waiting[of], n, n+1)
			a.d, b.d = b.d, a.d
			for _, to := range []place{a, b} {
				to.p.Copy, to.p.OppositeHand, to.p.TurnedOver = to.d.Copy, to.d.OppositeHand, false
				demand.SetAngles(to.p, to.d, f, to.faceDown)
			}
		}
	}
}

// turnAlike reports whether two plies may be cut in the same turns from fabric that
// lies either way.
func turnAlike(f *shapes.Fabric, a, b *nest.Demand, angleTolerance float64) bool {
	for _, down := range []bool{false, true} {
		if !slices.Equal(demand.Turns(f, *a, angleTolerance, down), demand.Turns(f, *b, angleTolerance, down)) {
			return false
		}
	}
	return true
}
