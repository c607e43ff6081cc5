package toolpath

import (
	"fmt"
	"math"
	"sort"

	"github.com/paulmach/orb"
)

// A knife turns cuts into moves.
type knife struct {
	path    *Path
	m       Machine
	guard   *guard
	at      orb.Point
	heading float64
	tool    int
	down    bool
	cut     int
	label   int
	window  int
	// intrusions counts, per ply, corners where a wheel reaches into it.
	intrusions map[string]int
	shortened  int
	uncut      map[string]int
}

// run makes the moves of the whole path.
func (k *knife) run(inked func(window int) bool) {
	k.tool, k.cut, k.label = -1, -1, -1
	k.intrusions, k.uncut = map[string]int{}, map[string]int{}
	p := k.path
	p.Moves = nil
	if len(p.Cuts) == 0 {
		k.remarks()
		return
	}
	k.window = p.Cuts[0].Window
	k.at = p.home(k.window)
	k.ink(inked)
	for i := range p.Cuts {
		c := &p.Cuts[i]
		for k.window < c.Window {
			step := p.Windows[k.window+1].From - p.Windows[k.window].From
			k.window++
			k.cut, k.label = -1, -1
			k.at[0] += step
			k.add(Move{Op: Advance, To: k.at, Length: step})
			k.ink(inked)
		}
		k.cut, k.label = i, -1
		k.begin(p.Tool(c.Kind))
		if k.m.Kind == Drag {
			k.drag(c)
		} else {
			k.steered(c)
		}
	}
	k.remarks()
}

func (k *knife) add(m Move) {
	m.Cut, m.Label, m.Tool, m.Window = k.cut, k.label, k.tool, k.window
	if m.Op == Travel || m.Op == Draw {
		k.at = m.To
	}
	if m.Op == Travel || m.Op == Draw || m.Op == Turn {
		k.heading = m.Heading
	} else {
		m.Heading = k.heading
	}
	if m.Op != Travel && m.Op != Draw && m.Op != Advance {
		m.To = k.at
	}
	k.path.Moves = append(k.path.Moves, m)
}

func (k *knife) begin(tool int) {
	if tool != k.tool {
		k.tool = tool
		k.add(Move{Op: Tool})
	}
	k.add(Move{Op: Begin})
}

func (k *knife) lower() {
	if !k.down {
		k.add(Move{Op: Lower})
		k.down = true
	}
}

func (k *knife) lift() {
	if k.down {
		k.add(Move{Op: Lift})
		k.down = false
	}
}

// goTo travels, knife up, unless it is there, and turns the knife.
func (k *knife) goTo(p orb.Point, heading float64) {
	if dist(k.at, p) > 1e-9 {
		k.lift()
		k.add(Move{Op: Travel, To: p, Heading: heading})
		return
	}
	if math.Abs(normal(heading-k.heading)) > 1e-9 {
		k.lift()
		k.add(Move{Op: Turn, Heading: heading})
	}
}

// follow draws along a line from where the knife is.
func (k *knife) follow(line orb.LineString) {
	for _, p := range line {
		if d := dist(k.at, p); d > 1e-9 {
			k.add(Move{Op: Draw, To: p, Heading: headingOf(k.at, p)})
		}
	}
}

func headingOf(a, b orb.Point) float64 {
	return math.Atan2(b[1]-a[1], b[0]-a[0]) * 180 / math.Pi
}

func unit(a, b orb.Point) orb.Point {
	d := dist(a, b)
	return orb.Point{(b[0] - a[0]) / d, (b[1] - a[1]) / d}
}

func along(p, dir orb.Point, d float64) orb.Point {
	return orb.Point{p[0] + dir[0]*d, p[1] + dir[1]*d}
}

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
		s := stroke{line: line[first : i+1], loose: !c.Closed}
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
	// loose says that the cut is open.
	loose bool
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
	k.goTo(line[0], headingOf(line[0], line[1]))
	k.lower()
	k.follow(line[1:])
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

// remarks turns what was found on the way into warnings.
func (k *knife) remarks() {
	k.path.Warnings = append([]string(nil), k.path.notes...)
	warn := func(format string, args ...any) {
		k.path.Warnings = append(k.path.Warnings, fmt.Sprintf(format, args...))
	}
	if k.shortened > 0 {
		warn("%d overcuts shortened so that they do not enter a ply", k.shortened)
	}
	for _, ply := range sortedKeys(k.intrusions) {
		if k.m.WheelShorten {
			warn("%s: the wheel reaches %.2f mm past the point aimed at; %d cuts stop short so that it does not enter this ply", ply, k.m.Reach(), k.intrusions[ply])
		} else {
			warn("%s: the wheel reaches %.2f mm past the point aimed at and enters this ply at %d places", ply, k.m.Reach(), k.intrusions[ply])
		}
	}
	for _, ply := range sortedKeys(k.uncut) {
		warn("%s: %d edges are too short for the wheel and are left uncut", ply, k.uncut[ply])
	}
}

func sortedKeys(m map[string]int) []string {
	keys := make([]string, 0, len(m))
	for s := range m {
		keys = append(keys, s)
	}
	sort.Strings(keys)
	return keys
}
