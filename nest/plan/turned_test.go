package plan

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// Of single plies in two hands, as many are turned over as one side is more than
// the other, and never more than if the cuts were given out as they come.
func TestLeastTurned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "n")
		sorts := rapid.IntRange(2, 4).Draw(t, "sorts")
		held, turned := make([]int, n), make([][]int, n)
		for i := range held {
			held[i] = rapid.IntRange(0, sorts-1).Draw(t, "held")
			for range sorts {
				turned[i] = append(turned[i], rapid.IntRange(0, 2).Draw(t, "turned"))
			}
		}
		count := func(h []int) (sum int) {
			for i, s := range h {
				sum += turned[i][s]
			}
			return sum
		}
		left := make([]int, sorts)
		for _, s := range held {
			left[s]++
		}
		of := append([]int{}, left...)
		before := count(held)
		least := before
		h := make([]int, n)
		var try func(i int)
		try = func(i int) {
			if i == n {
				least = min(least, count(h))
				return
			}
			for s := range left {
				if left[s] > 0 {
					left[s]--
					h[i] = s
					try(i + 1)
					left[s]++
				}
			}
		}
		if n <= 6 || sorts == 2 {
			try(0)
		}
		leastTurned(held, turned)
		require.LessOrEqual(t, count(held), before)
		after := make([]int, sorts)
		for _, s := range held {
			after[s]++
		}
		require.Equal(t, of, after)
		if sorts == 2 {
			require.Equal(t, least, count(held))
		}
	})
}

// plainly counts what would be turned over if the cuts of each kind went to its
// placements as they come along the roll.
func plainly(w *work) (turned int) {
	next := make([]int, len(w.stack.Kinds))
	for _, u := range w.byStretch() {
		for _, p := range u.cuts {
			for _, i := range w.stack.Kinds[p.Piece].Cuts[next[p.Piece]] {
				if p.Mirrored != w.demand[i].OppositeHand {
					turned++
				}
			}
			next[p.Piece]++
		}
	}
	return turned
}

// TestDealingTurnsNoMore lays the stacks and the single plies of random jobs. Every
// outline lies where the packer put it, each layout is as long as those need, each
// demanded piece comes once, and no more plies are turned over than before.
func TestDealingTurnsNoMore(t *testing.T) {
	before, after := 0, 0
	for seed := range uint64(6) {
		j := randomJob(seed)
		p := newPlanner(j, Settings{Effort: 1, Seed: seed}, nil)
		pieces, table, problems := demand.Expand(j, func(f *shapes.Fabric) demand.Room { return p.fullRoom(f).room() })
		if len(problems.Faults()) > 0 {
			continue
		}
		p.setDemand(pieces, table)
		var works []*work
		if j.Cutting.Layers > 1 {
			stacks, _ := p.spread(p.spreader(), p.all(), demand.Choice{Across: true, Self: true, Kits: true})
			for _, s := range stacks {
				works = append(works, p.newWork(s, false, p.stock.clone()))
			}
		}
		for _, one := range p.singles(p.all()) {
			works = append(works, p.newWork(one.Stack, one.either, p.stock.clone()))
		}
		for _, w := range works {
			_, err := w.solve(t.Context(), p.stock.clone(), pack.Settings{Effort: 1, Seed: seed, NoPolish: true}, func(float64) {})
			if err != nil {
				continue // a ply too large
			}
			plain := plainly(w)
			ls, of, _ := w.layouts()
			seen := map[nest.Key]bool{}
			turned, laid := 0, 0
			for n, l := range ls {
				want := map[orb.Point]int{}
				for _, c := range w.best.Placements {
					b := w.box(c)
					want[orb.Point{nest.Round(b.Min[0] - of[n].x + w.rules.EndAllowance), nest.Round(b.Min[1] + w.strip.low)}]++
				}
				reach := 0.0
				for i := range l.Placed {
					pl := &l.Placed[i]
					require.False(t, seen[pl.Key()])
					seen[pl.Key()] = true
					box := orb.Ring(orbRing(pl.Outline)).Bound()
					reach = max(reach, box.Max[0])
					found := false
					for at := range want {
						found = found || max(at[0]-box.Min[0], box.Min[0]-at[0], at[1]-box.Min[1], box.Min[1]-at[1]) < 1e-5
					}
					require.True(t, found, "job %d: %s has moved", seed, pl.Key())
					d := w.demand[indexOf(w, pl.Key())]
					_, off, why := verify.Direction(w.fabrics[d.Fabric], d.DirectionDeg, pl.RotationDeg, pl.TurnedOver, pl.OppositeHand, l.Layers[pl.Layer-1].Face == "down")
					require.Empty(t, why)
					require.LessOrEqual(t, max(off, -off), min(d.ToleranceDeg, w.rules.AngleTolerance)+verify.AngleTolerance)
					if pl.TurnedOver {
						turned++
					}
				}
				require.InDelta(t, reach+w.rules.EndAllowance, l.Length, 1e-5)
				laid += len(l.Placed)
			}
			require.Equal(t, len(w.best.Placements)*len(w.stack.Layers), laid)
			require.LessOrEqualf(t, turned, plain, "job %d %s", seed, w.name())
			before, after = before+plain, after+turned
		}
	}
	t.Logf("turned over: %d before, %d after", before, after)
	require.Less(t, after, before)
}

