package hpgl

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export"
	"plyroom/export/toolpath"
	"plyroom/shapes/steady"
)

// ErrAdvance: the path draws the fabric on, and the profile does not say how
// the machine does that. Write one file per window instead
// (Path.OnlyWindow).
var ErrAdvance = errors.New("the layout is longer than the machine reaches and the machine profile has no advance lines")

// perLine is how many points one instruction carries at most.
const perLine = 20

// Write writes the path for any plotter. The error is ErrAdvance or the first
// of w.
func Write(w io.Writer, p *toolpath.Path) error { return write(w, p, false) }

// Write2 writes the path in the second edition of the language, with the head
// of the file and a line per cut as comments.
func Write2(w io.Writer, p *toolpath.Path) error { return write(w, p, true) }

func write(w io.Writer, p *toolpath.Path, comments bool) error {
	if p.Advances() && len(p.Machine.Advance) == 0 {
		return ErrAdvance
	}
	o := output{w: bufio.NewWriter(w), p: p, nl: p.Machine.Newline(), comments: comments}
	o.run()
	return o.w.Flush()
}

// An output writes instructions. Errors stay in w until Flush.
type output struct {
	w        *bufio.Writer
	p        *toolpath.Path
	nl       string
	comments bool

	frame toolpath.Frame
	pend  []point // points of the instruction in the making
	at    point
	down  bool
}

// A point is a place in plotter units.
type point struct{ x, y int }

func (o *output) line(format string, args ...any) {
	fmt.Fprintf(o.w, format, args...)
	o.w.WriteString(o.nl)
}

func (o *output) comment(s string) {
	if o.comments {
		o.line("CO\"%s\";", export.HPGLComment(s))
	}
}

func (o *output) run() {
	m := o.p.Machine
	for _, l := range m.Header {
		o.line("%s", l)
	}
	o.line("IN;")
	for _, l := range o.p.Lines() {
		o.comment(l)
	}
	for _, l := range o.p.Warnings {
		o.comment("warning: " + l)
	}
	o.line("PA;")
	if m.PlotterSpeed > 0 {
		o.line("VS%s;", toolpath.Decimal(m.PlotterSpeed, 2))
	}
	if len(o.p.Moves) > 0 {
		o.frame = o.p.Frame(o.p.Moves[0].Window)
	}
	for _, mv := range o.p.Moves {
		o.move(mv)
	}
	o.lift()
	o.line("PU;SP0;")
	for _, l := range m.Footer {
		o.line("%s", l)
	}
}

func (o *output) move(mv toolpath.Move) {
	switch mv.Op {
	case toolpath.Begin:
		if mv.Cut >= 0 {
			c := o.p.Cuts[mv.Cut]
			o.comment(fmt.Sprintf("cut %d, ply %d: %s, %s", c.Number, c.Ply, c.Kind, c.Label))
		}
	case toolpath.Tool:
		o.line("SP%d;", mv.Tool)
	case toolpath.Travel:
		o.at = o.units(mv.To)
		o.line("PU%d,%d;", o.at.x, o.at.y)
	case toolpath.Lower:
		o.down = true
	case toolpath.Draw:
		if mv.Sweep != 0 && o.arc(mv) {
			break
		}
		if mv.Sweep != 0 {
			for _, p := range mv.Chords(o.fine()) {
				o.draw(p)
			}
			break
		}
		o.draw(mv.To)
	case toolpath.Lift:
		o.lift()
	case toolpath.Write:
		o.write(o.p.Labels[mv.Label])
	case toolpath.Advance:
		step := toolpath.Decimal(mv.Length*o.p.Machine.PlotterUnits, 0)
		for _, l := range o.p.Machine.Advance {
			o.line("%s", strings.ReplaceAll(l, "%s", step))
		}
		o.frame = o.p.Frame(mv.Window)
	}
}

// draw adds a point to the instruction in the making.
func (o *output) draw(p orb.Point) {
	if q := o.units(p); q != o.at || len(o.pend) == 0 && !o.down {
		o.at = q
		o.pend = append(o.pend, q)
	}
	if len(o.pend) == perLine {
		o.flush()
	}
}

// lift ends the instruction in the making and raises the knife.
func (o *output) lift() {
	if o.down {
		o.flush()
		o.line("PU;")
		o.down = false
	}
}

func (o *output) flush() {
	if len(o.pend) == 0 {
		return
	}
	o.w.WriteString("PD")
	for i, q := range o.pend {
		if i > 0 {
			o.w.WriteByte(',')
		}
		fmt.Fprintf(o.w, "%d,%d", q.x, q.y)
	}
	o.line(";")
	o.pend = o.pend[:0]
}

func (o *output) units(p orb.Point) point {
	q := o.frame.Point(p)
	k := o.p.Machine.PlotterUnits
	return point{int(math.Round(q[0] * k)), int(math.Round(q[1] * k))}
}

// write draws a name with the pen, centred on the place the pen stands at.
// Sizes are in cm: a capital is 0.67 of a letter's cell wide.
func (o *output) write(l toolpath.Label) {
	s, c := steady.SincosDegrees(o.frame.TextAngle(l.Angle))
	o.line("SI%.3f,%.3f;DI%.4f,%.4f;LO5;LB%s\x03;", l.Height/10*0.5, l.Height/10, c, s, export.HPGLText(l.Text))
}
