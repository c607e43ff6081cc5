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
	on := w.byStretch()
	for _, u := range on {
		st := &w.strip.stretches[u.of]
		out, of = append(out, w.bare(st)), append(of, st)
		slices.SortStableFunc(u.cuts, func(a, b pack.Placement) int {
			switch {
			case a.X != b.X:
				return sign(a.X - b.X)
			default:
				return sign(a.Y - b.Y)
			}
		})
	}
	dealt := w.dealCuts(on, out)
	for i, u := range on {
		pieces = append(pieces, w.layout(&out[i], of[i], u.cuts, dealt[i]))
	}
	return out, of, pieces
}

// bare is the layout of a stretch before any ply lies on it.
func (w *work) bare(st *stretch) nest.Layout {
	l := nest.Layout{Width: st.width, Placed: []nest.Placed{}}
	for i, ly := range w.stack.Layers {
		roll := st.sources[i].roll
		down := ly.FaceDown
		if w.either {
			down = roll.FaceDown
		}
		l.Layers = append(l.Layers, nest.Layer{Layer: i + 1, Fabric: ly.Fabric, Roll: roll.Name, Lot: roll.Lot, Face: face(down)})
	}
	return l
}

// layout puts the plies of one stretch on its layout, which becomes as long as
// they need, and words them for package bound. dealt is what each cut yields.
func (w *work) layout(l *nest.Layout, st *stretch, cuts []pack.Placement, dealt []demand.Cut) []bound.Piece {
	e := w.rules.EndAllowance
	reach := e
	placed := make([][]nest.Placed, len(l.Layers))
	counts := map[int]int{}
	for n, p := range cuts {
		counts[p.Piece]++
		for k, i := range dealt[n] {
			pl := w.placed(p, &w.demand[i], &l.Layers[k], st.x-e)
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
	return w.boundPieces(counts)
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
// of layout coordinates along the roll. A ply that need not be turned over,
// because its shape is its own mirror image, is not.
func (w *work) placed(p pack.Placement, d *nest.Demand, ly *nest.Layer, dx float64) nest.Placed {
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
	down := ly.Face == "down"
	demand.SetAngles(&pl, d, f, down)
	t := geom.Transform{Mirror: p.Mirrored, Rotation: pl.RotationDeg, X: pl.X, Y: pl.Y}
	pl.Outline = demand.Ring(t.Ring(orbRing(s.Cut.Outline)))
	for _, h := range s.Cut.Holes {
		pl.Holes = append(pl.Holes, demand.Ring(t.Ring(orbRing(h))))
	}
	if pl.TurnedOver {
		demand.Unturn(&pl, d, s, w.mirrorsOf(s), f, down, math.Min(d.ToleranceDeg, w.rules.AngleTolerance))
	}
	return pl
}