func indexOf(w *work, k nest.Key) int {
	for i := range w.demand {
		if w.demand[i].Key() == k {
			return i
		}
	}
	return -1
}

func turnedIn(rec *nest.Record) int {
	n := 0
	for i := range rec.Layouts {
		for k := range rec.Layouts[i].Placed {
			if rec.Layouts[i].Placed[k].TurnedOver {
				n++
			}
		}
	}
	return n
}

// Strips cut square lie as they are, though the packer may mirror them.
func TestRectanglesAreNotTurned(t *testing.T) {
	for _, f := range []*shapes.Fabric{mat(), roving()} {
		rec, err := Lay(t.Context(), small(f, &shapes.Ply{Name: "U01", Count: 12, OppositeHand: 5, Direction: 0, Tolerance: 2,
			Outline: rectangle("STRIP", 700, 90)}), Settings{Effort: 1, Seed: 1}, nil)
		require.NoError(t, err)
		require.Zero(t, turnedIn(rec))
	}
}

// TestHandsAreTraded gives a ply and its opposite hand each other's names, so that
// both are turned over; they get their own back, and nothing else changes.
func TestHandsAreTraded(t *testing.T) {
	f := roving()
	wedge := &shapes.Outline{Name: "WEDGE", Exterior: orb.Ring{{0, 0}, {500, 0}, {420, 130}, {60, 210}}, Area: 0}
	wedge.Area = ringArea(nest.Ring{{0, 0}, {500, 0}, {420, 130}, {60, 210}})
	job := small(f, &shapes.Ply{Name: "U01", Count: 6, OppositeHand: 3, Direction: 30, Outline: wedge})
	job.Parts[0].Units = 2
	// Not every layout has a ply and its opposite hand that both lie unturned.
	var rec *nest.Record
	good, spoiled := 0, 0
	for seed := uint64(1); spoiled == 0 && seed <= 20; seed++ {
		var err error
		rec, err = Lay(t.Context(), job, Settings{Effort: 1, Seed: seed}, nil)
		require.NoError(t, err)
		good = turnedIn(rec)
		demanded := rec.DemandByKey()
		ps := rec.Layouts[0].Placed
		for i := range ps {
			for k := range ps {
				a, b := &ps[i], &ps[k]
				if a.TurnedOver || b.TurnedOver || a.OppositeHand || !b.OppositeHand || a.Unit != b.Unit {
					continue
				}
				d, e := demanded[a.Key()], demanded[b.Key()]
				a.Copy, a.OppositeHand, a.TurnedOver = e.Copy, true, true
				b.Copy, b.OppositeHand, b.TurnedOver = d.Copy, false, true
				demand.SetAngles(a, e, f, false)
				demand.SetAngles(b, d, f, false)
				spoiled += 2
			}
		}
	}
	require.Positive(t, spoiled)
	require.Empty(t, verify.Check(rec))
	outlines := outlinesOf(rec)
	tradeHands(rec)
	require.Empty(t, verify.Check(rec))
	require.LessOrEqual(t, turnedIn(rec), good)
	require.Equal(t, outlines, outlinesOf(rec))
}

func outlinesOf(rec *nest.Record) (out []nest.Ring) {
	for i := range rec.Layouts {
		for k := range rec.Layouts[i].Placed {
			out = append(out, rec.Layouts[i].Placed[k].Outline)
		}
	}
	return out
}
