package pack

import (
	"math"

	"plyroom/shapes/steady"
)

// start is the layout the settings begin with; nil where there is none, or where
// it is no layout of this problem.
func (r *runner) start() *layout {
	w := r.w
	if len(r.set.Start) != len(w.items) {
		return nil
	}
	l := &layout{poses: make([]pose, len(w.items))}
	copies := make([]int, len(w.kinds))
	for i := range r.set.Start {
		p := &r.set.Start[i]
		if p.Piece < 0 || p.Piece >= len(w.kinds) || copies[p.Piece] >= w.kinds[p.Piece].count {
			return nil
		}
		at, ok := w.pose(p)
		if !ok {
			return nil
		}
		l.poses[int(w.first[p.Piece])+copies[p.Piece]] = at
		copies[p.Piece]++
	}
	s := newState(w)
	s.load(l.poses)
	l.length = s.reach()
	if !s.valid() || w.maxLength > 0 && l.length > w.maxLength+w.tol {
		return nil
	}
	return l
}

// pose is what placement makes a Placement of; false where the piece may not lie
// so.
func (w *world) pose(p *Placement) (pose, bool) {
	k := &w.kinds[p.Piece]
	sin, cos := steady.SincosDegrees(p.Rotation)
	cx, cy := k.shape.CenterX, k.shape.CenterY
	if p.Mirrored {
		cy = -cy
	}
	out := pose{x: p.X + (float64(cos*cx) - float64(sin*cy)), y: p.Y + (float64(sin*cx) + float64(cos*cy)), variant: -1}
	if k.turns {
		out.degrees, out.mirrored = p.Rotation, p.Mirrored
		for _, o := range k.spans {
			if o.Mirrored == p.Mirrored && p.Rotation >= o.From && p.Rotation <= o.To {
				return out, true
			}
		}
		return out, false
	}
	for v, b := range k.variants {
		if b.Mirrored == p.Mirrored && math.Abs(math.Remainder(b.Degrees-p.Rotation, 360)) < 1e-9 {
			out.variant = int32(v)
			return out, true
		}
	}
	return out, false
}
