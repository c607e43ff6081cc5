package gcode

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export"
	"plyroom/export/toolpath"
	"plyroom/shapes/steady"
)

// ErrAdvance: the path draws the fabric on, and the profile does not say how
// the machine does that. Write one program per window instead
// (Path.OnlyWindow).
var ErrAdvance = errors.New("the layout is longer than the machine reaches and the machine profile has no advance lines")

// Write writes the program. The error is ErrAdvance or the first of w.
func Write(w io.Writer, p *toolpath.Path) error {
	if p.Advances() && len(p.Machine.Advance) == 0 {
		return ErrAdvance
	}
	o := output{w: bufio.NewWriter(w), p: p, m: p.Machine, nl: p.Machine.Newline()}
	o.run()
	return o.w.Flush()
}

// leastTurn is how far a knife may stand off the beginning of an arc, degrees:
// less than any blade shows.
const leastTurn = 0.1

// An output writes blocks. Errors stay in w until Flush.
type output struct {
	w  *bufio.Writer
	p  *toolpath.Path
	m  toolpath.Machine
	nl string

	frame   toolpath.Frame
	at      string  // the place last written, to leave out moves of no length
	heading float64 // of the turn axis, counted on past full turns
	turned  string  // the heading last written
	feed    string  // the feed last written
}

func (o *output) line(format string, args ...any) {
	fmt.Fprintf(o.w, format, args...)
	o.w.WriteString(o.nl)
}

func (o *output) comment(s string) { o.line("(%s)", export.CommentText(s)) }

func (o *output) run() {
	for _, l := range o.p.Lines() {
		o.comment(l)
	}
	for _, l := range o.p.Warnings {
		o.comment("warning: " + l)
	}
	for _, l := range o.m.Header {
		o.line("%s", l)
	}
	unit := "G21"
	if o.m.Units == toolpath.Inches {
		unit = "G20"
	}
	o.line("%s", unit)
	if o.m.ArcTolerance > 0 {
		o.line("G17")
	}
	o.line("G90")
	o.line("G94")
	o.up()
	if len(o.p.Moves) > 0 {
		o.frame = o.p.Frame(o.p.Moves[0].Window)
	}
	change := o.severalTools()
	for _, mv := range o.p.Moves {
		o.move(mv, change)
	}
	for _, l := range o.m.Footer {
		o.line("%s", l)
	}
	o.line("M2")
}

// severalTools reports whether the program changes tools at all.
func (o *output) severalTools() bool {
	first := -1
	for _, mv := range o.p.Moves {
		if mv.Op == toolpath.Tool {
			if first >= 0 && mv.Tool != first {
				return true
			}
			first = mv.Tool
		}
	}
	return false
}

func (o *output) move(mv toolpath.Move, change bool) {
	switch mv.Op {
	case toolpath.Begin:
		if mv.Cut >= 0 {
			c := o.p.Cuts[mv.Cut]
			o.comment(fmt.Sprintf("cut %d, ply %d: %s, %s", c.Number, c.Ply, c.Kind, c.Label))
		}
	case toolpath.Tool:
		if change {
			for _, l := range o.m.ToolChange {
				o.line("%s", strings.ReplaceAll(l, "%s", strconv.Itoa(mv.Tool)))
			}
		}
	case toolpath.Travel:
		o.at = o.xy(mv.To)
		o.line("G0 %s%s", o.at, o.turn(mv.Heading, mv.Cut))
	case toolpath.Turn:
		if t := o.turn(mv.Heading, mv.Cut); t != "" {
			o.line("G0%s", t)
		}
	case toolpath.Lower:
		o.lower(mv.Cut < 0)
	case toolpath.Draw:
		if mv.Sweep != 0 {
			o.arc(mv)
			break
		}
		o.draw(mv.To, o.turn(mv.Heading, mv.Cut))
	case toolpath.Lift:
		o.raise(mv.Cut < 0)
	case toolpath.Write:
		o.write(o.p.Labels[mv.Label])
	case toolpath.Advance:
		step := o.number(mv.Length)
		for _, l := range o.m.Advance {
			o.line("%s", strings.ReplaceAll(l, "%s", step))
		}
		o.frame = o.p.Frame(mv.Window)
		o.at = ""
	}
}

