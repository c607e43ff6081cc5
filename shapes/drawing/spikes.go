package drawing

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// takeSpikes removes from a loop the places where it runs in along straight
// lines and back out along the same ones. That is how slits and darts without
// width are often drawn: those that lie inside become slits. Others are strays
// of drawing and are left out.
func (s *sheet) takeSpikes(l *loop) {
	if len(l.curves) < 4 {
		return
	}
	tol := s.opt.Join
	// A loop may begin within a spike: begin it at its furthest left, where
	// none runs in, and where one runs out there, at its root.
	first := 0
	for i, c := range l.curves {
		if p, q := c.start(), l.curves[first].start(); p[0] < q[0] || p[0] == q[0] && p[1] < q[1] {
			first = i
		}
	}
	l.curves = append(l.curves[first:len(l.curves):len(l.curves)], l.curves[:first]...)
	for range len(l.curves) {
		a, ok1 := l.curves[len(l.curves)-1].(lineCurve)
		b, ok2 := l.curves[0].(lineCurve)
		if !ok1 || !ok2 || !doublesBack(a, b, tol) {
			break
		}
		l.curves = append(l.curves[1:len(l.curves):len(l.curves)], l.curves[0])
	}
	var kept []curve
	var spikes []orb.LineString
	for _, c := range l.curves {
		b, ok := c.(lineCurve)
		for ok && len(kept) > 0 {
			a, straight := kept[len(kept)-1].(lineCurve)
			if !straight || !doublesBack(a, b, tol) {
				break
			}
			kept = kept[:len(kept)-1]
			tip := a.b
			switch la, lb := a.length(), b.length(); {
			case math.Abs(la-lb) <= tol: // back to where it came from
				spikes = addSpike(spikes, a.a, tip)
				ok = false
				if b.b != a.a && len(kept) > 0 {
					if k, done := stretched(kept[len(kept)-1], kept[len(kept)-1].start(), b.b); done {
						kept[len(kept)-1] = k
					}
				}
			case la > lb: // part of the way
				spikes = addSpike(spikes, b.b, tip)
				kept = append(kept, lineCurve{a.a, b.b})
				ok = false
			default: // beyond
				spikes = addSpike(spikes, a.a, tip)
				b = lineCurve{a.a, b.b}
				c = b
			}
		}
		if _, isLine := c.(lineCurve); ok || !isLine {
			kept = append(kept, c)
		}
	}
	if len(spikes) == 0 || len(kept) < 2 {
		return
	}
	l.curves = closeRun(kept, tol)
	ring, _, crossed := s.flatten(l.curves)
	if !crossed {
		ring = geom.Oriented(ring, true)
	}
	for _, k := range spikes {
		at := k[len(k)-1]
		if !crossed && geom.Contains(ring, lerp(k[0], k[1], 0.5)) == geom.Inside {
			var cs []curve
			for i := 1; i < len(k); i++ {
				cs = append(cs, lineCurve{k[i-1], k[i]})
			}
			l.slits = append(l.slits, &chain{curves: cs, from: l.from, role: roleSlit})
			s.problem(shapes.Repair, l.from, &at, "the outline runs in and out along one line there; the line was made a slit", "")
		} else {
			s.problem(shapes.Repair, l.from, &at, "the outline runs out and back along one line there; the line was left out", "")
		}
	}
}

// doublesBack reports whether b runs back along a.
func doublesBack(a, b lineCurve, tol float64) bool {
	u, v := sub(a.b, a.a), sub(b.b, b.a)
	la, lb := length(u), length(v)
	if la <= 2*tol || lb <= 2*tol || dot(u, v) >= 0 {
		return false
	}
	// The shorter one's far end lies on the longer.
	return math.Abs(cross(u, v))/math.Max(la, lb) <= tol
}

// addSpike adds the line from root to tip, or lengthens the spike before it
// where that ended at the root's far side.
func addSpike(spikes []orb.LineString, root, tip orb.Point) []orb.LineString {
	if n := len(spikes); n > 0 && distance(spikes[n-1][0], tip) < 1e-6 {
		spikes[n-1] = append(orb.LineString{root}, spikes[n-1]...)
		return spikes
	}
	return append(spikes, orb.LineString{root, tip})
}
