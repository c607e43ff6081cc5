package toolpath

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Kind is how the knife takes corners.
type Kind string

// Kinds of knife.
const (
	// Tangential: the blade is turned by a motor; it lifts at sharp corners.
	Tangential Kind = "tangential"
	// Drag: the blade trails behind its holder and swings round at corners.
	Drag Kind = "drag"
	// Wheel: a round blade turned by a motor; it cuts ahead of and behind the
	// point it is aimed at.
	Wheel Kind = "wheel"
)

// Units are the units of length in a cut file, where its format has a choice.
type Units string

// Units of length.
const (
	Millimetres Units = "mm"
	Inches      Units = "in"
)

// Corner names a corner of the fabric as the layout is drawn: the roll runs
// from left to right, the lower selvedge at the bottom.
type Corner string

// Corners of the fabric.
const (
	LowerLeft  Corner = "lower-left"
	LowerRight Corner = "lower-right"
	UpperLeft  Corner = "upper-left"
	UpperRight Corner = "upper-right"
)

// Tools are the tool or pen numbers of the machine. All marks of a window come
// before its first cut, while the fabric is whole, so that pen and knife change
// once a window; cuts are ordered for short travel, not for few changes of
// tool.
type Tools struct {
	Outline int `yaml:"outline"`
	Hole    int `yaml:"hole"`
	Slit    int `yaml:"slit"`
	// Mark is the pen for marks, names and fibre arrows, used only where the
	// job allows ink on the ply.
	Mark int `yaml:"mark"`
}

