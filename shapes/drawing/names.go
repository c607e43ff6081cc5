package drawing

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// NameSource is a place an outline's name may come from.
type NameSource string

// Sources of names. Layer and group names are used only where no other
// outline has the same.
const (
	// NameText is a text inside the outline, the largest first.
	NameText NameSource = "text"
	// NameTitle is an SVG title or aria-label.
	NameTitle NameSource = "title"
	// NameBlock is the name of the block or symbol that holds the outline.
	NameBlock NameSource = "block"
	// NameID is an SVG id that is not made up by a drawing program.
	NameID NameSource = "id"
	// NameGroup is the nearest named group of an SVG drawing.
	NameGroup NameSource = "group"
	// NameLayer is the layer.
	NameLayer NameSource = "layer"
)

// NamesDefault is the order in which sources are tried where the options do
// not say.
var NamesDefault = []NameSource{NameText, NameTitle, NameBlock, NameID, NameGroup, NameLayer}

// madeUpID matches ids that drawing programs make up.
var madeUpID = regexp.MustCompile(`(?i)^(path|rect|circle|ellipse|polygon|polyline|line|g|group|use|svg|layer|text|tspan|shape|object|entity|symbol|image|curve|xmlid)?[-_ .]?\d*([-_.]\d+)*_?$`)

func madeUp(id string) bool { return id == "" || madeUpID.MatchString(id) }

// giveNames names every ply and turns the texts left over into marks.
func (s *sheet) giveNames(plies []*ply) {
	shared := map[NameSource]map[string]int{NameLayer: {}, NameGroup: {}}
	for _, p := range plies {
		o := p.outer.from
		p.names = map[NameSource]string{}
		p.names[NameTitle] = tidy(o.title)
		p.names[NameBlock] = tidy(o.block)
		p.names[NameGroup] = tidy(o.group)
		if o.layer != "0" && !madeUp(o.layer) {
			p.names[NameLayer] = tidy(o.layer)
		}
		if !madeUp(o.id) {
			p.names[NameID] = tidy(o.id)
		}
		shared[NameLayer][p.names[NameLayer]]++
		shared[NameGroup][p.names[NameGroup]]++
	}
	s.giveTexts(plies)
	for i, p := range plies {
		for _, src := range s.opt.Names {
			n := p.names[src]
			if n != "" && (shared[src] == nil || shared[src][n] == 1) {
				p.name = n
				break
			}
		}
		if p.name == "" {
			p.name = countedName + " " + strconv.Itoa(i+1)
			at := p.outer.curves[0].start()
			s.problem(shapes.Doubt, p.outer.from, &at, fmt.Sprintf("has no name and is called %q", p.name), "write its name inside it")
		}
	}
	s.makeDistinct(plies)
}

// makeDistinct numbers names that more than one ply has.
func (s *sheet) makeDistinct(plies []*ply) {
	taken := map[string]bool{}
	for _, p := range plies {
		taken[p.name] = true
	}
	first := map[string]*ply{}
	next := map[string]int{}
	for _, p := range plies {
		name := p.name
		f := first[name]
		if f == nil {
			first[name] = p
			continue
		}
		k := max(next[name], 2)
		for taken[fmt.Sprintf("%s-%d", name, k)] {
			k++
		}
		next[name] = k + 1
		p.name = fmt.Sprintf("%s-%d", name, k)
		taken[p.name] = true
		at := p.outer.curves[0].start()
		s.problem(shapes.Doubt, p.outer.from, &at, fmt.Sprintf("has the name %q of another outline (%s) and is called %q", name, f.outer.from.label(), p.name), "give each outline its own name")
	}
}

// tidy makes one line of a name and drops what does not print.
func tidy(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s)
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 120 {
		s = string(r[:120])
	}
	return s
}

