package offcut

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/nest/remnant"
	"plyroom/nest/verify"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Lay lays as many pieces of a record's demand as find room on a ground, given
// by their places in the demand; pieces of other fabrics are passed over. It
// returns the layout, without an ID, and the places of the pieces in it; nil
// where none fits. Where work for a search is given, the layout is made as
// short as that allows.
func Lay(ctx context.Context, rec *nest.Record, of []int, g Ground, s pack.Settings) (*nest.Layout, []int, error) {
	length, width := g.room(&rec.Rules)
	if !(length > 0) || !(width > 0) {
		return nil, nil, nil
	}
	table := rec.ShapesByID()
	p := &pack.Problem{Width: width, Gap: rec.Rules.Gap, Obstacles: g.obstacles(&rec.Rules)}
	if !math.IsInf(length, 1) {
		p.MaxLength = length
	}
	var kinds []demand.Kind
	for _, k := range demand.Kinds(rec.Demand, of, g.Fabric, rec.Rules.AngleTolerance, g.Roll.FaceDown) {
		sh := table[k.Shape]
		if sh == nil {
			return nil, nil, fmt.Errorf("the record has no shape %q", k.Shape)
		}
		es := demand.Extents(toOrb(sh.Cut.Outline), k.Turns)
		if len(k.Turns) == 0 || demand.LeastAcross(es) > width+demand.FitSlack || demand.LeastAlong(es, width) > length+demand.FitSlack {
			continue
		}
		kinds = append(kinds, k)
		p.Pieces = append(p.Pieces, piece(sh, k))
	}
	if len(kinds) == 0 {
		return nil, nil, nil
	}
	got, err := pack.Solve(ctx, p, s, nil)
	if err != nil {
		return nil, nil, err
	}
	if len(got.Unplaced) > 0 {
		if got, err = more(ctx, p, got, s); err != nil {
			return nil, nil, err
		}
	}
	if len(got.Placements) == 0 {
		return nil, nil, nil
	}
	slices.SortStableFunc(got.Placements, func(a, b pack.Placement) int {
		switch {
		case a.X < b.X:
			return -1
		case a.X > b.X:
			return 1
		}
		return 0
	})
	l := g.layout(&rec.Rules)
	next := make([]int, len(kinds))
	var laid []int
	reach := 0.0
	for _, pl := range got.Placements {
		i := kinds[pl.Piece].Pieces[next[pl.Piece]]
		next[pl.Piece]++
		placed := g.placed(pl, rec.Demand[i], table[kinds[pl.Piece].Shape], &rec.Rules)
		for _, v := range placed.Outline {
			reach = math.Max(reach, v[0])
		}
		l.Placed = append(l.Placed, placed)
		laid = append(laid, i)
	}
	g.close(l, reach, &rec.Rules)
	if err := g.inside(l); err != nil {
		return nil, nil, err
	}
	slices.Sort(laid)
	return l, laid, nil
}

// layout begins a layout at the ground's free end.
func (g *Ground) layout(rules *shapes.Cutting) *nest.Layout {
	face := "up"
	if g.Roll.FaceDown {
		face = "down"
	}
	return &nest.Layout{Width: g.width(), Placed: []nest.Placed{},
		Layers: []nest.Layer{{Layer: 1, Fabric: g.Fabric.Name, Roll: g.Roll.Name, Lot: g.Roll.Lot, RollFrom: nest.Round(g.From), Face: face}},
		Usable: [2]nest.Point{{rules.EndAllowance, g.selvedge()}, {0, nest.Round(g.width() - g.selvedge())}}}
}

// close ends a layout behind its last ply and counts what is left of the roll
// where that is too short to keep.
func (g *Ground) close(l *nest.Layout, reach float64, rules *shapes.Cutting) {
	l.Length = nest.Round(reach + rules.EndAllowance)
	l.Usable[1][0] = nest.Round(l.Length - rules.EndAllowance)
	l.BoundLength = nest.Round(math.Min(l.Length, areaBound(l)+2*rules.EndAllowance))
	for _, f := range g.Roll.Flaws {
		lo, hi := math.Max(f.From-g.From, 0), math.Min(f.To-g.From, l.Length)
		if hi > lo {
			l.Flaws = append(l.Flaws, nest.Flaw{From: nest.Round(lo), To: nest.Round(hi)})
		}
	}
	if rest := g.Roll.Length - g.From - l.Length; g.Roll.Length > 0 && rest > 0 && rest < rules.MinRemnant {
		l.RollEnd = nest.Round(rest)
	}
}

