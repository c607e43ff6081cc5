package gcode_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export/internal/cutcase"
)

// A controller interprets RS-274: it knows nothing of the writer.
type controller struct {
	unit     float64 // mm per unit
	absolute bool
	x, y, z  float64
	a        float64
	feed     float64
	motion   int
	down     bool
	tool     int
	ended    bool
	// isDown decides whether the knife is down after a block.
	isDown func(c *controller, block string) bool

	lines    []drawn
	fresh    bool
	comments []string
	turns    []float64 // every heading the turn axis was sent to
	most     float64   // the largest turn in one block, degrees
	arcs     int
	plane    bool    // that of x and y is chosen
	wry      float64 // the largest angle between the knife and an arc's beginning, degrees
}

type drawn struct {
	tool int
	line orb.LineString
}

// byHeight says the knife is down at or below Z zero.
func byHeight(c *controller, _ string) bool { return c.z <= 0 }

// replay runs a program and reports the first block a controller would not
// take.
func replay(src string, isDown func(*controller, string) bool) (*controller, error) {
	c := &controller{unit: 0, z: 1, fresh: true, motion: -1, isDown: isDown}
	for n, raw := range strings.Split(strings.TrimSuffix(src, "\n"), "\n") {
		if c.ended {
			return nil, fmt.Errorf("line %d: after the end of the program", n+1)
		}
		if len(raw) > 256 {
			return nil, fmt.Errorf("line %d: %d characters", n+1, len(raw))
		}
		if err := c.block(strings.TrimSuffix(raw, "\r")); err != nil {
			return nil, fmt.Errorf("line %d (%q): %w", n+1, raw, err)
		}
	}
	if !c.ended {
		return nil, fmt.Errorf("no end of the program")
	}
	return c, nil
}

func (c *controller) block(s string) error {
	var code strings.Builder
	for {
		open := strings.IndexByte(s, '(')
		if open < 0 {
			code.WriteString(s)
			break
		}
		end := strings.IndexByte(s[open:], ')')
		if end < 0 {
			return fmt.Errorf("comment without end")
		}
		text := s[open+1 : open+end]
		if strings.ContainsAny(text, "(") {
			return fmt.Errorf("comment in a comment")
		}
		c.comments = append(c.comments, text)
		code.WriteString(s[:open])
		s = s[open+end+1:]
	}
	block := strings.TrimSpace(code.String())
	x, y := c.x, c.y
	was := c.a
	axes := false
	var i, j float64
	centred := false
	for _, w := range strings.Fields(block) {
		v, err := strconv.ParseFloat(w[1:], 64)
		if err != nil {
			return err
		}
		switch w[0] {
		case 'G':
			switch v {
			case 0, 1, 2, 3:
				c.motion = int(v)
			case 20:
				c.unit = 25.4
			case 21:
				c.unit = 1
			case 90:
				c.absolute = true
			case 17:
				c.plane = true
			case 94:
			default:
				return fmt.Errorf("unknown G%g", v)
			}
		case 'M':
			switch v {
			case 2:
				c.ended = true
			case 0, 3, 5, 6:
			default:
				return fmt.Errorf("unknown M%g", v)
			}
		case 'X':
			x, axes = v*c.unit, true
		case 'Y':
			y, axes = v*c.unit, true
		case 'I':
			i, centred = v*c.unit, true
		case 'J':
			j, centred = v*c.unit, true
		case 'Z':
			c.z, axes = v*c.unit, true
		case 'A':
			c.a = v
			c.turns = append(c.turns, v)
		case 'F':
			c.feed = v * c.unit
		case 'T':
			c.tool, c.fresh = int(v), true
		default:
			return fmt.Errorf("unknown word %s", w)
		}
	}
	c.most = max(c.most, c.a-was, was-c.a)
	wasDown := c.down
	c.down = c.isDown(c, block)
	c.fresh = c.fresh || !c.down
	if !axes {
		return nil
	}
	if c.unit == 0 || !c.absolute || c.motion < 0 {
		return fmt.Errorf("move before units, G90 or a motion word")
	}
	if c.motion > 0 && c.feed <= 0 {
		return fmt.Errorf("cut without a feed")
	}
	if (c.motion >= 2) != centred {
		return fmt.Errorf("a centre without an arc, or an arc without a centre")
	}
	if x == c.x && y == c.y {
		return nil
	}
	if c.down && wasDown {
		if c.motion == 0 {
			return fmt.Errorf("rapid with the knife down")
		}
		if c.fresh {
			c.lines = append(c.lines, drawn{c.tool, orb.LineString{{c.x, c.y}}})
			c.fresh = false
		}
		d := &c.lines[len(c.lines)-1]
		if c.motion >= 2 {
			way, err := c.arc(orb.Point{x, y}, orb.Point{c.x + i, c.y + j}, was)
			if err != nil {
				return err
			}
			d.line = append(d.line, way...)
		} else {
			d.line = append(d.line, orb.Point{x, y})
		}
	}
	c.x, c.y = x, y
	return nil
}

// arc is the way of G2, clockwise, or G3: the centre is as far from its end as
// from its beginning, within what controllers forgive.
func (c *controller) arc(to, centre orb.Point, heading float64) (orb.LineString, error) {
	at := orb.Point{c.x, c.y}
	if !c.plane {
		return nil, fmt.Errorf("an arc before its plane is chosen")
	}
	r, s := math.Hypot(at[0]-centre[0], at[1]-centre[1]), math.Hypot(to[0]-centre[0], to[1]-centre[1])
	if math.Abs(r-s) > 0.005 {
		return nil, fmt.Errorf("an arc of radius %g ends at radius %g", r, s)
	}
	from := math.Atan2(at[1]-centre[1], at[0]-centre[0])
	sweep := math.Mod(math.Atan2(to[1]-centre[1], to[0]-centre[0])-from+4*math.Pi, 2*math.Pi)
	along := from + math.Pi/2
	if c.motion == 2 {
		sweep -= 2 * math.Pi
		along = from - math.Pi/2
	}
	c.arcs++
	if len(c.turns) > 0 {
		c.wry = max(c.wry, math.Abs(math.Remainder(heading-along*180/math.Pi, 360)))
	}
	way := cutcase.Arc(at, centre, sweep)
	way[len(way)-1] = to
	return way, nil
}
