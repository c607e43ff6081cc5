package cutcase

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// A Chain is what a replayed file cut without lifting the knife, in layout
// coordinates, mm. Purpose is empty where the format
// does not tell.
type Chain struct {
	Purpose string
	Line    orb.LineString
}

// A boundary is one cut the record asks for.
type boundary struct {
	what    string
	purpose string
	closed  bool
	line    orb.LineString // closed: first vertex repeated
	item    int
	first   int // index of the first chain that cuts it
	last    int
	seen    bool
}

// Check compares a replayed file with the record: every outline, cut-out and
// slit is traced within tol mm over its whole length, nothing else is cut,
// nothing leaves the fabric, and the order is legal. It derives everything from
// the record alone. Layers of a spread must have equal plies in equal places.
func Check(rec *nest.Record, l *nest.Layout, chains []Chain, tol float64) error {
	return check(rec, l, chains, tol, false)
}

// CheckDivided is Check for files whose boundaries may be divided between
// windows: what must come before a boundary must then come before it is cut
// through.
func CheckDivided(rec *nest.Record, l *nest.Layout, chains []Chain, tol float64) error {
	return check(rec, l, chains, tol, true)
}

func check(rec *nest.Record, l *nest.Layout, chains []Chain, tol float64, divided bool) error {
	want := boundaries(rec, l)
	for k, c := range chains {
		for _, p := range c.Line {
			if p[0] < -tol || p[1] < -tol || p[0] > l.Length+tol || p[1] > l.Width+tol {
				return fmt.Errorf("chain %d leaves the fabric at %v", k, p)
			}
		}
		found := false
		for i := range want {
			b := &want[i]
			if c.Purpose != "" && c.Purpose != b.purpose || !within(c.Line, b.line, tol) {
				continue
			}
			found = true
			if !b.seen {
				b.first, b.seen = k, true
			}
			b.last = k
		}
		if !found {
			return fmt.Errorf("chain %d (%s, from %v) cuts what nobody asked for", k, c.Purpose, c.Line[0])
		}
	}
	for i := range want {
		b := &want[i]
		if !b.seen {
			return fmt.Errorf("%s is not cut", b.what)
		}
		var cut []orb.LineString
		for _, c := range chains[b.first : b.last+1] {
			if within(c.Line, b.line, tol) {
				cut = append(cut, c.Line)
			}
		}
		if at, ok := covered(b.line, cut, tol); !ok {
			return fmt.Errorf("%s is not cut through at %v", b.what, at)
		}
	}
	return legal(want, divided)
}

func legal(want []boundary, divided bool) error {
	for i := range want {
		for j := range want {
			a, b := &want[i], &want[j]
			if i == j {
				continue
			}
			inner := a.item == b.item && a.purpose != "outline" && b.purpose == "outline"
			nested := a.item != b.item && a.purpose == "outline" && b.purpose == "hole" && ringHolds(b.line, centre(a.line))
			begun := b.first
			if divided {
				begun = b.last
			}
			if (inner || nested) && a.last >= begun {
				return fmt.Errorf("%s (chain %d) comes after %s (chain %d)", a.what, a.last, b.what, begun)
			}
		}
	}
	return nil
}

// boundaries lists what the record asks for, each place once.
func boundaries(rec *nest.Record, l *nest.Layout) []boundary {
	var out []boundary
	add := func(b boundary) {
		for i := range out {
			if len(out[i].line) == len(b.line) && within(b.line, out[i].line, 1e-4) && within(out[i].line, b.line, 1e-4) {
				return // the same cut in another layer
			}
		}
		out = append(out, b)
	}
	for i := range l.Placed {
		p := &l.Placed[i]
		add(boundary{what: fmt.Sprintf("outline of %s", p.Key()), purpose: "outline", closed: true, line: closedLine(p.Outline), item: i})
		for k, h := range p.Holes {
			add(boundary{what: fmt.Sprintf("cut-out %d of %s", k, p.Key()), purpose: "hole", closed: true, line: closedLine(h), item: i})
		}
		for _, d := range rec.Demand {
			if d.Key() != p.Key() {
				continue
			}
			for _, s := range rec.Shapes {
				if s.ID != d.Shape {
					continue
				}
				for _, m := range s.Marks {
					if m.Kind == shapes.MarkSlit {
						add(boundary{what: fmt.Sprintf("slit of %s", p.Key()), purpose: "slit", line: lay(m.Line, p), item: i})
					}
				}
			}
		}
	}
	return out
}

