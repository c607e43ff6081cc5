package plan

import (
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/bound"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// layouts cuts the strip into layouts. Beside each stand the stretch it is laid
// on and what its bound is reckoned from.
func (w *work) layouts() (out []nest.Layout, of []*stretch, pieces [][]bound.Piece) {
	next := make([]int, len(w.stack.Kinds))
	for _, u := range w.byStretch() {
		st := &w.strip.stretches[u.of]
		l, on := w.layout(st, u.cuts, next)
		out, of, pieces = append(out, l), append(of, st), append(pieces, on)
	}
	return out, of, pieces
}

// layout turns the plies of one stretch into a layout, as long as they need, and
// words them for package bound.
// next counts the cuts of each kind given out: they go, in their order, to the
// placements as they come along the roll.
func (w *work) layout(st *stretch, cuts []pack.Placement, next []int) (nest.Layout, []bound.Piece) {
	e := w.rules.EndAllowance
	l := nest.Layout{Width: st.width, Placed: []nest.Placed{}}
	for i, ly := range w.stack.Layers {
		roll := st.sources[i].roll
		down := ly.FaceDown
		if w.either {
			down = roll.FaceDown
		}
		l.Layers = append(l.Layers, nest.Layer{Layer: i + 1, Fabric: ly.Fabric, Roll: roll.Name, Lot: roll.Lot, Face: face(down)})
	}
	slices.SortStableFunc(cuts, func(a, b pack.Placement) int {
		switch {
		case a.X != b.X:
			return sign(a.X - b.X)
		default:
			return sign(a.Y - b.Y)
		}
	})
	reach := e
	placed := make([][]nest.Placed, len(l.Layers))
	counts := map[int]int{}
	for _, p := range cuts {
		counts[p.Piece]++
		cut := w.stack.Kinds[p.Piece].Cuts[next[p.Piece]]
		next[p.Piece]++
		for k, i := range cut {
			pl := w.placed(p, w.demand[i], &l.Layers[k], st.x-e)
			for _, v := range pl.Outline {
				reach = math.Max(reach, v[0])
			}
			placed[k] = append(placed[k], pl)
		}
	}
	for _, ps := range placed {
		l.Placed = append(l.Placed, ps...)
	}
	l.Length = nest.Round(reach + e)
	l.Usable = [2]nest.Point{{e, w.strip.low}, {nest.Round(l.Length - e), nest.Round(st.high)}}
	return l, w.boundPieces(counts)
}

func face(down bool) string {
	if down {
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

// placed writes one ply on one layer; dx is what strip coordinates are ahead
// of layout coordinates along the roll.
func (w *work) placed(p pack.Placement, d nest.Demand, ly *nest.Layer, dx float64) nest.Placed {
	s, f := w.shapes[d.Shape], w.fabrics[d.Fabric]
	pl := nest.Placed{
		Part: d.Part, Unit: d.Unit, Ply: d.Ply, Order: d.Order, Copy: d.Copy,
		Layer: ly.Layer, Fabric: f.Name,
		RotationDeg:  nest.RoundAngle(shapes.NormalRotation(p.Rotation)),
		TurnedOver:   p.Mirrored != d.OppositeHand,
		OppositeHand: d.OppositeHand,
		X:            nest.Round(p.X - dx), Y: nest.Round(p.Y + w.strip.low),
		Holes: []nest.Ring{},
	}
	laidDeg := shapes.LaidAngle(pl.RotationDeg, pl.TurnedOver)
	faceDown := pl.TurnedOver != (ly.Face == "down")
	dev, _ := shapes.Deviation(laidDeg, faceDown, f.WarpAngles(d.DirectionDeg, d.OppositeHand))
	pl.DeviationDeg = nest.RoundAngle(dev)
	pl.LaidDeg = nest.RoundAngle(shapes.NormalDirection(laidDeg))
	if len(f.WarpPositions) > 0 {
		pl.LaidDeg = nest.RoundAngle(shapes.NormalRotation(laidDeg))
	}
	t := geom.Transform{Mirror: p.Mirrored, Rotation: pl.RotationDeg, X: pl.X, Y: pl.Y}
	pl.Outline = demand.Ring(t.Ring(orbRing(s.Cut.Outline)))
	for _, h := range s.Cut.Holes {
		pl.Holes = append(pl.Holes, demand.Ring(t.Ring(orbRing(h))))
	}
	return pl
}