// A Machine is the profile of one cutter. The zero value of a field means its
// default, unless the field says otherwise; Defaults fills them in. In a file
// that ReadMachine reads, a written 0 is 0.
type Machine struct {
	// Name is shown in the head of the file.
	Name string `yaml:"name"`
	// Kind of knife; tangential by default.
	Kind Kind `yaml:"kind"`

	// Units of RS-274 and DXF coordinates; mm by default. Every other length
	// of the profile is in mm.
	Units Units `yaml:"units"`
	// Origin is the corner of the fabric that the machine calls zero; lower
	// left by default. Both machine axes run from it along the fabric's edges
	// into the fabric. Where the fabric is drawn on between windows, it is the
	// corner of what the machine reaches. This says where the axes of the machine are, it does
	// not turn the work: the same shapes are cut whatever it says, provided it
	// is true. SVG drawings do not follow it.
	Origin Corner `yaml:"origin"`
	// SwapAxes says that the machine's first axis runs across the roll.
	SwapAxes bool `yaml:"swap_axes"`
	// OffsetX and OffsetY are the machine's coordinates of that corner, mm.
	OffsetX float64 `yaml:"offset_x"`
	OffsetY float64 `yaml:"offset_y"`

	// Feed is the speed along a cut, mm/min; 20,000 by default.
	Feed float64 `yaml:"feed"`
	// Rapid is the speed with the knife up, mm/min; 60,000 by default.
	Rapid float64 `yaml:"rapid"`
	// Acceleration of the head, mm/s²; 3,000 by default.
	Acceleration float64 `yaml:"acceleration"`
	// LiftTime is the time to raise or to lower the knife once, s; 0.15 by
	// default.
	LiftTime float64 `yaml:"lift_time"`
	// TurnSpeed is how fast a lifted knife is turned, degrees/s; 720 by
	// default.
	TurnSpeed float64 `yaml:"turn_speed"`
	// PauseTime is the time to advance the fabric and start again, s; 30 by
	// default.
	PauseTime float64 `yaml:"pause_time"`

	// CornerAngle is the change of direction above which the knife lifts and
	// turns (or a drag knife swings round the corner), degrees; 30 by default.
	CornerAngle float64 `yaml:"corner_angle"`
	// Overcut is how far a cut runs on past a lift corner and past its own
	// beginning, mm; 0 by default. It is shortened where it would enter a ply.
	Overcut float64 `yaml:"overcut"`
	// BladeOffset is how far a drag knife's tip trails its holder, mm; 0.75 by
	// default for a drag knife.
	BladeOffset float64 `yaml:"blade_offset"`
	// LeadIn is the length of each of two short strokes at right angles, in the
	// waste, that turn a drag knife's blade before the first cut of a file, mm:
	// how it stood before nobody knows. Six blade offsets or more turn it to
	// within a degree or two; 5 by default for a drag knife, 0 for none.
	LeadIn float64 `yaml:"lead_in"`
	// WheelRadius and WheelDepth are the radius of a wheel and how deep it
	// goes below the top of the fabric, mm; 14 and 3 by default for a wheel.
	WheelRadius float64 `yaml:"wheel_radius"`
	WheelDepth  float64 `yaml:"wheel_depth"`
	// WheelShorten stops a wheel short of a corner where it would cut into a
	// ply; the last of the fabric's depth is then left uncut there. Without
	// it, such corners are only reported.
	WheelShorten bool `yaml:"wheel_shorten"`
	// Once cuts edges that two plies share only once.
	Once bool `yaml:"once"`

	// CheckSquare is the side of a square, mm, that is cut first of all, with
	// legs along the roll and at +45° inside, to be measured before the work
	// goes on; 0, the default, cuts none. It takes the first free place.
	CheckSquare float64 `yaml:"check_square"`

	// Along bounds how far behind the rear-most uncut ply a cut may begin, mm;
	// 1,000 by default. A negative value sets no bound.
	Along float64 `yaml:"along"`
	// Window is how much of the length the machine reaches at once, mm; 0: the
	// length of the job's table, or no limit without one.
	Window float64 `yaml:"window"`
	// Join is how far two parts of a cut that was divided between windows
	// overlap, mm; 2 by default.
	Join float64 `yaml:"join"`

	// Tools are tool or pen numbers; all cuts 1 and marks 2 by default.
	Tools Tools `yaml:"tools"`
	// KnifeDown and KnifeUp are the words that lower and raise the knife in
	// RS-274; by default moves of Z to -Depth and to Clearance.
	KnifeDown string `yaml:"knife_down"`
	KnifeUp   string `yaml:"knife_up"`
	// PenDown and PenUp are the words that lower and raise the pen that marks;
	// those of the knife by default.
	PenDown string `yaml:"pen_down"`
	PenUp   string `yaml:"pen_up"`
	// ToolChange are lines that change the tool in RS-274, "%s" standing for
	// its number; "T%s M6" by default. They are written only where a program
	// uses more than one tool.
	ToolChange []string `yaml:"tool_change"`
	// Clearance and Depth are the heights of the raised knife above and of the
	// lowered knife below the Z zero, mm; 5 and 0 by default. Both are used
	// only where the words are not set.
	Clearance float64 `yaml:"clearance"`
	Depth     float64 `yaml:"depth"`
	// TurnAxis is the letter of an axis that turns the knife, written in
	// RS-274 with the heading in degrees; none by default, for controllers
	// that find the heading themselves.
	TurnAxis string `yaml:"turn_axis"`
	// Advance are lines that advance the fabric between windows; "%s" in a
	// line stands for the length, in the file's units. Without them a writer
	// refuses a path of several windows; see Path.OnlyWindow.
	Advance []string `yaml:"advance"`
	// ArcTolerance lets curves be written as arcs that stand off the record's
	// straight edges by so much at most, mm, on either side; 0, the default,
	// writes straight lines only. The record's edges stand off the drawn curve
	// by the job's chord_tolerance, so a little more than half of that keeps
	// nearly every arc.
	ArcTolerance float64 `yaml:"arc_tolerance"`
	// Decimals of RS-274 coordinates; 3 by default for mm, 4 for inches.
	Decimals int `yaml:"decimals"`
	// PlotterUnits per mm in HP-GL; 40 by default.
	PlotterUnits float64 `yaml:"plotter_units"`
	// PlotterSpeed is the speed with the knife or pen down that HP-GL asks for
	// (VS), cm/s; 0, the default, leaves it as it is set on the machine.
	PlotterSpeed float64 `yaml:"plotter_speed"`
	// LineEnding is "lf" (default) or "crlf".
	LineEnding string `yaml:"line_ending"`
	// Header and Footer are lines written as they are before and after the
	// work in HP-GL and RS-274.
	Header []string `yaml:"header"`
	Footer []string `yaml:"footer"`

	// filled says that the defaults are in, so that a 0 is meant.
	filled bool
}

