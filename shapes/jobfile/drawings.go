package jobfile

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/drawing"
	"plyroom/shapes/geom"
)

// An OutlineReader reads the outlines of one drawing. The problems are what it
// found in the drawing; the error says that there was no drawing to read.
type OutlineReader func(path string, opt drawing.Options) ([]*shapes.Outline, shapes.Problems, error)

// ReadDrawing reads a DXF or SVG drawing from a regular file.
func ReadDrawing(path string, opt drawing.Options) ([]*shapes.Outline, shapes.Problems, error) {
	// Looking before opening keeps a pipe or a device from being waited for.
	info, err := os.Stat(path)
	if err != nil {
		return nil, nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, nil, errNotRegular
	}
	d, _ := drawing.Read(path, opt) // the error is the problems' faults
	return d.Outlines, d.Problems, nil
}

// A drawingEntry is a drawing read once for all parts that name it.
type drawingEntry struct {
	outlines []*shapes.Outline
	ok       bool
}

// An outlineSet is the outlines of one part by name.
type outlineSet struct {
	byName map[string]*shapes.Outline
	// twice are names that more than one outline carries, with their sources.
	twice map[string][]string
	names []string
	// complete is false where a drawing could not be read whole, so that an
	// unknown name means nothing.
	complete bool
}

// readOutlines reads the drawings of a part.
func (r *reader) readOutlines(part *fields) *outlineSet {
	set := &outlineSet{byName: map[string]*shapes.Outline{}, twice: map[string][]string{}, complete: true}
	view, ok := part.word("viewed_from")
	set.complete = ok
	items := part.list("outlines")
	if len(items) == 0 {
		set.complete = false
	}
	given := map[string]*node{}
	for _, n := range items {
		path, opt, fileView, ok := r.readOutlinesEntry(n, view)
		if !ok {
			set.complete = false
			continue
		}
		if other := given[path]; other != nil {
			r.fault(n, "", fmt.Sprintf("drawing %s stands twice, first on line %d", quote(filepath.Base(path)), other.line), "")
			continue
		}
		given[path] = n
		entry := r.drawingAt(n, path, opt, fileView == "tool_side")
		if !entry.ok {
			set.complete = false
		}
		for _, o := range entry.outlines {
			if first := set.byName[o.Name]; first != nil {
				if set.twice[o.Name] == nil {
					set.twice[o.Name] = []string{first.Source}
				}
				set.twice[o.Name] = append(set.twice[o.Name], o.Source)
				continue
			}
			set.byName[o.Name] = o
			set.names = append(set.names, o.Name)
		}
	}
	return set
}

// readOutlinesEntry reads one drawing's path and how it is read.
func (r *reader) readOutlinesEntry(n *node, view string) (path string, opt drawing.Options, fileView string, ok bool) {
	opt.Chord = r.job.Cutting.ChordTolerance
	at := n
	var name string
	switch n.kind {
	case mapNode:
		m := r.fields(n, outlinesForm, "")
		if name, ok = m.text("file"); !ok {
			return "", opt, view, false
		}
		at = m.at("file")
		if m.has("viewed_from") {
			if view, ok = m.word("viewed_from"); !ok {
				return "", opt, view, false
			}
		}
		opt.Unit, _ = m.word("units")
		opt.PxPerInch = m.figure("px_per_inch")
		opt.Join = m.figure("join")
		if m.has("close_gaps") {
			// 0 closes none, which the reader of drawings writes as negative.
			if opt.Gap = m.figure("close_gaps"); opt.Gap == 0 {
				opt.Gap = -1
			}
		}
		opt.PerLayer = m.flag("per_layer")
		for _, s := range m.list("names") {
			if w, ok := r.word(s, m.key("names").of, "names", ""); ok {
				opt.Names = append(opt.Names, drawing.NameSource(w))
			}
		}
	case scalarNode:
		if name, ok = r.text(n, &value{kind: textKind}, "outlines", ""); !ok {
			return "", opt, view, false
		}
	default:
		if n.kind == listNode {
			r.fault(n, "", fmt.Sprintf("outlines: want a path or a mapping, found %s", n.describe()), "")
		}
		return "", opt, view, false
	}
	if r.badPath(at, name) {
		return "", opt, view, false
	}
	return r.beside(name), opt, view, true
}

// drawingAt reads a drawing once for each way of reading it.
func (r *reader) drawingAt(n *node, path string, opt drawing.Options, mirrored bool) *drawingEntry {
	id := fmt.Sprintf("%q %+v %v", path, opt, mirrored)
	if e := r.drawings[id]; e != nil {
		return e
	}
	e := &drawingEntry{}
	r.drawings[id] = e
	if mirrored {
		plain := r.drawingAt(n, path, opt, false)
		e.ok = plain.ok
		for _, o := range plain.outlines {
			e.outlines = append(e.outlines, Mirrored(o))
		}
		return e
	}
	outlines, problems, err := r.outlines(path, opt)
	for _, p := range problems {
		if p.File == "" {
			p.File = path
		}
		r.report(p)
	}
	if err != nil {
		r.fault(n, "", fmt.Sprintf("drawing %s cannot be read: %s", quote(filepath.ToSlash(path)), why(err)), r.nearFile(path))
		return e
	}
	e.outlines, e.ok = outlines, len(problems.Faults()) == 0
	if e.ok && len(outlines) == 0 {
		r.fault(n, "", fmt.Sprintf("drawing %s holds no outline", quote(filepath.ToSlash(path))), "")
		e.ok = false
	}
	return e
}

// nearFile suggests a file of the same folder and kind for one that is not
// there.
func (r *reader) nearFile(path string) string {
	var same []string
	for _, name := range r.files.names(filepath.Dir(path)) {
		if strings.EqualFold(filepath.Ext(name), filepath.Ext(path)) {
			same = append(same, name)
		}
	}
	slices.Sort(same)
	if slices.Contains(same, filepath.Base(path)) {
		return ""
	}
	return suggest(filepath.Base(path), same)
}

// Mirrored is an outline seen from the other side: mirrored about the datum
// axis, y to -y. Marks are mirrored with it.
func Mirrored(o *shapes.Outline) *shapes.Outline {
	t := geom.Transform{Mirror: true}
	out := *o
	out.Exterior = t.Ring(o.Exterior)
	out.Holes = make([]orb.Ring, len(o.Holes))
	for i, h := range o.Holes {
		out.Holes[i] = t.Ring(h)
	}
	out.Marks = make([]shapes.Mark, len(o.Marks))
	for i, m := range o.Marks {
		m.Line = t.Line(m.Line)
		out.Marks[i] = m
	}
	return &out
}
