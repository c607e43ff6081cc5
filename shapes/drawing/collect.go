package drawing

import (
	"fmt"
	"sort"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// origin says where in the file a piece came from, and what it is called
// there.
type origin struct {
	kind   string // entity or element name
	entity string // DXF handle or SVG id
	line   int    // of the file, 0 unknown
	layer  string
	block  string // name of the innermost named block or symbol
	group  string // name of the nearest named group
	id     string
	title  string
	class  string
	insert int // counts block references; 0 none
}

// label names the origin in messages: LINE 2F, path "skin".
func (o *origin) label() string {
	switch {
	case o.entity != "":
		return o.kind + " " + clip(o.entity)
	case o.line > 0:
		return fmt.Sprintf("%s at line %d", o.kind, o.line)
	}
	return o.kind
}

// clip bounds a name from a file for use in messages.
func clip(s string) string {
	r := []rune(s)
	if len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return s
}

// A piece is a run of curves joined end to end, mm.
type piece struct {
	curves []curve
	closed bool
	from   *origin
	order  int // place in the file
}

func (p *piece) start() orb.Point { return p.curves[0].start() }
func (p *piece) end() orb.Point   { return p.curves[len(p.curves)-1].end() }

func (p *piece) length() float64 {
	var l float64
	for _, c := range p.curves {
		l += c.length()
	}
	return l
}

// A writing is a text at a place, mm. Centre is its estimated middle.
type writing struct {
	at, centre orb.Point
	height     float64
	text       string
	tag        string // of an attribute
	from       *origin
}

// A spot is a point entity, mm.
type spot struct {
	at   orb.Point
	from *origin
}

// sheet collects what a reader finds and what is wrong with it.
type sheet struct {
	*Drawing
	opt      Options
	pieces   []*piece
	writings []writing
	spots    []spot
	curves   int
	vertices int // of flattened loops
	over     map[[2]string]*PassedOver
	local    []localFault
	dropped  int // problems beyond MaxProblems
	halted   bool
}

func newSheet(name string, opt Options) *sheet {
	if opt.Chord <= 0 {
		opt.Chord = geom.ChordDefault
	}
	opt.Chord = max(opt.Chord, geom.Grid)
	if opt.Join <= 0 {
		opt.Join = JoinDefault
	}
	switch {
	case opt.Gap == 0:
		opt.Gap = GapDefault
	case opt.Gap < 0:
		opt.Gap = 0
	}
	if opt.Names == nil {
		opt.Names = NamesDefault
	}
	return &sheet{Drawing: &Drawing{File: name, toMM: identity}, opt: opt, over: map[[2]string]*PassedOver{}}
}

// problem lists a problem; at is in millimetres, or nil.
func (s *sheet) problem(sev shapes.Severity, from *origin, at *orb.Point, message, hint string) {
	if len(s.Problems) >= MaxProblems && sev != shapes.Fault || len(s.Problems) >= 2*MaxProblems {
		s.dropped++
		return
	}
	p := shapes.Problem{Severity: sev, File: s.File, Message: message, Hint: hint}
	if from != nil {
		p.Entity = from.label()
		p.Line = from.line
	}
	if at != nil {
		q := *at
		if inv, ok := s.toMM.inverse(); ok {
			q = inv.point(q)
		}
		p.At = &q
	}
	s.Problems = append(s.Problems, p)
}

// halt lists a fault that ends the reading.
func (s *sheet) halt(line int, message, hint string) {
	if s.halted {
		return
	}
	s.halted = true
	s.Problems = append(s.Problems, shapes.Problem{Severity: shapes.Fault, File: s.File, Line: line, Message: message, Hint: hint})
}

// passOver counts what is not used.
func (s *sheet) passOver(kind, why, first string) {
	key := [2]string{clip(kind), why}
	p := s.over[key]
	if p == nil {
		if len(s.over) >= MaxProblems {
			return
		}
		p = &PassedOver{Kind: clip(kind), Why: why, First: clip(first)}
		s.over[key] = p
	}
	p.Count++
}

// addPiece takes a run of curves, already in millimetres. Runs with bad
// coordinates or without length are reported and left out.
func (s *sheet) addPiece(curves []curve, closed bool, from *origin) {
	if s.halted {
		return
	}
	s.curves += len(curves)
	if s.curves > MaxCurves {
		s.halt(from.line, fmt.Sprintf("more than %d lines and curves", MaxCurves), "split the drawing, or simplify its curves")
		return
	}
	kept := curves[:0:0]
	for _, c := range curves {
		moves := false
		for _, p := range c.hull() {
			if !geom.InRange(p) {
				s.outOfRange(p, from)
				return
			}
			moves = moves || p != c.start()
		}
		if moves {
			kept = append(kept, c)
		}
	}
	if len(kept) == 0 {
		if len(curves) > 0 {
			at := curves[0].start()
			s.problem(shapes.Repair, from, &at, "has no length and was left out", "")
		}
		return
	}
	s.pieces = append(s.pieces, &piece{curves: kept, closed: closed, from: from, order: len(s.pieces)})
}

func (s *sheet) outOfRange(p orb.Point, from *origin) {
	if p[0] != p[0] || p[1] != p[1] || p[0]-p[0] != 0 || p[1]-p[1] != 0 {
		s.problem(shapes.Fault, from, nil, fmt.Sprintf("coordinate (%g, %g) is not a finite number", p[0], p[1]), "draw it again")
		return
	}
	s.problem(shapes.Fault, from, &p, fmt.Sprintf("coordinate lies more than %g m from the origin", geom.CoordinateLimit/1000), "check the unit, or move the drawing to the origin")
}

// finish turns what was collected into outlines.
func (s *sheet) finish() *Drawing {
	if !s.halted {
		s.assemble()
	}
	if s.dropped > 0 {
		s.Problems = append(s.Problems, shapes.Problem{Severity: shapes.Doubt, File: s.File, Message: fmt.Sprintf("%d further problems are not listed", s.dropped)})
	}
	for _, p := range s.over {
		s.PassedOver = append(s.PassedOver, *p)
	}
	sort.Slice(s.PassedOver, func(i, j int) bool {
		a, b := s.PassedOver[i], s.PassedOver[j]
		return a.Kind < b.Kind || a.Kind == b.Kind && a.Why < b.Why
	})
	return s.Drawing
}