func (o *output) draw(to orb.Point, turn string) {
	xy := o.xy(to)
	if xy == o.at && turn == "" {
		return
	}
	o.at = xy
	o.line("G1 %s%s%s", xy, turn, o.feedWord(o.m.Feed))
}

// arc draws an arc: G2 clockwise or G3 counter-clockwise, I and J from its
// beginning to its centre. The knife stands along its beginning first.
func (o *output) arc(mv toolpath.Move) {
	if begin := mv.Heading - mv.Sweep; math.Abs(math.Remainder(o.frame.Heading(begin)-o.heading, 360)) > leastTurn {
		if t := o.turn(begin, mv.Cut); t != "" {
			o.line("G1%s%s", t, o.feedWord(o.m.Feed))
		}
	}
	xy := o.xy(mv.To)
	if xy == o.at {
		return // too short to be written
	}
	word, sweep := "G3", o.frame.Sweep(mv.Sweep)
	if sweep < 0 {
		word = "G2"
	}
	// From where the arc begins: its end turned back about its centre.
	c, to := o.frame.Point(mv.Centre), o.frame.Point(mv.To)
	sin, cos := steady.SincosDegrees(-sweep)
	x, y := to[0]-c[0], to[1]-c[1]
	i, j := -(float64(x*cos) - float64(y*sin)), -(float64(x*sin) + float64(y*cos))
	o.at = xy
	o.line("%s %s I%s J%s%s%s", word, xy, o.number(i), o.number(j), o.turn(mv.Heading, mv.Cut), o.feedWord(o.m.Feed))
}

// raise raises the pen or the knife.
func (o *output) raise(pen bool) {
	if pen && o.m.PenUp != "" {
		o.line("%s", o.m.PenUp)
		return
	}
	o.up()
}

// up raises the knife.
func (o *output) up() {
	if o.m.KnifeUp != "" {
		o.line("%s", o.m.KnifeUp)
		return
	}
	o.line("G0 Z%s", o.number(o.m.Clearance))
}

// lower lowers the pen or the knife.
func (o *output) lower(pen bool) {
	if pen && o.m.PenDown != "" {
		o.line("%s", o.m.PenDown)
		return
	}
	if o.m.KnifeDown != "" {
		o.line("%s", o.m.KnifeDown)
		return
	}
	o.line("G1 Z%s%s", o.number(-o.m.Depth), o.feedWord(o.m.Feed))
}

// write draws a name with single strokes.
func (o *output) write(l toolpath.Label) {
	for _, s := range l.Strokes() {
		o.at = o.xy(s[0])
		o.line("G0 %s", o.at)
		o.lower(true)
		for _, p := range s[1:] {
			o.draw(p, "")
		}
		o.raise(true)
	}
}

func (o *output) xy(p orb.Point) string {
	q := o.frame.Point(p)
	return "X" + o.number(q[0]) + " Y" + o.number(q[1])
}

// number writes a length in the program's units.
func (o *output) number(mm float64) string {
	return toolpath.Decimal(mm*o.m.Scale(), o.m.Decimals)
}

// feedWord is the feed where it changes.
func (o *output) feedWord(feed float64) string {
	f := toolpath.Decimal(feed*o.m.Scale(), 1)
	if f == o.feed {
		return ""
	}
	o.feed = f
	return " F" + f
}

// turn is the word of the turn axis where the heading changes; the knife goes
// the shorter way round.
func (o *output) turn(layout float64, cut int) string {
	if o.m.TurnAxis == "" || cut < 0 {
		return ""
	}
	d := math.Mod(o.frame.Heading(layout)-o.heading, 360)
	if d > 180 {
		d -= 360
	}
	if d <= -180 {
		d += 360
	}
	o.heading += d
	s := toolpath.Decimal(o.heading, 3)
	if s == o.turned {
		return ""
	}
	o.turned = s
	return " " + o.m.TurnAxis + s
}
