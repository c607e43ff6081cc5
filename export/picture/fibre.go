package picture

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/steady"
)

// fibreSign is path data for the sign that shows how fibre runs on the table:
// an arrow with two heads along the warp, and a short line for every other
// direction in which fibre lies. A fabric without direction has none.
func fibreSign(f *shapes.Fabric, faceDown bool, at orb.Point, radius, height float64) string {
	if f == nil || f.Construction.Directionless() {
		return ""
	}
	s := signs{height: height}
	s.line(at, 0, -radius, radius)
	s.head(at, 0, radius)
	s.head(at, 180, radius)
	for _, a := range crossAngles(f) {
		if faceDown {
			a = -a
		}
		s.line(at, a, -0.62*radius, 0.62*radius)
	}
	return string(s.b)
}

// crossAngles lists the fibre directions other than the warp's, degrees.
func crossAngles(f *shapes.Fabric) []float64 {
	if f.Construction.Woven() {
		return []float64{90}
	}
	var out []float64
	for _, l := range f.Layers {
		if a := shapes.NormalDirection(l.Angle); math.Abs(a) > 0.5 {
			out = append(out, a)
		}
	}
	return out
}

// datumSign is path data for the ply's own 0°: a line from the middle that ends
// in a ring, longer than the arrow so that both show where they fall together.
func datumSign(rotation float64, at orb.Point, radius, height float64) string {
	s := signs{height: height}
	knob := float64(0.16 * radius)
	s.line(at, rotation, 0, 1.1*radius)
	c := s.polar(at, rotation, float64(1.1*radius)+knob)
	s.move(orb.Point{c[0] + knob, c[1]})
	k := num(knob)
	s.b = append(s.b, ("a" + k + " " + k + " 0 1 0-" + num(2*knob) + " 0a" + k + " " + k + " 0 1 0 " + num(2*knob) + " 0")...)
	return string(s.b)
}

// signs collects path data.
type signs struct {
	b      []byte
	height float64
}

func (s *signs) polar(at orb.Point, deg, r float64) orb.Point {
	sin, cos := steady.SincosDegrees(deg)
	return orb.Point{at[0] + float64(r*cos), at[1] + float64(r*sin)}
}

func (s *signs) move(p orb.Point) {
	s.b = append(s.b, 'M')
	s.b = appendPair(s.b, tenths(p[0]), tenths(s.height-p[1]), true)
}

func (s *signs) to(p orb.Point) {
	s.b = append(s.b, 'L')
	s.b = appendPair(s.b, tenths(p[0]), tenths(s.height-p[1]), true)
}

// line runs along deg through at, between two distances from it.
func (s *signs) line(at orb.Point, deg, from, to float64) {
	s.move(s.polar(at, deg, from))
	s.to(s.polar(at, deg, to))
}

// head is an arrow head whose tip lies on deg at a radius from at.
func (s *signs) head(at orb.Point, deg, radius float64) {
	tip := s.polar(at, deg, radius)
	s.move(s.polar(tip, deg+155, 0.34*radius))
	s.to(tip)
	s.to(s.polar(tip, deg-155, 0.34*radius))
}
