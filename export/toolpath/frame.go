package toolpath

import "github.com/paulmach/orb"

// A Frame turns layout coordinates, mm, into a machine's, mm.
type Frame struct {
	m             Machine
	length, width float64
	// shift is where the window at work begins along the roll.
	shift float64
}

// Frame returns the machine's frame for one window of the path. Window 0 is
// the first; of a path without windows it is the only one.
func (p *Path) Frame(window int) Frame {
	f := Frame{m: p.Machine, length: p.Head.Length, width: p.Head.Width}
	if len(p.Windows) > 1 {
		w := p.Windows[window]
		f.shift, f.length = w.From, w.To-w.From
	}
	return f
}

// Point turns one point.
func (f Frame) Point(p orb.Point) orb.Point {
	x, y := p[0]-f.shift, p[1]
	if f.m.Origin == LowerRight || f.m.Origin == UpperRight {
		x = f.length - x
	}
	if f.m.Origin == UpperLeft || f.m.Origin == UpperRight {
		y = f.width - y
	}
	if f.m.SwapAxes {
		x, y = y, x
	}
	return orb.Point{x + f.m.OffsetX, y + f.m.OffsetY}
}

// LeftHanded reports whether the machine's axes, as its profile states them,
// turn the other way than a drawing's.
func (f Frame) LeftHanded() bool {
	flipped := f.m.Origin == LowerRight || f.m.Origin == UpperLeft
	return flipped != f.m.SwapAxes
}

// Sweep turns the sweep of an arc into the machine's.
func (f Frame) Sweep(deg float64) float64 {
	if f.LeftHanded() {
		return -deg
	}
	return deg
}

// Heading turns a direction, degrees counter-clockwise from the layout's x
// axis, into the machine's.
func (f Frame) Heading(deg float64) float64 {
	if f.m.Origin == LowerRight || f.m.Origin == UpperRight {
		deg = 180 - deg
	}
	if f.m.Origin == UpperLeft || f.m.Origin == UpperRight {
		deg = -deg
	}
	if f.m.SwapAxes {
		deg = 90 - deg
	}
	return normal(deg)
}

// normal brings an angle into (-180, 180].
func normal(deg float64) float64 {
	for deg > 180 {
		deg -= 360
	}
	for deg <= -180 {
		deg += 360
	}
	return deg
}

// TextAngle turns the angle of a writing into the machine's frame and keeps it
// readable, in (-90, 90].
func (f Frame) TextAngle(deg float64) float64 { return readable(f.Heading(deg)) }
