package polish

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// Turned returns the shape turned about its origin, counter-clockwise: a vertex
// (x, y) goes to (cx - sy, sx + cy), with s and c the sine and cosine of the
// angle, exact for multiples of 90 degrees. It costs much less than preparing
// the turned outline anew.
func (s *Shape) Turned(degrees float64) *Shape {
	if degrees == 0 {
		return s
	}
	sin, cos := steady.SincosDegrees(degrees)
	return s.mapped(func(v orb.Point) orb.Point { return turnedPoint(v, sin, cos) })
}

// Mirrored returns the shape with y turned into -y.
func (s *Shape) Mirrored() *Shape {
	m := s.mapped(func(v orb.Point) orb.Point { return orb.Point{v[0], 0 - v[1]} })
	for _, p := range m.parts {
		slices.Reverse(p.pts)
	}
	return m
}

func (s *Shape) mapped(to func(orb.Point) orb.Point) *Shape {
	parts := make([][]orb.Point, len(s.parts))
	for k, p := range s.parts {
		pts := make([]orb.Point, len(p.pts))
		for i, v := range p.pts {
			pts[i] = to(v)
		}
		parts[k] = pts
	}
	return newShape(parts)
}

func turnedPoint(v orb.Point, sin, cos float64) orb.Point {
	return orb.Point{
		float64(cos*v[0]) - float64(sin*v[1]),
		float64(sin*v[0]) + float64(cos*v[1]),
	}
}

// perpendicular returns a turned by 90° counter-clockwise: where a goes when it
// turns by a small angle, for each radian.
func perpendicular(a orb.Point) orb.Point { return orb.Point{-a[1], a[0]} }

func (l *layout) setTurns(turns []Turn) error {
	if turns == nil {
		return nil
	}
	if len(turns) != l.pieces {
		return fmt.Errorf("%w: %d shapes, %d of them with turns", ErrInput, l.pieces, len(turns))
	}
	for i, t := range turns {
		if !(t.From <= 0 && t.To >= 0 && t.From >= -360 && t.To <= 360) {
			return fmt.Errorf("%w: piece %d may turn from %v to %v degrees", ErrInput, i, t.From, t.To)
		}
	}
	l.turn = turns
	l.turned = make([]float64, l.pieces)
	l.base = slices.Clone(l.shape)
	return nil
}

// mayTurn reports whether a body can be turned at all.
func (l *layout) mayTurn(b int) bool {
	return l.turn != nil && b < l.pieces && !l.fixed[b] && l.turn[b].From < l.turn[b].To
}

// turnTo turns a piece to an angle, about the middle of its box as it lies.
func (l *layout) turnTo(i int, degrees float64) {
	degrees = min(max(degrees, l.turn[i].From), l.turn[i].To)
	if degrees == l.turned[i] {
		return
	}
	middle := l.shape[i].bound.Center()
	// The same point of the piece, seen from its origin after the turn.
	sin, cos := steady.SincosDegrees(degrees - l.turned[i])
	l.at[i] = plus(l.at[i], minus(middle, turnedPoint(middle, sin, cos)))
	l.turned[i] = degrees
	l.shape[i] = l.base[i].Turned(degrees)
	l.kind[i] = l.kinds
	l.kinds++
}

// posture is where the pieces lie and how they are turned.
type posture struct {
	at     []orb.Point
	turned []float64
	shape  []*Shape
	kind   []int32
}

func (l *layout) posture() posture {
	return posture{slices.Clone(l.at), slices.Clone(l.turned), slices.Clone(l.shape), slices.Clone(l.kind)}
}

func (l *layout) restore(p posture) {
	copy(l.at, p.at)
	copy(l.turned, p.turned)
	copy(l.shape, p.shape)
	copy(l.kind, p.kind)
}