// areaBound is the length that the plies' area alone needs, mm.
func areaBound(l *nest.Layout) float64 {
	area := 0.0
	for i := range l.Placed {
		area += geom.Area(toOrb(l.Placed[i].Outline))
		for _, h := range l.Placed[i].Holes {
			area -= geom.Area(toOrb(h))
		}
	}
	return area / (l.Usable[1][1] - l.Usable[0][1])
}

// inside makes sure that no ply leaves a remnant's outline, with the verifier's
// own geometry: for the verifier's rules a roll is a rectangle.
func (g *Ground) inside(l *nest.Layout) error {
	if g.Remnant == nil || g.Remnant.Rectangular() {
		return nil
	}
	around, err := g.around(), error(nil)
	for i := range l.Placed {
		p := &l.Placed[i]
		if at, depth, bad := verify.Overlap(nest.Polygon{Outline: p.Outline, Holes: p.Holes}, around); bad {
			err = fmt.Errorf("%s leaves remnant %s by %.3f mm at (%.1f, %.1f)", p.Key(), g.Remnant.ID, depth, at[0], at[1])
		}
	}
	return err
}

// around is what is outside the remnant, in layout coordinates.
func (g *Ground) around() nest.Polygon {
	p := remnant.Outside(*g.Remnant)
	for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
		for i := range r {
			r[i][0] = nest.Round(r[i][0] - g.From)
		}
	}
	return p
}

// piece words a kind for the packer.
func piece(s *nest.Shape, k demand.Kind) pack.Piece {
	pc := pack.Piece{Exterior: toOrb(s.Cut.Outline), Count: len(k.Pieces)}
	for _, h := range s.Cut.Holes {
		pc.Holes = append(pc.Holes, toOrb(h))
	}
	for _, t := range k.Turns {
		o := pack.Orientation{Mirrored: t.Mirrored, From: t.Rotation - t.Slack, To: t.Rotation + t.Slack}
		if t.Any {
			o.From, o.To = 0, 360
		}
		pc.Orientations = append(pc.Orientations, o)
	}
	return pc
}

// placed writes one ply where the packer laid it. A ply that need not be turned
// over, because its shape is its own mirror image, is not.
func (g *Ground) placed(p pack.Placement, d nest.Demand, s *nest.Shape, rules *shapes.Cutting) nest.Placed {
	pl := nest.Placed{
		Part: d.Part, Unit: d.Unit, Ply: d.Ply, Order: d.Order, Copy: d.Copy, Layer: 1, Fabric: d.Fabric,
		RotationDeg:  nest.RoundAngle(shapes.NormalRotation(p.Rotation)),
		TurnedOver:   p.Mirrored != d.OppositeHand,
		OppositeHand: d.OppositeHand,
		X:            nest.Round(p.X + rules.EndAllowance), Y: nest.Round(p.Y + g.selvedge()),
		Holes: []nest.Ring{},
	}
	demand.SetAngles(&pl, &d, g.Fabric, g.Roll.FaceDown)
	t := geom.Transform{Mirror: p.Mirrored, Rotation: pl.RotationDeg, X: pl.X, Y: pl.Y}
	pl.Outline = demand.Ring(t.Ring(toOrb(s.Cut.Outline)))
	for _, h := range s.Cut.Holes {
		pl.Holes = append(pl.Holes, demand.Ring(t.Ring(toOrb(h))))
	}
	if pl.TurnedOver {
		demand.Unturn(&pl, &d, s, demand.Mirrors(s), g.Fabric, g.Roll.FaceDown, math.Min(d.ToleranceDeg, rules.AngleTolerance))
	}
	return pl
}

func toOrb(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
