package lattice

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
	"plyroom/shapes/steady"
)

// A face is a no-fit region with its outlines seen from above and, x and y
// exchanged, from the right.
type face struct {
	region    *noFit
	up, right *envelope
	box       collide.Box
}

func newFace(n *noFit) *face {
	return &face{region: n, up: newEnvelope(n), right: newEnvelope(n.transposed()), box: n.box}
}

// swapped is the face with x and y exchanged. It has no region of its own.
func (f *face) swapped() *face {
	return &face{up: f.right, right: f.up, box: exchanged(f.box)}
}

func exchanged(b collide.Box) collide.Box {
	return collide.Box{MinX: b.MinY, MinY: b.MinX, MaxX: b.MaxY, MaxY: b.MaxX}
}

// A frame holds the faces of two plies towards each other: [i][j] is where ply
// j may not lie with ply i at the origin. With one ply only [0][0] is used.
type frame struct {
	face [2][2]*face
	n    int
	// ext are the extents of the plies about their centres.
	ext [2]collide.Box
}

func newFrame(bodies []*collide.Body, gap float64) *frame {
	f := &frame{n: len(bodies)}
	for i, a := range bodies {
		f.ext[i] = a.Box
		for j, b := range bodies {
			f.face[i][j] = newFace(newNoFit(a, b, gap))
		}
	}
	return f
}

// turned is the frame seen with the direction at the angle, in radians, as x.
// The extents are not kept.
func (f *frame) turned(angle float64) *frame {
	sin, cos := steady.Sincos(angle)
	out := &frame{n: f.n}
	for i := range f.n {
		for j := range f.n {
			out.face[i][j] = newFace(f.face[i][j].region.turned(cos, sin))
		}
	}
	return out
}

// swapped is the frame with x and y exchanged.
func (f *frame) swapped() *frame {
	out := &frame{n: f.n}
	for i := range f.n {
		out.ext[i] = exchanged(f.ext[i])
		for j := range f.n {
			out.face[i][j] = f.face[i][j].swapped()
		}
	}
	return out
}

// sides is the number of outlines of where the second ply touches the first:
// from above, from the right, from below and from the left.
const sides = 4

// touch is a place of the second ply in touch with the first: on the outline
// seen from a side, at the share u of its extent. It is false where that is no
// place.
func (f *frame) touch(side int, u float64) (orb.Point, bool) {
	c := f.face[0][1]
	if side >= 2 {
		c = f.face[1][0]
	}
	e := c.up
	if side%2 == 1 {
		e = c.right
	}
	x := e.x0 + float64(u*(e.x1-e.x0))
	y := e.top(x)
	if math.IsInf(y, -1) {
		return orb.Point{}, false
	}
	p := orb.Point{x, y}
	if side%2 == 1 {
		p = orb.Point{y, x}
	}
	if side >= 2 {
		p = orb.Point{-p[0], -p[1]}
	}
	return p, true
}
