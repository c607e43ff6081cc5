package shapes

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// Severity says what a problem means for the work.
type Severity int

// A Repair was made by the reader and is worth a look, a Doubt may be wrong,
// a Fault stops the work.
const (
	Repair Severity = iota
	Doubt
	Fault
)

// String names the severity in lower case.
func (s Severity) String() string {
	return [...]string{"repair", "doubt", "fault"}[s]
}

// A Problem is one thing wrong with an input: what, where, and what to do.
type Problem struct {
	Severity Severity
	// File is the path as the user gave it.
	File string
	// Line and Column count from 1; 0 where they mean nothing.
	Line, Column int
	// Entity is a DXF handle, an SVG element id, or the like.
	Entity string
	// At is a place in the drawing's own units; nil where there is none.
	At *orb.Point
	// Ply names the part and ply concerned, or is empty.
	Ply string
	// Message says what is wrong, without capital or full stop.
	Message string
	// Hint says what to do about it, or is empty.
	Hint string
	// Local says that the problem is of one outline alone, which was left out,
	// and of no other but those named Near.
	Local bool
	// Near are the names of outlines that a local problem may concern.
	Near []string
}

// Error writes the problem on one line:
// file:line:column: entity, (x, y), ply: message; hint.
func (p Problem) Error() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File)
		if p.Line > 0 {
			fmt.Fprintf(&b, ":%d", p.Line)
			if p.Column > 0 {
				fmt.Fprintf(&b, ":%d", p.Column)
			}
		}
		b.WriteString(": ")
	}
	var where []string
	if p.Ply != "" {
		where = append(where, p.Ply)
	}
	if p.Entity != "" {
		where = append(where, p.Entity)
	}
	if p.At != nil {
		where = append(where, fmt.Sprintf("at (%.6g, %.6g)", p.At[0], p.At[1]))
	}
	if len(where) > 0 {
		b.WriteString(strings.Join(where, ", "))
		b.WriteString(": ")
	}
	b.WriteString(p.Message)
	if p.Hint != "" {
		b.WriteString("; ")
		b.WriteString(p.Hint)
	}
	return b.String()
}

// Problems is everything found wrong with one input. As an error it is one
// line per problem.
type Problems []Problem

// Error joins the problems, one a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Faults returns the problems that stop the work.
func (ps Problems) Faults() Problems {
	var out Problems
	for _, p := range ps {
		if p.Severity == Fault {
			out = append(out, p)
		}
	}
	return out
}

// Err returns the faults as an error, or nil where there are none.
func (ps Problems) Err() error {
	if f := ps.Faults(); len(f) > 0 {
		return f
	}
	return nil
}
