package jobfile

import (
	"fmt"
	"strings"

	"plyroom/shapes"
)

// readPly reads one line of a lay-up; nil where it is no mapping.
func (r *reader) readPly(n *node, part string, set *outlineSet, named map[string]*node) *shapes.Ply {
	// The ply's name goes into every message about it.
	who := plyLabel(part, "")
	if n.kind == mapNode {
		for _, p := range n.pairs {
			if p.key.text == "ply" && p.value.kind == scalarNode && strings.TrimSpace(p.value.text) != "" {
				who = plyLabel(part, strings.TrimSpace(p.value.text))
			}
		}
	}
	m := r.fields(n, plyForm, who)
	if m == nil {
		return nil
	}
	ply := &shapes.Ply{File: n.file, Line: n.line}
	ply.Order, _ = m.whole("order")
	if name, ok := m.text("ply"); ok {
		ply.Name = name
		if other := named[name]; other != nil {
			m.fault("ply", fmt.Sprintf("ply %s stands twice in this part, first on line %d", quote(name), other.line), "")
		} else {
			named[name] = m.at("ply")
		}
	}
	r.readPlyOutline(m, ply, set)
	entry := r.readPlyFabric(m, ply)
	r.readPlyDirection(m, ply, entry)
	r.readPlyCount(m, ply)
	ply.Trim = r.job.Cutting.Trim
	if m.has("trim") {
		ply.Trim = m.figure("trim")
	}
	ply.Split = r.readSplit(m, ply)
	ply.Bag, _ = m.text("bag")
	ply.Note, _ = m.text("note")
	return ply
}

func (r *reader) readPlyOutline(m *fields, ply *shapes.Ply, set *outlineSet) {
	name, ok := m.text("outline")
	if !ok {
		return
	}
	ply.Outline = set.take(name)
	if sources := set.twice[name]; len(sources) > 0 {
		quoted := make([]string, len(sources))
		for i, s := range sources {
			quoted[i] = quote(s)
		}
		m.fault("outline", fmt.Sprintf("%d outlines of this part are called %s: %s", len(sources), quote(name), several(quoted)), "")
		return
	}
	if ply.Outline == nil && set.complete {
		m.fault("outline", "unknown outline "+quote(name), suggest(name, set.names))
	}
}

func (r *reader) readPlyFabric(m *fields, ply *shapes.Ply) *fabricEntry {
	name, ok := m.text("fabric")
	if !ok {
		return nil
	}
	entry := r.fabrics[name]
	if entry == nil {
		m.fault("fabric", "unknown fabric "+quote(name), suggest(name, r.fabricNames))
		return nil
	}
	ply.Fabric = entry.fabric
	return entry
}

func (r *reader) readPlyDirection(m *fields, ply *shapes.Ply, entry *fabricEntry) {
	direction, ok := m.number("direction")
	ply.Direction = shapes.NormalDirection(direction)
	ply.Tolerance = m.figure("tolerance")
	if entry == nil || entry.fabric.Construction == "" {
		return
	}
	if entry.fabric.Construction.Directionless() {
		if ok && direction != 0 || ply.Tolerance != 0 {
			entry.unused = append(entry.unused, m.ply)
		}
		return
	}
	if !m.has("direction") {
		r.fault(m.node, m.ply, `the ply lacks "direction"`, fmt.Sprintf("fabric %s has one", quote(entry.fabric.Name)))
	}
}

func (r *reader) readPlyCount(m *fields, ply *shapes.Ply) {
	var okCount, okHand bool
	ply.Count, okCount = m.whole("count")
	ply.OppositeHand, okHand = m.whole("opposite_hand")
	if okCount && okHand && ply.OppositeHand > ply.Count {
		m.fault("opposite_hand", fmt.Sprintf("opposite_hand is %d but count only %d", ply.OppositeHand, ply.Count), "count is all pieces, both hands")
	}
}

// readSplit reads how a ply may be divided: a mapping, "lap", "lap 50 mm",
// "butt" or "allowed".
func (r *reader) readSplit(m *fields, ply *shapes.Ply) *shapes.Split {
	n := m.values["split"]
	if n == nil || n.kind == nullNode {
		return nil
	}
	unidirectional := ply.Fabric != nil && ply.Fabric.Construction == shapes.Unidirectional
	if n.kind == scalarNode {
		if n = r.longSplit(n, m.ply); n == nil {
			return nil
		}
	}
	if n.kind != mapNode {
		m.fault("split", fmt.Sprintf("split: want a word or a mapping, found %s", n.describe()), "")
		return nil
	}
	sm := r.fields(n, splitForm, m.ply)
	s := &shapes.Split{
		MinPanel: sm.figure("min_panel"),
		Stagger:  sm.figure("stagger"),
		Seams:    sm.numbers("seams"),
		Allowed:  sm.flag("allowed"),

		MinSaving: sm.figure("min_saving"),
	}
	joint, ok := sm.word("joint")
	switch {
	case ok:
		s.Joint = shapes.JointKind(joint)
	case unidirectional:
		s.Joint = shapes.JointButt
	default:
		s.Joint = shapes.JointLap
	}
	if unidirectional && s.Joint == shapes.JointLap && ok {
		sm.fault("joint", "a unidirectional ply is butted along the fibre, never lapped", `write "butt"`)
	}
	overlap, given := sm.number("overlap")
	switch {
	case s.Joint == shapes.JointLap && !sm.has("overlap"):
		s.Overlap = defaultOverlap
	case s.Joint == shapes.JointLap && given && overlap == 0:
		sm.fault("overlap", "a lap has an overlap of more than 0 mm", `write "butt" for none`)
	case s.Joint == shapes.JointButt && given && overlap != 0:
		sm.fault("overlap", "a butt joint has no overlap", "")
	default:
		s.Overlap = overlap
	}
	for i := 1; i < len(s.Seams); i++ {
		if s.Seams[i] <= s.Seams[i-1] {
			sm.fault("seams", "seams are listed in rising order, each once", "")
			break
		}
	}
	return s
}

// longSplit turns the short form of a split into its mapping; nil where it is
// wrong.
func (r *reader) longSplit(n *node, ply string) *node {
	word, rest, _ := strings.Cut(strings.TrimSpace(n.text), " ")
	plain := func(text string) *node {
		return &node{text: text, file: n.file, line: n.line, column: n.column}
	}
	out := &node{kind: mapNode, file: n.file, line: n.line, column: n.column}
	rest = strings.TrimSpace(rest)
	switch {
	case word == "allowed" && rest == "":
		out.pairs = []pair{{key: plain("allowed"), value: plain("true")}}
	case word == "butt" && rest == "":
		out.pairs = []pair{{key: plain("joint"), value: plain(word)}}
	case word == "lap":
		out.pairs = []pair{{key: plain("joint"), value: plain(word)}}
		if rest != "" {
			out.pairs = append(out.pairs, pair{key: plain("overlap"), value: plain(rest)})
		}
	default:
		r.fault(n, ply, "split: unknown word "+quote(n.text), suggest(word, []string{"lap", "butt", "allowed"}))
		return nil
	}
	return out
}
