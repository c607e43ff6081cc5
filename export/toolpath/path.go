package toolpath

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// CutKind says what a cut is for.
type CutKind int

// Kinds of cut.
const (
	Outline CutKind = iota
	Hole
	Slit
	// CheckCut is the square that is cut first to be measured.
	CheckCut
)

// String names the kind as documents show it.
func (k CutKind) String() string {
	return [...]string{"outline", "cut-out", "slit", "check square"}[k]
}

// A Cut is one run of the lowered knife in intent; lifts at corners are moves
// within it.
type Cut struct {
	// Number counts from 1 in cutting order.
	Number int
	Kind   CutKind
	// Plies are the indices into Layout.Placed that this cut belongs to: one,
	// or one per layer of a spread; none for a check square.
	Plies []int
	// Ply is the number of the ply, from 1, as a restart names it: its place
	// in Path.Plies. 0 for a check square.
	Ply int
	// Label names the ply for people: part, unit, ply, copy.
	Label string
	// Loop is equal for the parts of one boundary that was divided, and
	// different otherwise.
	Loop int
	// Part and Parts say which part of a divided boundary this is; 1 of 1 for
	// a whole one.
	Part, Parts int
	// Closed cuts do not repeat their first vertex. The first vertex is where
	// the knife goes down.
	Closed bool
	Points orb.LineString
	// Window is the index of the window the cut is made in.
	Window int
}

// A Ply is what one boundary on the table cuts out: a ply, or in a spread one
// of every layer.
type Ply struct {
	// Placed are the indices into Layout.Placed, in layer order.
	Placed []int
	// Label names it for people, as Cut.Label.
	Label string
	// Free is the number of the cut that sets it free: its own last one, or,
	// where edges are cut once and neighbours have cut all of its outline, the
	// last one made by then.
	Free int
}

// A Window is what the machine reaches between two advances of the fabric, mm
// along the roll. The last one may reach beyond the fabric's end.
type Window struct {
	From, To float64
}

// A Head is what stands at the beginning of every cut file.
type Head struct {
	Job, Revision, Layout string
	Layers                []HeadLayer
	// Length and Width are those of the fabric on the table, mm.
	Length, Width float64
	// Usable is the rectangle plies lie in.
	Usable orb.Bound
}

// A HeadLayer names one fabric on the table, 1 at the bottom.
type HeadLayer struct {
	Layer             int
	Fabric, Roll, Lot string
	Face              string
	// RollFrom is where the layout begins on the roll, mm.
	RollFrom float64
}

// A Path is the knife's work on one layout.
type Path struct {
	Head    Head
	Machine Machine
	// Ink says that labels may be drawn on the fabric. Without it they are
	// drawing only and never part of Moves.
	Ink bool
	// Cuts are in cutting order.
	Cuts []Cut
	// Plies are the plies of the whole layout in the order they come free, and
	// so off the table: ply number 1 first. Cuts of one ply may stand between
	// those of others.
	Plies []Ply
	// Restart names the part of the layout that is left after an interruption,
	// such as "from-8"; empty for a whole layout.
	Restart string
	// Labels are names, fibre arrows and marks, in the order of their plies'
	// first cuts.
	Labels []Label
	// Windows has one element at least.
	Windows []Window
	// Moves is everything the head does, in order.
	Moves []Move
	// Warnings are remarks for the operator, such as overcuts that were
	// shortened.
	Warnings []string
	// Stats sums up the moves.
	Stats Stats

	guard *guard
	tours []*tour
	notes []string // warnings of the plan itself
	// inkFrom is the first window whose labels are drawn.
	inkFrom int
}

// Safety is the caution every cut file carries.
var Safety = []string{
	"Keep clear of the moving knife. Lock out the machine before reaching in.",
	"Check scale and origin with a test cut.",
	"Local rules and the machine manual govern.",
}

// Lines is the head of a cut file in plain text, one fact a line, safety last.
// The text is not escaped.
func (p *Path) Lines() []string { return append(p.Facts(), Safety...) }

// Facts are Lines without the safety.
func (p *Path) Facts() []string {
	h := p.Head
	lines := []string{"job: " + h.Job}
	if h.Revision != "" {
		lines = append(lines, "revision: "+h.Revision)
	}
	lines = append(lines, "layout: "+h.Layout)
	for _, l := range h.Layers {
		s := "fabric: " + l.Fabric
		if len(h.Layers) > 1 {
			s = fmt.Sprintf("fabric, layer %d: %s", l.Layer, l.Fabric)
		}
		if l.Roll != "" {
			s += ", roll " + l.Roll
		}
		if l.Lot != "" {
			s += ", lot " + l.Lot
		}
		if l.Face != "" {
			s += ", face " + l.Face
		}
		lines = append(lines, s)
	}
	lines = append(lines, fmt.Sprintf("length: %.1f mm, width %.1f mm", h.Length, h.Width))
	if p.Restart != "" {
		lines = append(lines, fmt.Sprintf("restart: %s of %d", pliesOf(p.Left()), len(p.Plies)))
	}
	cuts := fmt.Sprintf("cuts: %d", len(p.Cuts))
	if n := len(p.Cuts); n > 0 && p.Cuts[n-1].Number > n {
		cuts += ", numbers " + numbersOf(p.Cuts)
	}
	lines = append(lines, cuts)
	if len(p.Windows) > 1 && len(p.Cuts) > 0 {
		a, b := p.Cuts[0].Window, p.Cuts[len(p.Cuts)-1].Window
		which := fmt.Sprintf("window: %d of %d", a+1, len(p.Windows))
		if b > a {
			which = fmt.Sprintf("windows: %d to %d of %d", a+1, b+1, len(p.Windows))
		}
		lines = append(lines, fmt.Sprintf("%s, from %.1f to %.1f mm along the roll", which, p.Windows[a].From, p.Windows[b].To))
	}
	if p.Machine.Name != "" {
		lines = append(lines, "machine: "+p.Machine.Name)
	}
	return append(lines, "machine zero: "+p.zero())
}

// zero says in words where the machine's axes are.
func (p *Path) zero() string {
	first := "along"
	if p.Machine.SwapAxes {
		first = "across"
	}
	s := fmt.Sprintf("%s corner of the fabric, first axis %s the roll", p.Machine.Origin, first)
	if p.DrawingFrame().LeftHanded() {
		s += "; these axes are left-handed, so a machine whose axes are not would cut mirror images"
	}
	return s
}

// Title is the head in one line.
func (p *Path) Title() string {
	s := p.Head.Job
	if p.Head.Revision != "" {
		s += ", revision " + p.Head.Revision
	}
	return strings.TrimPrefix(s+", layout "+p.Head.Layout, ", ")
}

// Tool is the tool or pen number of a cut.
func (p *Path) Tool(k CutKind) int {
	switch k {
	case Hole:
		return p.Machine.Tools.Hole
	case Slit:
		return p.Machine.Tools.Slit
	}
	return p.Machine.Tools.Outline
}