// Defaults returns the machine with every unset field at its default. Of a
// machine that has them already it changes nothing.
func (m Machine) Defaults() Machine {
	if m.filled {
		return m
	}
	m.filled = true
	text(&m.Kind, Tangential)
	text(&m.Units, Millimetres)
	text(&m.Origin, LowerLeft)
	text(&m.LineEnding, "lf")
	number(&m.Feed, 20000)
	number(&m.Rapid, 60000)
	number(&m.Acceleration, 3000)
	number(&m.LiftTime, 0.15)
	number(&m.TurnSpeed, 720)
	number(&m.PauseTime, 30)
	number(&m.CornerAngle, 30)
	number(&m.Along, 1000)
	number(&m.Join, 2)
	number(&m.Clearance, 5)
	number(&m.PlotterUnits, 40)
	switch m.Kind {
	case Drag:
		number(&m.BladeOffset, 0.75)
		number(&m.LeadIn, 5)
	case Wheel:
		number(&m.WheelRadius, 14)
		number(&m.WheelDepth, 3)
	}
	for _, t := range []*int{&m.Tools.Outline, &m.Tools.Hole, &m.Tools.Slit} {
		if *t == 0 {
			*t = 1
		}
	}
	if m.ToolChange == nil {
		m.ToolChange = []string{"T%s M6"}
	}
	if m.Tools.Mark == 0 {
		m.Tools.Mark = 2
	}
	if m.Decimals == 0 {
		m.Decimals = 3
		if m.Units == Inches {
			m.Decimals = 4
		}
	}
	return m
}

func text[T ~string](p *T, def T) {
	if *p == "" {
		*p = def
	}
}

func number(p *float64, def float64) {
	if *p == 0 {
		*p = def
	}
}

// A fieldError is a field of a profile that cannot be.
type fieldError struct{ field, says string }

func (e *fieldError) Error() string { return "machine profile: " + e.words() }
func (e *fieldError) words() string { return e.field + " " + e.says }

func wrong(field, format string, args ...any) error {
	return &fieldError{field, fmt.Sprintf(format, args...)}
}

