package jobfile

import (
	"fmt"
	"sort"
	"strings"

	"plyroom/shapes"
)

func (r *reader) readParts(items []*node) {
	first := map[string]*node{}
	for _, n := range items {
		m := r.fields(n, partForm, "")
		if m == nil {
			continue
		}
		r.readPart(m, first)
	}
	for _, name := range r.fabricNames {
		entry := r.fabrics[name]
		if c := entry.fabric.Construction; len(entry.unused) > 0 {
			r.note("%s is a %s and has no direction: what %s as direction or tolerance is not used", quote(name), c, state(entry.unused))
		}
	}
}

// state says who states something: one ply by its name, more by their number.
func state(plies []string) string {
	if len(plies) == 1 {
		return plies[0] + " states"
	}
	return fmt.Sprintf("%d plies state", len(plies))
}

// several lists the first few names and counts the rest.
func several(names []string) string {
	const shown = 3
	if len(names) <= shown {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:shown], ", "), len(names)-shown)
}

func (r *reader) readPart(m *fields, first map[string]*node) {
	p := &shapes.Part{}
	name, named := m.text("part")
	if named {
		p.Name = name
		if other := first[name]; other != nil {
			m.fault("part", fmt.Sprintf("part %s stands twice, first on line %d", quote(name), other.line), "")
		} else {
			first[name] = m.at("part")
		}
	}
	p.Units, _ = m.whole("units")
	p.Revision, _ = m.text("revision")
	set := r.readOutlines(m, p)

	rows, tableRevision := r.lines(m)
	if tableRevision != "" {
		r.agreeOnRevision(p, m.at("ply_table"), "the ply table", tableRevision)
	}
	plies := map[string]*node{}
	for _, n := range rows {
		if ply := r.readPly(n, name, set, plies); ply != nil {
			p.Plies = append(p.Plies, ply)
			r.countPieces(n, p, ply)
		}
	}
	sort.SliceStable(p.Plies, func(i, j int) bool { return p.Plies[i].Order < p.Plies[j].Order })
	r.readStops(m, p)
	r.doubtDirections(m, p)
	r.job.Parts = append(r.job.Parts, p)
}

// lines are the rows of a part's lay-up, from the job file or its table.
func (r *reader) lines(m *fields) (rows []*node, revision string) {
	switch {
	case m.has("plies") && m.has("ply_table"):
		m.fault("ply_table", "the part states both plies and ply_table", "keep one of them")
		return m.list("plies"), ""
	case m.has("plies"):
		return m.list("plies"), ""
	case m.has("ply_table"):
		return r.readTableOf(m)
	default:
		r.fault(m.node, "", `the part lacks "plies"`, `list them, or name a CSV file as "ply_table"`)
		return nil, ""
	}
}

// countPieces keeps the job within MaxPieces.
func (r *reader) countPieces(n *node, p *shapes.Part, ply *shapes.Ply) {
	before := r.pieces
	r.pieces = min(r.pieces+max(0, p.Units)*max(0, ply.Count), 1<<40)
	if before <= MaxPieces && r.pieces > MaxPieces {
		r.fault(n, plyLabel(p.Name, ply.Name), fmt.Sprintf("with this ply the job has more than %d pieces", MaxPieces), "")
	}
}

func plyLabel(part, ply string) string {
	switch {
	case part == "" && ply == "":
		return ""
	case part == "":
		return label(ply)
	case ply == "":
		return label(part)
	}
	return label(part) + ", " + label(ply)
}