// giveTexts gives each text to the ply it stands in. The largest names the
// ply; attributes called NAME or PLY come before others. Texts that name
// nothing become marks.
func (s *sheet) giveTexts(plies []*ply) {
	x := indexPlies(plies)
	byInsert := map[int][]*ply{}
	for _, p := range plies {
		if n := p.outer.from.insert; n > 0 {
			byInsert[n] = append(byInsert[n], p)
		}
	}
	type held struct {
		w    *writing
		rank int
	}
	texts := map[*ply][]held{}
	for i := range s.writings {
		w := &s.writings[i]
		if w.from.role() == roleIgnore {
			s.passOver(w.from.kind, "layer or class named as drawing furniture", w.from.entity)
			continue
		}
		p, inHole := s.textPly(x, w, byInsert)
		if p == nil {
			s.passOver(w.from.kind, "outside every outline", w.from.entity)
			continue
		}
		if inHole {
			at := w.at
			s.problem(shapes.Doubt, w.from, &at, fmt.Sprintf("text %q stands in a cut-out", clip(w.text)), "where the cut-out is a ply of its own, move it apart or read each layer by itself")
			continue
		}
		rank := 0
		if t := strings.ToUpper(w.tag); strings.Contains(t, "NAME") || strings.Contains(t, "PLY") {
			rank = 2
		}
		if beginsAny(splitWords(w.from.layer), []string{"name"}) || beginsAny(splitWords(w.from.class), []string{"name"}) {
			rank = 1
		}
		if w.from.role() == roleMark || w.from.role() == roleDatum {
			rank = -1
		}
		texts[p] = append(texts[p], held{w, rank})
	}
	for _, p := range plies {
		var best *held
		for i := range texts[p] {
			h := &texts[p][i]
			if strings.EqualFold(strings.TrimSpace(h.w.text), "datum") {
				continue
			}
			if best == nil || h.rank > best.rank || h.rank == best.rank && h.w.height > best.w.height*(1+1e-9) {
				best = h
			}
		}
		for i := range texts[p] {
			h := &texts[p][i]
			if h == best {
				name, _, more := strings.Cut(h.w.text, "\n")
				p.names[NameText] = tidy(name)
				if !more {
					continue
				}
			}
			if strings.EqualFold(strings.TrimSpace(h.w.text), "datum") {
				s.datumByText(p, h.w)
			}
			p.marks = append(p.marks, shapes.Mark{Kind: shapes.MarkText, Line: orb.LineString{h.w.at}, Text: h.w.text})
		}
	}
}

// textPly finds the ply a text belongs to: the one it stands in, or the only
// one of its own block reference.
func (s *sheet) textPly(x *plyIndex, w *writing, byInsert map[int][]*ply) (*ply, bool) {
	for _, q := range []orb.Point{w.at, w.centre} {
		if !geom.InRange(q) {
			continue
		}
		if p, inHole := x.at(q, s.opt.Join, s.sameLayer(w.from)); p != nil && !inHole {
			return p, false
		}
	}
	if of := byInsert[w.from.insert]; w.from.insert > 0 && len(of) == 1 {
		return of[0], false
	}
	if !geom.InRange(w.at) {
		return nil, false
	}
	return x.at(w.at, s.opt.Join, s.sameLayer(w.from))
}

// datumByText makes the straight mark nearest to the word "datum" the datum.
func (s *sheet) datumByText(p *ply, w *writing) {
	if p.datum != nil {
		return
	}
	best, near := -1, float64(5*w.height)+1
	for i, m := range p.marks {
		if m.Kind != shapes.MarkLine || len(m.Line) < 2 {
			continue
		}
		for k := 1; k < len(m.Line); k++ {
			for _, q := range []orb.Point{w.at, w.centre} {
				if d := segmentDistance(m.Line[k-1], m.Line[k], q); d < near {
					best, near = i, d
				}
			}
		}
	}
	if best < 0 {
		at := w.at
		s.problem(shapes.Doubt, w.from, &at, "the word datum stands beside no line", "draw the datum line, or put it on a layer called DATUM")
		return
	}
	m := &p.marks[best]
	m.Kind = shapes.MarkDatum
	c := &chain{from: w.from, role: roleDatum}
	for k := 1; k < len(m.Line); k++ {
		c.curves = append(c.curves, lineCurve{m.Line[k-1], m.Line[k]})
	}
	p.datum = c
}
