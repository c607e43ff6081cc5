package drawing

import (
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// subpath is one part of a path, in user units.
type subpath struct {
	start  orb.Point
	curves []curve
	closed bool
}

// scanner reads numbers of path data, point lists and transforms.
type scanner struct {
	s  string
	at int
}

func (c *scanner) space() {
	for c.at < len(c.s) {
		switch c.s[c.at] {
		case ' ', '\t', '\r', '\n', '\f':
			c.at++
		default:
			return
		}
	}
}

// comma skips white space with at most one comma in it.
func (c *scanner) comma() {
	c.space()
	if c.at < len(c.s) && c.s[c.at] == ',' {
		c.at++
		c.space()
	}
}

func (c *scanner) done() bool { return c.at >= len(c.s) }

// number reads a number as the grammar of SVG has it.
func (c *scanner) number() (float64, bool) {
	i := c.at
	digits := func() bool {
		j := i
		for i < len(c.s) && c.s[i] >= '0' && c.s[i] <= '9' {
			i++
		}
		return i > j
	}
	if i < len(c.s) && (c.s[i] == '+' || c.s[i] == '-') {
		i++
	}
	some := digits()
	if i < len(c.s) && c.s[i] == '.' {
		i++
		some = digits() || some
	}
	if !some {
		return 0, false
	}
	if i < len(c.s) && (c.s[i] == 'e' || c.s[i] == 'E') {
		mark := i
		i++
		if i < len(c.s) && (c.s[i] == '+' || c.s[i] == '-') {
			i++
		}
		if !digits() {
			i = mark // an em or ex follows
		}
	}
	v, err := strconv.ParseFloat(c.s[c.at:i], 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, false
	}
	c.at = i
	return v, true
}

// flag reads a single 0 or 1, which need not be set apart.
func (c *scanner) flag() (bool, bool) {
	if c.at < len(c.s) && (c.s[c.at] == '0' || c.s[c.at] == '1') {
		c.at++
		return c.s[c.at-1] == '1', true
	}
	return false, false
}

var pathArgs = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// parsePath reads path data. On an error it returns what came before, as the
// format asks, and the error.
func parsePath(data string) (subs []subpath, err error) {
	c := &scanner{s: data}
	var cur, begin, ctrl orb.Point
	var last byte // command of the previous segment, in capitals
	var sp *subpath
	total := 0
	emit := func(k curve) {
		if sp == nil {
			subs = append(subs, subpath{start: cur})
			sp = &subs[len(subs)-1]
		}
		sp.curves = append(sp.curves, k)
		total++
	}
	c.space()
	var cmd byte
	for !c.done() && total <= MaxCurves {
		ch := c.s[c.at]
		fresh := false
		if up := ch &^ 0x20; ch >= 'A' && pathArgs[up] > 0 || up == 'Z' && ch >= 'A' {
			cmd, fresh = ch, true
			c.at++
			c.space()
		} else if cmd == 0 || cmd&^0x20 == 'Z' {
			return subs, fmt.Errorf("unexpected %q at position %d of the path data", clip(c.s[c.at:min(len(c.s), c.at+8)]), c.at+1)
		}
		up, rel := cmd&^0x20, cmd >= 'a'
		if last == 0 && up != 'M' {
			return subs, fmt.Errorf("the path data does not begin with a move")
		}
		var f [7]float64
		for i := range pathArgs[up] {
			if i > 0 || !fresh {
				c.comma()
			}
			if up == 'A' && (i == 3 || i == 4) {
				on, ok := c.flag()
				if !ok {
					return subs, fmt.Errorf("an arc's flag at position %d of the path data is neither 0 nor 1", c.at+1)
				}
				if on {
					f[i] = 1
				}
				continue
			}
			v, ok := c.number()
			if !ok {
				return subs, fmt.Errorf("a number is missing at position %d of the path data, after %q", c.at+1, string(cmd))
			}
			f[i] = v
		}
		off := orb.Point{}
		if rel {
			off = cur
		}
		pt := func(i int) orb.Point { return orb.Point{f[i] + off[0], f[i+1] + off[1]} }
		switch up {
		case 'M':
			cur = pt(0)
			begin = cur
			sp = nil
			cmd = 'L' | cmd&0x20
		case 'Z':
			if sp != nil {
				sp.closed = true
			}
			cur, sp = begin, nil
		case 'L':
			to := pt(0)
			emit(lineCurve{cur, to})
			cur = to
		case 'H':
			to := orb.Point{f[0] + off[0], cur[1]}
			emit(lineCurve{cur, to})
			cur = to
		case 'V':
			to := orb.Point{cur[0], f[0] + off[1]}
			emit(lineCurve{cur, to})
			cur = to
		case 'C', 'S':
			a, k := cur, 0
			if up == 'C' {
				a, k = pt(0), 2
			} else if last == 'C' || last == 'S' {
				a = sub(mulPoint(cur, 2), ctrl)
			}
			ctrl = pt(k)
			to := pt(k + 2)
			emit(bezier{p: []orb.Point{cur, a, ctrl, to}})
			cur = to
		case 'Q', 'T':
			k := 0
			if up == 'Q' {
				ctrl, k = pt(0), 2
			} else if last == 'Q' || last == 'T' {
				ctrl = sub(mulPoint(cur, 2), ctrl)
			} else {
				ctrl = cur
			}
			to := pt(k)
			emit(bezier{p: []orb.Point{cur, ctrl, to}})
			cur = to
		case 'A':
			to := pt(5)
			if k := endpointArc(cur, to, f[0], f[1], f[2], f[3] != 0, f[4] != 0); k != nil {
				emit(k)
			}
			cur = to
		}
		last = up
		// Between a command's own letters no comma belongs, but one there does
		// no harm.
		c.space()
		if !c.done() && c.s[c.at] == ',' {
			c.comma()
		}
	}
	return subs, nil
}

// endpointArc is the elliptical arc of path data: from a to b with half axes
// rx and ry, the first turned by deg. Axes too short are lengthened until the
// arc reaches. It is nil where a and b are one.
func endpointArc(a, b orb.Point, rx, ry, deg float64, large, sweep bool) curve {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if a == b {
		return nil
	}
	if rx == 0 || ry == 0 {
		return lineCurve{a, b}
	}
	turn := rotationDeg(deg)
	back := rotationDeg(-deg)
	// In the frame where the ellipse is the unit circle, the ends are a and b
	// half the chord from its middle.
	h := back.vector(mulPoint(sub(b, a), 0.5))
	h = orb.Point{h[0] / rx, h[1] / ry}
	d := length(h)
	if !(d > 2e-7) && !large || math.IsInf(d, 0) {
		return lineCurve{a, b} // as good as straight
	}
	if d > 1 {
		rx, ry = rx*d, ry*d
		h = mulPoint(h, 1/d)
		d = 1
	}
	// The centre lies on the perpendicular of the chord; to the left of a-b
	// where a small arc sweeps positively.
	k := math.Sqrt(math.Max(0, 1-float64(d*d))) / d
	if large == sweep {
		k = -k
	}
	c := orb.Point{float64(-h[1] * k), float64(h[0] * k)}
	t0 := steady.Atan2(-h[1]-c[1], -h[0]-c[0])
	turned := 2 * steady.Asin(math.Min(d, 1))
	if large {
		turned = 2*math.Pi - turned
	}
	if !sweep {
		turned = -turned
	}
	t1 := t0 + turned
	mid := lerp(a, b, 0.5)
	centre := add(mid, turn.vector(orb.Point{c[0] * rx, c[1] * ry}))
	u, v := turn.vector(orb.Point{rx, 0}), turn.vector(orb.Point{0, ry})
	return arcCurve{c: centre, u: u, v: v, t0: t0, t1: t1, p0: a, p1: b}
}
