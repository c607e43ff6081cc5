package toolpath

import (
	"fmt"
	"math"
	"sort"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
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
	unled      bool // no room was found for a lead-in
}

// run makes the moves of the whole path.
func (k *knife) run() {
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
	k.ink()
	for i := range p.Cuts {
		c := &p.Cuts[i]
		for k.window < c.Window {
			step := p.Windows[k.window+1].From - p.Windows[k.window].From
			k.window++
			k.cut, k.label = -1, -1
			k.at[0] += step
			k.add(Move{Op: Advance, To: k.at, Length: step})
			k.ink()
		}
		k.cut, k.label = i, -1
		k.begin(p.Tool(c.Kind))
		if k.m.Kind == Drag {
			if i == 0 {
				k.leadIn()
			}
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

// draw draws segments from where the knife is.
func (k *knife) draw(segs []Segment) {
	for i := range segs {
		s := &segs[i]
		k.add(Move{Op: Draw, To: s.To, Heading: s.endHeading(k.at), Centre: s.Centre, Sweep: s.Sweep})
	}
}

func headingOf(a, b orb.Point) float64 {
	return steady.Atan2(b[1]-a[1], b[0]-a[0]) * 180 / math.Pi
}

func unit(a, b orb.Point) orb.Point {
	d := dist(a, b)
	return orb.Point{(b[0] - a[0]) / d, (b[1] - a[1]) / d}
}

func along(p, dir orb.Point, d float64) orb.Point {
	return orb.Point{p[0] + float64(dir[0]*d), p[1] + float64(dir[1]*d)}
}

// remarks turns what was found on the way into warnings.
func (k *knife) remarks() {
	k.path.Warnings = append([]string(nil), k.path.notes...)
	warn := func(format string, args ...any) {
		k.path.Warnings = append(k.path.Warnings, fmt.Sprintf(format, args...))
	}
	if k.unled {
		warn("no room for a lead-in near the start: see that the blade points along the roll, away from its beginning, before the first cut")
	}
	if k.shortened > 0 {
		warn("%s shortened so as not to enter a ply", counted(k.shortened, "overcut is", "overcuts are"))
	}
	for _, ply := range sortedKeys(k.intrusions) {
		if k.m.WheelShorten {
			warn("%s: the wheel reaches %.2f mm past the point aimed at; %s short so that it does not enter this ply", ply, k.m.Reach(), counted(k.intrusions[ply], "cut stops", "cuts stop"))
		} else {
			warn("%s: the wheel reaches %.2f mm past the point aimed at and enters this ply at %s", ply, k.m.Reach(), counted(k.intrusions[ply], "place", "places"))
		}
	}
	for _, ply := range sortedKeys(k.uncut) {
		warn("%s: %s too short for the wheel and left uncut", ply, counted(k.uncut[ply], "edge is", "edges are"))
	}
}

// counted is a number with its noun.
func counted(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}

func sortedKeys(m map[string]int) []string {
	keys := make([]string, 0, len(m))
	for s := range m {
		keys = append(keys, s)
	}
	sort.Strings(keys)
	return keys
}
