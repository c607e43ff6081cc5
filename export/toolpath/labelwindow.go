package toolpath

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// windowed puts a label into the windows that reach it, from the window of its
// ply's first cut on: a line is divided where a window ends, a text is moved
// along the roll to where one window reaches all of it. Nothing is left of a
// text for which there is no such place on the ply.
func (p *Path) windowed(lab Label, first int, ply *edges) []Label {
	if len(p.Windows) == 1 {
		return []Label{lab}
	}
	if lab.Text != "" {
		w, dx, ok := p.textWindow(&lab, first, ply)
		if !ok {
			return nil
		}
		lab.Window = w
		lab.At[0] += dx
		return []Label{lab}
	}
	var out []Label
	rest := lab.Lines
	for w := first; w < len(p.Windows) && len(rest) > 0; w++ {
		var here, beyond []orb.LineString
		for _, line := range rest {
			in, after := clippedAt(line, p.Windows[w].To)
			here, beyond = append(here, in...), append(beyond, after...)
		}
		if w == first {
			here = fromOn(here, p.Windows[w].From)
		}
		if len(here) > 0 {
			part := lab
			part.Window, part.Lines = w, here
			out = append(out, part)
		}
		rest = beyond
	}
	return out
}

// textWindow is the window that reaches the whole of a text, and how far the
// text moves along the roll for it.
func (p *Path) textWindow(l *Label, first int, ply *edges) (window int, dx float64, ok bool) {
	sin, cos := steady.SincosDegrees(l.Angle)
	half := textAdvance * l.Height * float64(len([]rune(l.Text))) / 2
	wide := float64(half*math.Abs(cos)) + float64(l.Height/2*math.Abs(sin))
	high := float64(half*math.Abs(sin)) + float64(l.Height/2*math.Abs(cos))
	dx = math.Inf(1)
	for w := first; w < len(p.Windows); w++ {
		from, to := p.Windows[w].From+wide, p.Windows[w].To-wide
		if from > to {
			continue
		}
		move := math.Max(from, math.Min(to, l.At[0])) - l.At[0]
		if math.Abs(move) >= math.Abs(dx) || move != 0 && !ply.holdsBox(orb.Point{l.At[0] + move, l.At[1]}, wide, high) {
			continue
		}
		window, dx, ok = w, move, true
	}
	return window, dx, ok
}

// holdsBox reports whether the corners of a box about a point, and the middles
// of its long sides, lie in the material.
func (e *edges) holdsBox(c orb.Point, wide, high float64) bool {
	for _, x := range [3]float64{-wide, 0, wide} {
		for _, y := range [2]float64{-high, high} {
			if !e.inside(orb.Point{c[0] + x, c[1] + y}) {
				return false
			}
		}
	}
	return true
}

// clippedAt divides a line into its parts up to x and those beyond.
func clippedAt(line orb.LineString, x float64) (in, after []orb.LineString) {
	var cur orb.LineString
	beyond := false
	flush := func() {
		switch {
		case len(cur) < 2:
		case beyond:
			after = append(after, cur)
		default:
			in = append(in, cur)
		}
		cur = nil
	}
	for i, q := range line {
		if i == 0 {
			beyond = q[0] > x || q[0] == x && len(line) > 1 && line[1][0] > x
			cur = orb.LineString{q}
			continue
		}
		a := line[i-1]
		if next := q[0] > x; next != beyond && q[0] != x {
			at := crossing(a, q, x)
			if at != cur[len(cur)-1] {
				cur = append(cur, at)
			}
			flush()
			beyond, cur = next, orb.LineString{at}
		}
		if q != cur[len(cur)-1] {
			cur = append(cur, q)
		}
	}
	flush()
	return in, after
}

// fromOn is what of the lines lies at x and beyond.
func fromOn(lines []orb.LineString, x float64) []orb.LineString {
	var out []orb.LineString
	for _, l := range lines {
		if l.Bound().Min[0] >= x {
			out = append(out, l)
			continue
		}
		_, after := clippedAt(l, x)
		out = append(out, after...)
	}
	return out
}
