package toolpath

import (
	"math"

	"github.com/paulmach/orb"
)

// ink draws the labels of the window at work, where the job allows ink on the
// ply. All of a window's labels come before its first cut, while the fabric is
// whole, in an order that keeps the way between their strokes short.
func (k *knife) ink() {
	p := k.path
	if !p.Ink || k.window < p.inkFrom {
		return
	}
	strokes := p.inkStrokes(k.window)
	if len(strokes) == 0 {
		return
	}
	heading := k.heading
	nodes := make([]node, len(strokes))
	for i, s := range strokes {
		nodes[i] = node{open: len(s.line) > 1, starts: []orb.Point{s.line[0]}, key: s.line.Bound().Min[0], plainIn: s.line[0], plainOut: s.line[len(s.line)-1]}
		if nodes[i].open {
			nodes[i].starts = append(nodes[i].starts, s.line[len(s.line)-1])
		}
	}
	t := nearest(nodes, k.at, math.Inf(1), true)
	t.exchange()
	for _, i := range t.seq {
		s := strokes[i]
		k.cut, k.label = -1, s.label
		k.begin(p.Machine.Tools.Mark)
		line := s.line
		if t.choice[i] == 1 {
			line = reversed(line)
		}
		k.goTo(line[0], 0)
		if len(line) == 1 {
			k.add(Move{Op: Write})
			continue
		}
		k.lower()
		k.follow(line[1:])
		k.lift()
	}
	k.heading = heading
}

// An inkStroke is a line of a label, or, as a single point, the place of its
// text.
type inkStroke struct {
	label int
	line  orb.LineString
}

// inkStrokes are the strokes of a window's labels.
func (p *Path) inkStrokes(window int) []inkStroke {
	var out []inkStroke
	for i := range p.Labels {
		l := &p.Labels[i]
		if l.Window != window {
			continue
		}
		for _, line := range l.Lines {
			if len(line) > 1 {
				out = append(out, inkStroke{i, line})
			}
		}
		if l.Text != "" {
			out = append(out, inkStroke{i, orb.LineString{l.At}})
		}
	}
	return out
}
