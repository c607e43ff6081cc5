package jobfile

import (
	"fmt"
	"path/filepath"
	"strings"

	"plyroom/shapes"
)

// maxProblems bounds the list of mistakes; a file with more is of another kind.
const maxProblems = 1000

// A reader gathers a job and everything wrong with it.
type reader struct {
	files    fileSource
	outlines OutlineReader
	// file is the job file's path as given; other paths are relative to it.
	file string
	job  *shapes.Job
	// bare is the unit of lengths without one.
	bare     string
	problems shapes.Problems
	cut      bool // the list of problems is full

	fabrics     map[string]*fabricEntry
	fabricNames []string
	drawings    map[string]*drawingEntry
	// sheets are the same in the order they were read.
	sheets []*drawingEntry
	// together lists the parts that are kept together, until they are known.
	together []*node
	pieces   int
	// lengths are those of rolls, orders and deliveries, until the rules of the
	// table are known.
	lengths []statedLength
}

// fault reports a mistake at a node. The ply it concerns may be empty.
func (r *reader) fault(n *node, ply, message, hint string) {
	r.report(shapes.Problem{
		Severity: shapes.Fault, File: n.file, Line: n.line, Column: n.column,
		Ply: ply, Message: message, Hint: hint,
	})
}

// doubt reports what may be wrong but stops nothing.
func (r *reader) doubt(n *node, ply, message, hint string) {
	r.report(shapes.Problem{
		Severity: shapes.Doubt, File: n.file, Line: n.line, Column: n.column,
		Ply: ply, Message: message, Hint: hint,
	})
}

func (r *reader) report(p shapes.Problem) {
	switch {
	case len(r.problems) < maxProblems:
		r.problems = append(r.problems, p)
	case !r.cut:
		r.cut = true
		r.problems = append(r.problems, shapes.Problem{
			Severity: shapes.Fault, File: r.file,
			Message: fmt.Sprintf("more than %d problems; the rest is not listed", maxProblems),
		})
	}
}

// note adds a remark to the job.
func (r *reader) note(format string, args ...any) {
	if len(r.job.Notes) < maxProblems {
		r.job.Notes = append(r.job.Notes, fmt.Sprintf(format, args...))
	}
}

// beside is a path of the job, relative to the job file's folder.
func (r *reader) beside(path string) string {
	path = filepath.FromSlash(path)
	if filepath.IsAbs(path) {
		return filepath.Clean(path)
	}
	return filepath.Join(filepath.Dir(r.file), path)
}

// badPath reports a path that no file can have.
func (r *reader) badPath(n *node, path string) bool {
	if strings.ContainsRune(path, 0) {
		r.fault(n, "", fmt.Sprintf("%s is no path", quote(path)), "")
		return true
	}
	return false
}
