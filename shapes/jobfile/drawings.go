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
	// faults are those of single outlines, which stop the job only where a ply
	// needs what they may concern.
	faults shapes.Problems
	// used are the names of outlines that plies take from it; missed says that
	// a ply names an outline it does not hold.
	used   map[string]bool
	missed bool
	// plain is the same drawing seen from the other side, or nil.
	plain *drawingEntry
}

// file is the entry that keeps the faults: one for both sides of a drawing.
func (d *drawingEntry) file() *drawingEntry {
	if d.plain != nil {
		return d.plain
	}
	return d
}

// An outlineSet is the outlines of one part by name.
type outlineSet struct {
	byName map[string]*shapes.Outline
	// from is the drawing an outline is in; sheets are all drawings.
	from   map[string]*drawingEntry
	sheets []*drawingEntry
	// twice are names that more than one outline carries, with their sources.
	twice map[string][]string
	names []string
	// complete is false where a drawing could not be read whole, so that an
	// unknown name means nothing.
	complete bool
}

// A sheetEntry is one entry of a part's outlines.
type sheetEntry struct {
	// path is relative to where the program runs.
	path string
	opt  drawing.Options
	// view is the entry's viewed_from, or empty.
	view string
	// revision is the drawing's own, or empty, and stated where.
	revision string
	stated   *node
}

// readOutlines reads the drawings of a part.
func (r *reader) readOutlines(part *fields, p *shapes.Part) *outlineSet {
	set := &outlineSet{byName: map[string]*shapes.Outline{}, from: map[string]*drawingEntry{}, twice: map[string][]string{}, complete: true}
	view, ok := part.word("viewed_from")
	set.complete = ok
	items := part.list("outlines")
	if len(items) == 0 {
		set.complete = false
	}
	given := map[string]*node{}
	for _, n := range items {
		e, ok := r.readSheetEntry(n)
		if !ok {
			set.complete = false
			continue
		}
		if other := given[e.path]; other != nil {
			r.fault(n, "", fmt.Sprintf("drawing %s stands twice, first on line %d", quote(filepath.Base(e.path)), other.line), "")
			continue
		}
		given[e.path] = n
		if e.revision != "" {
			r.agreeOnRevision(p, e.stated, "the drawing", e.revision)
		}
		if e.view == "" {
			e.view = view
		}
		set.add(r.drawingAt(n, e.path, e.opt, e.view == "tool_side"))
	}
	return set
}

// add takes the outlines of one drawing in.
func (s *outlineSet) add(d *drawingEntry) {
	if !d.ok {
		s.complete = false
	}
	s.sheets = append(s.sheets, d)
	for _, o := range d.outlines {
		first := s.byName[o.Name]
		if first == nil {
			s.byName[o.Name] = o
			s.from[o.Name] = d
			s.names = append(s.names, o.Name)
			continue
		}
		if s.twice[o.Name] == nil {
			s.twice[o.Name] = []string{first.Source}
		}
		s.twice[o.Name] = append(s.twice[o.Name], o.Source)
	}
}

// take is the outline of a name for a ply, or nil.
func (s *outlineSet) take(name string) *shapes.Outline {
	o := s.byName[name]
	if o == nil {
		for _, d := range s.sheets {
			d.file().missed = true
		}
		return nil
	}
	s.from[name].file().used[name] = true
	return o
}

// reportSpared reports the faults of single outlines: as doubts where no ply
// of the job needs what they may concern.
func (r *reader) reportSpared() {
	for _, d := range r.sheets {
		for _, p := range d.faults {
			needed := d.missed
			for _, n := range p.Near {
				needed = needed || d.used[n]
			}
			if !needed {
				p.Severity = shapes.Doubt
				p.Message += ", and was left out; no ply uses it"
			}
			r.report(p)
		}
	}
}

// agreeOnRevision takes the revision of a part's drawing or table in: it
// becomes the part's, or must be the same.
func (r *reader) agreeOnRevision(p *shapes.Part, n *node, what, revision string) {
	switch {
	case p.Revision == "":
		p.Revision = revision
	case p.Revision != revision:
		r.fault(n, "", fmt.Sprintf("%s is of revision %s, the part of revision %s", what, quote(revision), quote(p.Revision)), "revisions are not mixed")
	}
}

// readSheetEntry reads one drawing's path and how it is read; ok is false,
// and said why, where there is no path.
func (r *reader) readSheetEntry(n *node) (e sheetEntry, ok bool) {
	e.opt.Chord = r.job.Cutting.ChordTolerance
	at := n
	var name string
	switch n.kind {
	case mapNode:
		m := r.fields(n, outlinesForm, "")
		if name, ok = m.text("file"); !ok {
			return e, false
		}
		at = m.at("file")
		if m.has("viewed_from") {
			if e.view, ok = m.word("viewed_from"); !ok {
				return e, false
			}
		}
		e.revision, _ = m.text("revision")
		e.stated = m.at("revision")
		e.opt = r.readSheetOptions(m, e.opt)
	case scalarNode:
		if name, ok = r.text(n, &value{kind: textKind}, "outlines", ""); !ok {
			return e, false
		}
	default:
		if n.kind == listNode {
			r.fault(n, "", fmt.Sprintf("outlines: want a path or a mapping, found %s", n.describe()), "")
		}
		return e, false
	}
	if r.badPath(at, name) {
		return e, false
	}
	e.path = r.beside(name)
	e.opt.Entry = scalar(name)
	return e, true
}

func (r *reader) readSheetOptions(m *fields, opt drawing.Options) drawing.Options {
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
	return opt
}

// drawingAt reads a drawing once for each way of reading it.
func (r *reader) drawingAt(n *node, path string, opt drawing.Options, mirrored bool) *drawingEntry {
	reading := opt
	reading.Entry = "" // another way to write the path is no other drawing
	id := fmt.Sprintf("%q %+v %v", path, reading, mirrored)
	if e := r.drawings[id]; e != nil {
		return e
	}
	e := &drawingEntry{used: map[string]bool{}}
	r.drawings[id] = e
	r.sheets = append(r.sheets, e)
	if mirrored {
		plain := r.drawingAt(n, path, opt, false)
		e.ok, e.plain = plain.ok, plain
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
		if p.Severity == shapes.Fault && p.Local {
			e.faults = append(e.faults, p)
			continue
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
