package kitlist

import (
	"math"

	"plyroom/export/paper"
	"plyroom/nest/kit"
	"plyroom/shapes"
	"plyroom/shapes/steady"
)

// bar draws one layer of the stack, filled with its fibres as they lie seen
// from above, the datum to the right: strokes at each angle, scattered
// strokes for mat, grey for core, white in a dashed frame for film.
func (s *sheet) bar(x, y, w, h float64, l *kit.Line) {
	d := s.doc
	switch {
	case l.Fabric.Construction == shapes.Core:
		d.Fill(x, y, w, h, 0.6)
	case l.Fabric.Construction == shapes.Film:
		d.Dashed(x+1, y+h/2, x+w-1, y+h/2, paper.Thin, 0)
	case l.Fabric.Construction == shapes.Mat:
		d.Clipped(x, y, w, h, func() { scatter(d, x, y, w, h) })
	default:
		d.Clipped(x, y, w, h, func() {
			for _, f := range l.Fibres {
				strokes(d, x, y, w, h, f.Angle)
			}
		})
	}
	d.Box(x, y, w, h, paper.Medium, 0)
}

// strokes rules a rectangle at an angle.
func strokes(d *paper.Doc, x, y, w, h, deg float64) {
	const apart = 1.9
	sin, cos := steady.SincosDegrees(deg)
	ux, uy := cos, -sin
	nx, ny := uy, -ux
	half := math.Abs(nx)*w/2 + math.Abs(ny)*h/2
	long := math.Abs(ux)*w/2 + math.Abs(uy)*h/2
	for k := -int(half / apart); k <= int(half/apart); k++ {
		cx := x + w/2 + float64(nx*apart*float64(k))
		cy := y + h/2 + float64(ny*apart*float64(k))
		d.Line(cx-float64(ux*long), cy-float64(uy*long), cx+float64(ux*long), cy+float64(uy*long), paper.Thin, 0)
	}
}

// scatter strews short strokes, the same every time.
func scatter(d *paper.Doc, x, y, w, h float64) {
	seed := uint32(1)
	next := func() float64 {
		seed = seed*1664525 + 1013904223
		return float64(seed>>8) / (1 << 24)
	}
	for range int(w * h / 1.6) {
		cx, cy, a := x+float64(next()*w), y+float64(next()*h), next()*math.Pi
		sin, cos := steady.Sincos(a)
		d.Line(cx-float64(cos*0.7), cy-float64(sin*0.7), cx+float64(cos*0.7), cy+float64(sin*0.7), paper.Hairline, 0)
	}
}
