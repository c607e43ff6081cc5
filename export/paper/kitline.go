package paper

import (
	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes/geom"
)

// PictureOf is the picture of a kit's piece as it is laid: net outline, hand
// and, where it has a direction, the fibre arrow at the angle it lies.
func PictureOf(l *kit.Line) Picture {
	p := Picture{
		Exterior: ring(l.Shape.Net.Outline), Mirror: l.Demand.OppositeHand,
		Arrow: !l.Directionless(), Angle: l.LaidDeg(),
	}
	for _, h := range l.Shape.Net.Holes {
		p.Holes = append(p.Holes, ring(h))
	}
	if q := l.Demand.Panel; q != nil {
		along := geom.Transform{Rotation: q.AxisDeg}
		for _, v := range q.Seams {
			p.Seams = append(p.Seams, Seam{At: along.Point(orb.Point{0, v}), Angle: q.AxisDeg})
		}
		for _, v := range q.CrossSeams {
			p.Seams = append(p.Seams, Seam{At: along.Point(orb.Point{v, 0}), Angle: q.AxisDeg + 90})
		}
	}
	return p
}

func ring(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
