package plan

import (
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// laid is one placement with the stretch it fell into.
type laid struct {
	pack.Placement
	stretch int
}

// write cuts the strip into layouts and adds them to the record.
func (w *fabricWork) write(rec *nest.Record) {
	byStretch := make([][]laid, len(w.strip.stretches))
	for _, p := range w.best.Placements {
		s := w.shapes[w.kinds[p.Piece].Shape]
		b := geom.Bound(transform(p, p.X, p.Y).Ring(orbRing(s.Cut.Outline)))
		k := w.strip.at((b.Min[0] + b.Max[0]) / 2)
		byStretch[k] = append(byStretch[k], laid{p, k})
	}
	hands := newHands(w)
	first := len(rec.Layouts)
	for k := range w.strip.stretches {
		if len(byStretch[k]) > 0 {
			rec.Layouts = append(rec.Layouts, w.layout(&w.strip.stretches[k], byStretch[k], hands, len(rec.Layouts)+1))
		}
	}
	w.onRolls(rec.Layouts[first:], byStretch)
	rec.FabricBounds = append(rec.FabricBounds, nest.FabricBound{
		Fabric: w.fabric.Name, Length: nest.Round(math.Min(w.fabricBound(), total(rec.Layouts[first:]))),
	})
}

func total(ls []nest.Layout) float64 {
	sum := 0.0
	for _, l := range ls {
		sum += l.Length + l.RollEnd
	}
	return sum
}

// layout turns the plies of one stretch into a layout, as long as they need.
func (w *fabricWork) layout(st *stretch, plies []laid, hands *hands, number int) nest.Layout {
	e, sel := w.rules.EndAllowance, w.fabric.Selvedge
	l := nest.Layout{
		ID:    fmt.Sprintf("L%d", number),
		Width: st.width,
		Layers: []nest.Layer{{Layer: 1, Fabric: w.fabric.Name, Roll: st.roll.Name, Lot: st.roll.Lot,
			RollFrom: st.from, Face: face(st.roll)}},
		Placed: []nest.Placed{},
	}
	slices.SortStableFunc(plies, func(a, b laid) int {
		switch {
		case a.X != b.X:
			return sign(a.X - b.X)
		default:
			return sign(a.Y - b.Y)
		}
	})
	reach := e
	for _, p := range plies {
		d := w.demand[hands.take(p.Piece, p.Mirrored)]
		pl := w.placed(p, d, st.x-e, sel)
		for _, v := range pl.Outline {
			reach = math.Max(reach, v[0])
		}
		l.Placed = append(l.Placed, pl)
	}
	l.Length = nest.Round(reach + e)
	l.Usable = [2]nest.Point{{e, sel}, {nest.Round(l.Length - e), nest.Round(st.width - sel)}}
	for _, f := range st.flaws {
		if f.From < l.Length {
			l.Flaws = append(l.Flaws, nest.Flaw{From: f.From, To: math.Min(f.To, l.Length)})
		}
	}
	l.BoundLength = nest.Round(math.Min(l.Length, w.layoutBound(plies)+2*e))
	return l
}

func face(r *shapes.Roll) string {
	if r.FaceDown {
		return "down"
	}
	return "up"
}

func sign(v float64) int {
	if v < 0 {
		return -1
	}
	return 1
}

func transform(p pack.Placement, x, y float64) geom.Transform {
	return geom.Transform{Mirror: p.Mirrored, Rotation: p.Rotation, X: x, Y: y}
}

// placed writes one ply; dx is what strip coordinates are ahead of layout
// coordinates along the roll, dy what they are behind across it.
func (w *fabricWork) placed(p laid, d nest.Demand, dx, dy float64) nest.Placed {
	s := w.shapes[d.Shape]
	pl := nest.Placed{
		Part: d.Part, Unit: d.Unit, Ply: d.Ply, Order: d.Order, Copy: d.Copy,
		Layer: 1, Fabric: w.fabric.Name,
		RotationDeg:  nest.RoundAngle(shapes.NormalRotation(p.Rotation)),
		TurnedOver:   p.Mirrored != d.OppositeHand,
		OppositeHand: d.OppositeHand,
		X:            nest.Round(p.X - dx), Y: nest.Round(p.Y + dy),
		Holes: []nest.Ring{},
	}
	laidDeg := shapes.LaidAngle(pl.RotationDeg, pl.TurnedOver)
	rollDown, _ := w.fabric.FaceDown()
	dev, _ := shapes.Deviation(laidDeg, pl.TurnedOver != rollDown, w.fabric.WarpAngles(d.DirectionDeg, d.OppositeHand))
	pl.DeviationDeg = nest.RoundAngle(dev)
	pl.LaidDeg = nest.RoundAngle(shapes.NormalDirection(laidDeg))
	if len(w.fabric.WarpPositions) > 0 {
		pl.LaidDeg = nest.RoundAngle(shapes.NormalRotation(laidDeg))
	}
	t := geom.Transform{Mirror: p.Mirrored, Rotation: pl.RotationDeg, X: pl.X, Y: pl.Y}
	pl.Outline = demand.Ring(t.Ring(orbRing(s.Cut.Outline)))
	for _, h := range s.Cut.Holes {
		pl.Holes = append(pl.Holes, demand.Ring(t.Ring(orbRing(h))))
	}
	return pl
}

// onRolls says where on its roll each layout begins. Without flaws each begins
// where the one before ends. With flaws the stretches keep their places, and a
// layout that another follows takes its whole stretch.
func (w *fabricWork) onRolls(ls []nest.Layout, byStretch [][]laid) {
	n := 0
	last := map[*shapes.Roll]int{}
	next := map[*shapes.Roll]float64{}
	var of []*stretch
	for k := range w.strip.stretches {
		if len(byStretch[k]) > 0 {
			of = append(of, &w.strip.stretches[k])
		}
	}
	for n = range ls {
		st, l := of[n], &ls[n]
		if len(st.roll.Flaws) == 0 {
			l.Layers[0].RollFrom = nest.Round(next[st.roll])
		} else if prev, ok := last[st.roll]; ok {
			p := &ls[prev]
			w.stretchTo(p, of[prev], st.from-p.Layers[0].RollFrom)
		}
		next[st.roll] = l.Layers[0].RollFrom + l.Length
		last[st.roll] = n
	}
	for roll, n := range last {
		if roll.Length == 0 {
			continue
		}
		l := &ls[n]
		if rest := roll.Length - l.Layers[0].RollFrom - l.Length; rest > 0 && rest < w.rules.MinRemnant {
			l.RollEnd = nest.Round(rest)
		}
	}
}

// stretchTo lengthens a layout over fabric that cannot be used for it, because
// the next one's place on the roll is fixed.
func (w *fabricWork) stretchTo(l *nest.Layout, st *stretch, length float64) {
	l.Length = nest.Round(length)
	l.Usable[1][0] = nest.Round(l.Length - w.rules.EndAllowance)
	l.Flaws = nil
	for _, f := range st.flaws {
		l.Flaws = append(l.Flaws, nest.Flaw{From: f.From, To: math.Min(f.To, l.Length)})
	}
}

// hands gives out the demanded pieces of each kind, in their order, to the
// placements as they come along the roll. A kind may hold both hands; either
// may take any placement of the kind, since each has the same turns.
type hands struct {
	w    *fabricWork
	next []int
}

func newHands(w *fabricWork) *hands { return &hands{w, make([]int, len(w.kinds))} }

func (h *hands) take(kind int, _ bool) int {
	i := h.w.kinds[kind].Pieces[h.next[kind]]
	h.next[kind]++
	return i
}

// layoutBound is a length of strip that no arrangement of these plies could
// beat.
func (w *fabricWork) layoutBound(plies []laid) float64 {
	counts := map[int]int{}
	for _, p := range plies {
		counts[p.Piece]++
	}
	return w.lengthBound(counts, w.rules.Gap)
}

// fabricBound is a length that no plan for all plies of the fabric could beat,
// end allowances included. A plan of n layouts becomes one strip by putting
// them end to end with n-1 gaps between; where both end allowances are at
// least a gap, its length covers that. Otherwise the bound is taken without
// any gap.
func (w *fabricWork) fabricBound() float64 {
	gap := w.rules.Gap
	if 2*w.rules.EndAllowance < gap {
		gap = 0
	}
	counts := map[int]int{}
	for i, k := range w.kinds {
		counts[i] = len(k.Pieces)
	}
	return w.lengthBound(counts, gap) + 2*w.rules.EndAllowance
}