// lay moves a line as the record's documentation says: mirrored where exactly
// one of turned over and opposite hand holds, turned, moved.
func lay(in orb.LineString, p *nest.Placed) orb.LineString {
	var out orb.LineString
	rad := p.RotationDeg * math.Pi / 180
	for _, v := range in {
		x, y := v[0], v[1]
		if p.TurnedOver != p.OppositeHand {
			y = -y
		}
		out = append(out, orb.Point{p.X + float64(x*math.Cos(rad)) - float64(y*math.Sin(rad)), p.Y + float64(x*math.Sin(rad)) + float64(y*math.Cos(rad))})
	}
	return out
}

func closedLine(r nest.Ring) orb.LineString {
	var out orb.LineString
	for _, p := range r {
		out = append(out, p)
	}
	return append(out, out[0])
}

// within reports whether every point of a line lies within tol of another.
func within(a, b orb.LineString, tol float64) bool {
	if !b.Bound().Pad(tol).Contains(a[0]) {
		return false
	}
	for _, p := range samples(a) {
		if lineDistance(p, b) > tol {
			return false
		}
	}
	return true
}

// covered reports whether every point of a line lies within tol of one of the
// cuts, and otherwise one that does not.
func covered(line orb.LineString, cuts []orb.LineString, tol float64) (orb.Point, bool) {
	for _, p := range samples(line) {
		near := false
		for _, c := range cuts {
			near = near || lineDistance(p, c) <= tol
		}
		if !near {
			return p, false
		}
	}
	return orb.Point{}, true
}

// samples are the vertices of a line and points at most 5 mm apart between.
func samples(l orb.LineString) orb.LineString {
	var out orb.LineString
	for i, p := range l {
		if i > 0 {
			a := l[i-1]
			n := int(math.Ceil(math.Hypot(p[0]-a[0], p[1]-a[1]) / 5))
			for k := 1; k < n; k++ {
				f := float64(k) / float64(n)
				out = append(out, orb.Point{a[0] + float64(f*(p[0]-a[0])), a[1] + float64(f*(p[1]-a[1]))})
			}
		}
		out = append(out, p)
	}
	return out
}

func lineDistance(p orb.Point, l orb.LineString) float64 {
	best := math.Inf(1)
	if len(l) == 1 {
		return math.Hypot(p[0]-l[0][0], p[1]-l[0][1])
	}
	for i := 1; i < len(l); i++ {
		ax, ay := l[i-1][0], l[i-1][1]
		ex, ey := l[i][0]-ax, l[i][1]-ay
		t := 0.0
		if q := float64(ex*ex) + float64(ey*ey); q > 0 {
			t = math.Max(0, math.Min(1, (float64((p[0]-ax)*ex)+float64((p[1]-ay)*ey))/q))
		}
		best = math.Min(best, math.Hypot(p[0]-ax-float64(t*ex), p[1]-ay-float64(t*ey)))
	}
	return best
}

// centre is the middle of a closed line's vertices: inside, for the convex
// plies that these records nest.
func centre(l orb.LineString) orb.Point {
	var c orb.Point
	for _, p := range l[1:] {
		c[0] += p[0] / float64(len(l)-1)
		c[1] += p[1] / float64(len(l)-1)
	}
	return c
}

func ringHolds(l orb.LineString, p orb.Point) bool {
	in := false
	for i := 1; i < len(l); i++ {
		a, b := l[i-1], l[i]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}
