package toolpath

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// prove checks a finished path against the loops it was planned for: nothing
// is left out, nothing is longer or shorter than it should be, what must come
// first does, and the head goes nowhere it should not. A path that fails is
// never handed out; the error is a defect of this package.
func (p *Path) prove(loops []loop) error {
	first, last := make([]int, len(loops)), make([]int, len(loops))
	sum := make([]float64, len(loops))
	for _, c := range p.Cuts {
		if c.Loop < 0 {
			continue // the check square
		}
		if first[c.Loop] == 0 {
			first[c.Loop] = c.Number
		}
		last[c.Loop] = c.Number
		sum[c.Loop] += length(c.Points)
		if c.Closed {
			sum[c.Loop] += dist(c.Points[len(c.Points)-1], c.Points[0])
		}
	}
	for i := range loops {
		l := &loops[i]
		if p.Machine.Once {
			continue // shared edges belong to other loops; the tests see to it
		}
		want := length(l.pts)
		if l.closed {
			want += dist(l.pts[len(l.pts)-1], l.pts[0])
		}
		slack := float64(1e-6 * (1 + want))
		more := float64(4 * p.Machine.Join * float64(len(p.Windows)-1) * float64(len(l.pts)+1))
		if sum[i] < want-slack || sum[i] > want+slack+more {
			return fmt.Errorf("layout %s: defect: %.6f mm of a %s of %.6f mm were planned", p.Head.Layout, sum[i], l.kind, want)
		}
		for _, k := range l.must {
			if last[k] >= last[i] || first[i] == last[i] && last[k] >= first[i] {
				return fmt.Errorf("layout %s: defect: cut %d comes before cut %d", p.Head.Layout, last[i], last[k])
			}
		}
	}
	return p.proveMoves()
}

// proveMoves checks that the head stays on the fabric and within the window at
// work, give or take what the knife's kind and overcuts may go beyond.
func (p *Path) proveMoves() error {
	m := p.Machine
	room := sameCut + m.Overcut + m.BladeOffset + m.ArcTolerance
	box := orb.Bound{Max: orb.Point{p.Head.Length, p.Head.Width}}.Pad(room + 1e-6)
	down := false
	at := p.startAt()
	for i, mv := range p.Moves {
		from := at
		at = mv.To
		if w := p.Windows[mv.Window]; (mv.Op == Travel || mv.Op == Draw || mv.Op == Write) && len(p.Windows) > 1 &&
			!(mv.To[0] >= w.From-room-1e-6 && mv.To[0] <= w.To+room+1e-6) {
			return fmt.Errorf("layout %s: defect: move %d goes out of reach, to %v", p.Head.Layout, i, mv.To)
		}
		switch mv.Op {
		case Lower:
			down = true
		case Lift:
			down = false
		case Travel, Tool, Advance, Turn, Begin:
			if down {
				return fmt.Errorf("layout %s: defect: move %d with the knife down", p.Head.Layout, i)
			}
		case Draw:
			if !down || math.IsNaN(mv.To[0]+mv.To[1]+mv.Heading) || !box.Contains(mv.To) {
				return fmt.Errorf("layout %s: defect: move %d cuts at %v", p.Head.Layout, i, mv.To)
			}
			if mv.Sweep != 0 && !soundArc(from, mv, box) {
				return fmt.Errorf("layout %s: defect: move %d is no arc from %v to %v", p.Head.Layout, i, from, mv.To)
			}
		}
	}
	if down {
		return fmt.Errorf("layout %s: defect: the knife stays down", p.Head.Layout)
	}
	return nil
}

// soundArc reports whether an arc's ends lie on one circle, as far apart as its
// sweep says, and its way within the box.
func soundArc(from orb.Point, mv Move, box orb.Bound) bool {
	r := dist(mv.Centre, from)
	if !(math.Abs(r-dist(mv.Centre, mv.To)) < 1e-5) || math.Abs(mv.Sweep) > arcPart+1e-6 {
		return false
	}
	a := steady.Atan2(from[1]-mv.Centre[1], from[0]-mv.Centre[0])
	const steps = 8
	for i := 1; i <= steps; i++ {
		s, c := steady.Sincos(a + float64(mv.Sweep*math.Pi/180*float64(i)/steps))
		p := orb.Point{mv.Centre[0] + float64(r*c), mv.Centre[1] + float64(r*s)}
		if i == steps && dist(p, mv.To) > 1e-5 || !box.Contains(p) {
			return false
		}
	}
	return true
}
