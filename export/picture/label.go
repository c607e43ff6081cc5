package picture

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

// A label is where a ply's name stands.
type label struct {
	text string
	// at is the middle of the name; size its font size, mm; angle the degrees
	// counter-clockwise it is turned by.
	at    orb.Point
	size  float64
	angle float64
	// fibre is where the fibre sign stands, and the radius it may have.
	fibre  orb.Point
	radius float64
}

// The label is two lines, the name and the position under it. Heights are in
// font sizes.
const (
	nameHeight     = 1.0
	positionHeight = 0.85
	labelHeight    = nameHeight + positionHeight
)

// place finds the label of a ply: at its widest place, level where that is
// readable, along the ply where only that is, and no larger than limit.
func place(exterior orb.Ring, holes []orb.Ring, name string, limit float64) label {
	precision := limit / 8
	pole, radius := geom.Pole(exterior, holes, precision)
	l := label{at: pole, text: name}
	angles := []float64{0, 90, lengthwise(exterior), alongside(exterior, holes, pole)}
	best := -1.0
	for i, a := range angles {
		size := math.Min(limit, room(exterior, holes, pole, a, name))
		// Turned text must be worth the turning of the head.
		if i == 0 || size > 1.4*best {
			best, l.angle = size, a
		}
	}
	l.size = best
	if l.size < 0.7*limit {
		l.text, l.size = shorten(exterior, holes, pole, l.angle, name, limit)
	}
	l.fibre, l.radius = pole, radius
	if l.size > 0 {
		rest := append(append([]orb.Ring{}, holes...), l.box())
		if at, r := geom.Pole(exterior, rest, precision); r > 0.3*limit || r > 0.5*radius {
			l.fibre, l.radius = at, r
		}
	}
	return l
}

// box is the label's outline, as a hole.
func (l label) box() orb.Ring {
	w, h := textWidth(l.text)/2*l.size, labelHeight/2*l.size
	t := geom.Transform{Rotation: l.angle, X: l.at[0], Y: l.at[1]}
	return t.Ring(orb.Ring{{-w, -h}, {-w, h}, {w, h}, {w, -h}})
}

// shorten cuts the end of a name off until it is readable; three letters stay
// in any case.
func shorten(exterior orb.Ring, holes []orb.Ring, at orb.Point, angle float64, name string, limit float64) (string, float64) {
	letters := []rune(name)
	text, size := name, math.Min(limit, room(exterior, holes, at, angle, name))
	for n := min(len(letters)-2, 24); n >= 3; n-- {
		t := string(letters[:n]) + "…"
		s := math.Min(limit, room(exterior, holes, at, angle, t))
		if s > size {
			text, size = t, s
		}
		if size >= 0.7*limit {
			break
		}
	}
	return text, size
}

// room is the largest font size at which a two-line label with its middle at
// a point, turned by an angle, stays clear of all edges, mm.
func room(exterior orb.Ring, holes []orb.Ring, at orb.Point, angle float64, text string) float64 {
	w, h := math.Max(textWidth(text), 1)/2+0.15, labelHeight/2+0.1
	sin, cos := steady.SincosDegrees(-angle)
	size := math.Inf(1)
	check := func(r orb.Ring) {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			ax, ay := a[0]-at[0], a[1]-at[1]
			bx, by := b[0]-at[0], b[1]-at[1]
			size = math.Min(size, squareDistance(
				(float64(ax*cos)-float64(ay*sin))/w, (float64(ax*sin)+float64(ay*cos))/h,
				(float64(bx*cos)-float64(by*sin))/w, (float64(bx*sin)+float64(by*cos))/h))
		}
	}
	check(exterior)
	for _, hole := range holes {
		check(hole)
	}
	if math.IsInf(size, 1) {
		return 0
	}
	return size
}

// squareDistance is the half side of the largest square about the origin that
// the segment a-b does not enter: the least of max(|x|, |y|) along it. That is
// convex and made of straight pieces, so its least lies at an end of one.
func squareDistance(ax, ay, bx, by float64) float64 {
	dx, dy := bx-ax, by-ay
	best := math.Min(math.Max(math.Abs(ax), math.Abs(ay)), math.Max(math.Abs(bx), math.Abs(by)))
	try := func(num, den float64) {
		if den == 0 {
			return
		}
		if t := num / den; t > 0 && t < 1 {
			best = math.Min(best, math.Max(math.Abs(ax+float64(t*dx)), math.Abs(ay+float64(t*dy))))
		}
	}
	try(-ax, dx)
	try(-ay, dy)
	try(ay-ax, dx-dy)
	try(-ay-ax, dx+dy)
	return best
}

// lengthwise is the direction in which the vertices spread furthest, degrees in
// (-90, 90].
func lengthwise(r orb.Ring) float64 {
	var mx, my float64
	for _, p := range r {
		mx += p[0]
		my += p[1]
	}
	n := float64(len(r))
	mx, my = mx/n, my/n
	var xx, xy, yy float64
	for _, p := range r {
		x, y := p[0]-mx, p[1]-my
		xx += float64(x * x)
		xy += float64(x * y)
		yy += float64(y * y)
	}
	return steady.Atan2(2*xy, xx-yy) * 90 / math.Pi
}

// alongside is the direction of the edge nearest to a point, degrees in
// (-90, 90]: on a curved strip, the strip's own direction there.
func alongside(exterior orb.Ring, holes []orb.Ring, at orb.Point) float64 {
	best, angle := math.Inf(1), 0.0
	for _, r := range append([]orb.Ring{exterior}, holes...) {
		for i := range r {
			a, b := r[i], r[(i+1)%len(r)]
			if d := geom.SegmentDistance(a, b, at); d < best {
				best, angle = d, steady.Atan2(b[1]-a[1], b[0]-a[0])*180/math.Pi
			}
		}
	}
	return shapes.NormalDirection(angle)
}

// textWidth estimates the width of a text in font sizes, for a plain sans
// serif.
func textWidth(s string) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case r >= 'A' && r <= 'Z':
			w += 0.70
		case r == ' ' || r == '.' || r == 'i' || r == 'l' || r == '-':
			w += 0.36
		case r >= 0x2E80:
			w += 1.05
		default:
			w += 0.62
		}
	}
	return w
}
