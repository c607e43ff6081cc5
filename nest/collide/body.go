package collide

import (
	"math"

	"plyroom/shapes/steady"
)

// A Body is a Shape turned to one angle about its centre. Where it lies is kept
// by the caller, as a translation of the centre. Set may be called again to
// turn the body; nothing is allocated after the first time for a shape.
type Body struct {
	Shape *Shape
	// Variant numbers bodies that never turn, for the tables; -1 for others.
	Variant int
	// Mirrored, Degrees, Cos and Sin are the pose: mirrored first (y to -y),
	// then turned counter-clockwise.
	Mirrored bool
	Degrees  float64
	Cos, Sin float64
	// X, Y, NX, NY are as in Shape, in this pose. Offsets C and the layout
	// Start do not change with the pose.
	X, Y, NX, NY []float64
	Poles        []Pole
	// Boxes holds one bounding box per part, Box that of the whole ply.
	Boxes []Box
	Box   Box
}

// A Box is an axis-parallel rectangle.
type Box struct {
	MinX, MinY, MaxX, MaxY float64
}

// Width and Height are the extents along x and y.
func (b Box) Width() float64  { return b.MaxX - b.MinX }
func (b Box) Height() float64 { return b.MaxY - b.MinY }

// NewBody returns the shape in the given pose.
func NewBody(s *Shape, mirrored bool, degrees float64) *Body {
	b := &Body{Variant: -1}
	b.Set(s, mirrored, degrees)
	return b
}

// Set turns the body to a pose, of another shape if need be.
func (b *Body) Set(s *Shape, mirrored bool, degrees float64) {
	if b.Shape != s {
		b.Shape = s
		n, parts := len(s.X), s.Parts()
		b.X, b.Y = grow(b.X, n), grow(b.Y, n)
		b.NX, b.NY = grow(b.NX, n), grow(b.NY, n)
		b.Poles = grow(b.Poles, len(s.Poles))
		b.Boxes = grow(b.Boxes, parts)
	}
	b.Mirrored, b.Degrees = mirrored, degrees
	b.Sin, b.Cos = steady.SincosDegrees(degrees)
	// Rotation after mirroring as one matrix.
	xx, xy, yx, yy := b.Cos, -b.Sin, b.Sin, b.Cos
	if mirrored {
		xy, yy = -xy, -yy
	}
	b.Box = emptyBox
	for k := range b.Boxes {
		lo, hi := s.Start[k], s.Start[k+1]
		box := emptyBox
		for i := lo; i < hi; i++ {
			x := float64(xx*s.X[i]) + float64(xy*s.Y[i])
			y := float64(yx*s.X[i]) + float64(yy*s.Y[i])
			b.X[i], b.Y[i] = x, y
			b.NX[i] = float64(xx*s.NX[i]) + float64(xy*s.NY[i])
			b.NY[i] = float64(yx*s.NX[i]) + float64(yy*s.NY[i])
			box.MinX, box.MaxX = min(box.MinX, x), max(box.MaxX, x)
			box.MinY, box.MaxY = min(box.MinY, y), max(box.MaxY, y)
		}
		b.Boxes[k] = box
		b.Box.MinX, b.Box.MaxX = min(b.Box.MinX, box.MinX), max(b.Box.MaxX, box.MaxX)
		b.Box.MinY, b.Box.MaxY = min(b.Box.MinY, box.MinY), max(b.Box.MaxY, box.MaxY)
	}
	for i, p := range s.Poles {
		b.Poles[i] = Pole{float64(xx*p.X) + float64(xy*p.Y), float64(yx*p.X) + float64(yy*p.Y), p.R}
	}
}

var emptyBox = Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}

func grow[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
