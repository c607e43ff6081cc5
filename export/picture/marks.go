package picture

import (
	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// marks is path data of the lines drawn inside a placed ply: seams, slits and
// drape lines. The datum has a sign of its own, and points and texts are for
// the cutter.
func (d *Drawing) marks(p *nest.Placed) string {
	dm := d.demand[p.Key()]
	if dm == nil || d.shapes[dm.Shape] == nil {
		return ""
	}
	t := geom.Transform{Mirror: p.TurnedOver != p.OppositeHand, Rotation: p.RotationDeg, X: p.X, Y: p.Y}
	s := signs{height: d.l.Width}
	for _, m := range d.shapes[dm.Shape].Marks {
		if m.Kind != shapes.MarkSeam && m.Kind != shapes.MarkSlit && m.Kind != shapes.MarkLine {
			continue
		}
		for i, v := range t.Line(m.Line) {
			if i == 0 {
				s.move(v)
			} else {
				s.to(v)
			}
		}
	}
	return string(s.b)
}