// plainNumber writes a number without an exponent.
func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Validate reports the first field of a machine, defaults filled in, that
// cannot be.
func (m Machine) Validate() error {
	switch m.Kind {
	case Tangential, Drag, Wheel:
	default:
		return wrong("kind", "%q; it is tangential, drag or wheel", m.Kind)
	}
	switch m.Units {
	case Millimetres, Inches:
	default:
		return wrong("units", "%q; they are mm or in", m.Units)
	}
	switch m.Origin {
	case LowerLeft, LowerRight, UpperLeft, UpperRight:
	default:
		return wrong("origin", "%q; it is lower-left, lower-right, upper-left or upper-right", m.Origin)
	}
	if m.LineEnding != "lf" && m.LineEnding != "crlf" {
		return wrong("line_ending", "%q; it is lf or crlf", m.LineEnding)
	}
	if m.Along == 0 {
		return wrong("along", "is 0; it is above 0, or negative for no bound")
	}
	if (m.PenDown == "") != (m.PenUp == "") {
		return wrong("pen_down", "and pen_up go together: one of them is not set")
	}
	if m.Clearance == 0 && m.KnifeUp == "" {
		return wrong("clearance", "is 0 and knife_up is not set: the knife would never be raised")
	}
	leastDecimals, leastRadius := 0.0, 0.0
	if m.Units == Inches {
		leastDecimals = 2 // a whole inch or a tenth is no place to cut at
	}
	if least := map[Units]int{Millimetres: 3, Inches: 4}[m.Units]; m.ArcTolerance > 0 && m.Decimals < least {
		return wrong("decimals", "is %d; arcs (arc_tolerance) need %d or more, or a controller would refuse them", m.Decimals, least)
	}
	if m.Kind == Wheel {
		leastRadius = 1
	}
	for _, f := range []struct {
		name     string
		v        float64
		low, top float64
	}{
		{"feed", m.Feed, 1, 1e6}, {"rapid", m.Rapid, 1, 1e6}, {"acceleration", m.Acceleration, 1, 1e6},
		{"lift_time", m.LiftTime, 0, 60}, {"turn_speed", m.TurnSpeed, 1, 1e6}, {"pause_time", m.PauseTime, 0, 1e5},
		{"corner_angle", m.CornerAngle, 1, 180}, {"overcut", m.Overcut, 0, 50}, {"blade_offset", m.BladeOffset, 0, 20}, {"lead_in", m.LeadIn, 0, 50},
		{"wheel_radius", m.WheelRadius, leastRadius, 200}, {"wheel_depth", m.WheelDepth, 0, 2 * m.WheelRadius},
		{"check_square", m.CheckSquare, 0, 500}, {"arc_tolerance", m.ArcTolerance, 0, 0.1}, {"along", m.Along, -1e9, 1e9}, {"window", m.Window, 0, 1e6}, {"join", m.Join, 0, 50},
		{"clearance", m.Clearance, 0, 500}, {"depth", m.Depth, 0, 100}, {"plotter_units", m.PlotterUnits, 1, 10000}, {"plotter_speed", m.PlotterSpeed, 0, 1000},
		{"offset_x", m.OffsetX, -1e6, 1e6}, {"offset_y", m.OffsetY, -1e6, 1e6},
		{"decimals", float64(m.Decimals), leastDecimals, 6},
		{"outline", float64(m.Tools.Outline), 1, 99}, {"hole", float64(m.Tools.Hole), 1, 99},
		{"slit", float64(m.Tools.Slit), 1, 99}, {"mark", float64(m.Tools.Mark), 1, 99},
	} {
		if math.IsNaN(f.v) || f.v < f.low || f.v > f.top {
			return wrong(f.name, "is %s; it is from %s to %s", plainNumber(f.v), plainNumber(f.low), plainNumber(f.top))
		}
	}
	switch m.TurnAxis {
	case "", "A", "B", "C", "U", "V", "W":
	default:
		return wrong("turn_axis", "%q; it is one of A B C U V W", m.TurnAxis)
	}
	return m.validateLines()
}

// validateLines checks the lines that go into a file as they are: they come
// from the shop's own profile, but a control character in one is a mistake.
func (m Machine) validateLines() error {
	lines := append([]string{m.KnifeDown, m.KnifeUp, m.PenDown, m.PenUp}, m.Header...)
	lines = append(append(append(lines, m.Footer...), m.Advance...), m.ToolChange...)
	for _, l := range lines {
		if strings.ContainsFunc(l, func(r rune) bool { return r < ' ' && r != '\t' && r != 0x1b && r != 0x03 || r > '~' }) {
			return fmt.Errorf("machine profile: line %q holds characters that a controller does not read", l)
		}
	}
	return nil
}

// Reach is how far a wheel cuts past the point it is aimed at, mm: half the
// chord of the wheel at the top of the fabric, √(r² - (r-d)²). 0 for other
// knives.
func (m Machine) Reach() float64 {
	if m.Kind != Wheel || m.WheelDepth <= 0 {
		return 0
	}
	h := m.WheelRadius - math.Min(m.WheelDepth, m.WheelRadius)
	return math.Sqrt(float64(m.WheelRadius*m.WheelRadius) - float64(h*h))
}

// Newline is the line ending as bytes.
func (m Machine) Newline() string {
	if m.LineEnding == "crlf" {
		return "\r\n"
	}
	return "\n"
}
