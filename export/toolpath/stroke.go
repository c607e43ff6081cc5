package toolpath

import (
	"math"

	"github.com/paulmach/orb"
)

// steered cuts with a blade that a motor turns: it lifts at sharp corners.
func (k *knife) steered(c *Cut) {
	line := c.Points
	if c.Closed {
		line = append(line[:len(line):len(line)], line[0])
	}
	atCorner := c.Closed && math.Abs(turnAt(line[len(line)-2], line[0], line[1])) > k.m.CornerAngle
	first := 0
	for i := 1; i < len(line); i++ {
		last := i == len(line)-1
		if !last && math.Abs(turnAt(line[i-1], line[i], line[i+1])) <= k.m.CornerAngle {
			continue
		}
		s := stroke{line: line[first : i+1], loose: !c.Closed, ring: c.Closed && first == 0 && last && !atCorner}
		s.fromCorner = first > 0 || atCorner
		s.toCorner = !last || atCorner
		k.stroke(c, s)
		if last && c.Closed && !s.toCorner && k.m.Overcut > 0 {
			k.follow(ahead(line, k.m.Overcut))
		}
		first = i
	}
	k.lift()
}

// A stroke is a stretch of a cut that is made without lifting.
type stroke struct {
	line orb.LineString
	// fromCorner and toCorner say that it begins and ends at a lift corner,
	// and not where the cut as a whole closes on a smooth line.
	fromCorner, toCorner bool
	// loose says that the cut is open, ring that the stroke is all of a closed
	// one and ends where it begins.
	loose, ring bool
}

func (k *knife) stroke(c *Cut, s stroke) {
	n := len(s.line)
	a, b := s.line[0], s.line[n-1]
	u, v := unit(s.line[0], s.line[1]), unit(s.line[n-2], s.line[n-1])
	back := k.runOn(c, a, orb.Point{-u[0], -u[1]}, s.fromCorner, s.loose)
	fore := k.runOn(c, b, v, s.toCorner, s.loose)
	line := s.line
	if back < 0 || fore < 0 {
		if line = trimmed(line, math.Max(0, -back), math.Max(0, -fore)); line == nil {
			k.uncut[c.Label]++
			return
		}
	}
	if back > 0 {
		line = append(orb.LineString{along(a, u, -back)}, line...)
	}
	if fore > 0 {
		line = append(line[:len(line):len(line)], along(b, v, fore))
	}
	start, segs := segments(line, s.ring, k.m.ArcTolerance)
	segs = short(start, segs)
	if len(segs) == 0 {
		return
	}
	k.goTo(start, segs[0].heading(start))
	k.lower()
	k.draw(segs)
}

// runOn is how far a stroke runs on past an end in direction dir, mm; less
// than 0 where a wheel stops short.
func (k *knife) runOn(c *Cut, at, dir orb.Point, corner, loose bool) float64 {
	want, reach := 0.0, k.m.Reach()
	if corner {
		want = k.m.Overcut
	}
	if !corner && !loose {
		return 0 // the cut closes on a smooth line; the wheel follows it
	}
	if want+reach == 0 {
		return 0
	}
	room, ply := k.guard.free(at, dir, want+reach)
	over := room - reach
	if over < 0 {
		k.intrusions[k.guard.items[ply].label]++
		if !k.m.WheelShorten {
			return 0
		}
		return over
	}
	if over < want-1e-9 {
		k.shortened++
	}
	return over
}

// trimmed takes lengths off both ends of a line; nil where nothing is left.
func trimmed(line orb.LineString, from, to float64) orb.LineString {
	if from+to >= length(line)-1e-6 {
		return nil
	}
	return reversed(cutFront(reversed(cutFront(line, from)), to))
}

func cutFront(line orb.LineString, d float64) orb.LineString {
	if d <= 0 {
		return line
	}
	for i := 1; i < len(line); i++ {
		l := dist(line[i-1], line[i])
		if d < l {
			return append(orb.LineString{along(line[i-1], unit(line[i-1], line[i]), d)}, line[i:]...)
		}
		d -= l
	}
	return line[len(line)-1:]
}

func reversed(l orb.LineString) orb.LineString {
	out := make(orb.LineString, len(l))
	for i, p := range l {
		out[len(l)-1-i] = p
	}
	return out
}

// ahead is the first d mm of a line, without its first vertex.
func ahead(line orb.LineString, d float64) orb.LineString {
	var out orb.LineString
	for i := 1; i < len(line) && d > 0; i++ {
		l := dist(line[i-1], line[i])
		if l >= d {
			return append(out, along(line[i-1], unit(line[i-1], line[i]), d))
		}
		out = append(out, line[i])
		d -= l
	}
	return out
}
