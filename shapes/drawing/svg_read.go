package drawing

import (
	"errors"
	"fmt"
	"strings"

	"plyroom/shapes"
)

// svgWalk walks the tree of an SVG document.
type svgWalk struct {
	s     *sheet
	css   styles
	ids   map[string]*node
	uses  int
	stack []*node // of uses, to find circles
	// unseen counts shapes that are painted with nothing; first is the first.
	unseen int
	first  *origin
}

// svgState is what children inherit.
type svgState struct {
	m      affine // user units to millimetres
	v      viewport
	layer  string
	group  string
	block  string
	title  string // of a use
	id     string // of a use
	class  string // of groups and uses
	insert int
	hidden bool
	// unfilled and stroked say how shapes are painted: filled and without a
	// line, unless something says otherwise.
	unfilled, stroked bool
	anchor            string
	depth             int
}

// readSVG reads an SVG document into the sheet.
func (s *sheet) readSVG(data []byte) {
	root, line, err := parseTree(data)
	switch {
	case errors.Is(err, errLimit):
		s.halt(line, err.Error(), "split the drawing")
		return
	case err != nil && strings.Contains(err.Error(), "invalid character entity"):
		s.halt(line, "an entity of a document type is used, and those are not expanded: "+err.Error(), "save the drawing as plain SVG")
		return
	case err != nil:
		s.halt(line, "is not a well-formed SVG document: "+err.Error(), "save it as plain SVG again")
		return
	case root.name != "svg":
		s.halt(root.line, fmt.Sprintf("is an XML document of kind %q, not SVG", clip(root.name)), "save it as plain SVG")
		return
	}
	m, v, ok := s.rootUnits(root)
	if !ok {
		return
	}
	w := &svgWalk{s: s, ids: map[string]*node{}}
	w.index(root)
	w.css.sort()
	for i, sel := range w.css.complex {
		if i < 20 {
			s.problem(shapes.Doubt, nil, nil, fmt.Sprintf("a style rule for %q hides, moves or shapes something and is not understood", sel), "check what was read, or save the drawing with plain attributes")
		}
	}
	if w.css.value(root, "transform") != "" {
		s.problem(shapes.Doubt, &origin{kind: root.name, line: root.line}, nil, "has a transform on the document itself, which is not applied", "put the drawing into a group and transform that")
	}
	st := svgState{m: m, v: v}
	w.paint(root, &st)
	w.children(root, st)
	if w.css.steps < 0 {
		s.problem(shapes.Doubt, nil, nil, "the style rules are too involved to follow; some were not applied", "check that nothing hidden was read")
	}
	w.tellUnseen()
}

// index collects ids and styles.
func (w *svgWalk) index(n *node) {
	if id := n.attr("id"); id != "" && w.ids[id] == nil {
		w.ids[id] = n
	}
	if n.name == "style" {
		w.css.add(n.text)
	}
	for _, k := range n.kids {
		w.index(k)
	}
}

func (w *svgWalk) children(n *node, st svgState) {
	st.depth++
	for _, k := range n.kids {
		if w.s.halted {
			return
		}
		w.element(k, st)
	}
}

// Elements that never show by themselves, or only describe.
var svgSilent = map[string]bool{
	"defs": true, "symbol": true, "title": true, "desc": true, "style": true, "metadata": true,
	"linearGradient": true, "radialGradient": true, "pattern": true, "clipPath": true, "mask": true,
	"marker": true, "filter": true, "view": true, "#text": true, "cursor": true, "font": true,
	"font-face": true, "hatch": true, "solidcolor": true, "solidColor": true,
}

func (w *svgWalk) element(n *node, st svgState) {
	if !n.svg || svgSilent[n.name] {
		return
	}
	id := svgID(n)
	if st.depth > MaxDepth {
		w.s.halt(n.line, fmt.Sprintf("uses and groups nest deeper than %d", MaxDepth), "expand the symbols")
		return
	}
	if strings.EqualFold(w.css.value(n, "display"), "none") {
		w.s.passOver(n.name, "display: none", id)
		return
	}
	if n.attr("requiredExtensions") != "" {
		w.s.passOver(n.name, "for programs with an extension only", id)
		return
	}
	switch v := strings.ToLower(w.css.value(n, "visibility")); v {
	case "hidden", "collapse":
		st.hidden = true
	case "visible":
		st.hidden = false
	}
	if v := w.css.value(n, "text-anchor"); v != "" {
		st.anchor = v
	}
	if v := w.css.value(n, "font-size"); v != "" {
		outer := st.v
		outer.w, outer.h = st.v.font, st.v.font // percentages are of the font
		st.v.font = outer.length(v, 'x', st.v.font)
	}
	for _, p := range [...]string{"clip-path", "mask"} {
		if v := w.css.value(n, p); v != "" && !strings.EqualFold(v, "none") {
			w.s.problem(shapes.Doubt, &origin{kind: n.name, entity: id, line: n.line}, nil, "is shown in part only ("+p+"); the whole of it was read", "release the clip and draw the shape itself")
		}
	}
	w.paint(n, &st)
	m, err := w.transform(n, st.v)
	if err != nil {
		w.s.problem(shapes.Fault, &origin{kind: n.name, entity: id, line: n.line}, nil, "has a transform that cannot be read: "+err.Error(), "correct or remove it")
		return
	}
	st.m = st.m.mul(m)
	switch n.name {
	case "g", "a":
		w.group(n, st)
	case "svg":
		w.innerSVG(n, st)
	case "switch":
		if k := chosen(n); k != nil {
			w.element(k, st)
		}
	case "use":
		w.use(n, st)
	case "text":
		if st.hidden {
			w.s.passOver(n.name, "visibility: hidden", id)
			return
		}
		w.text(n, st)
	case "path", "rect", "circle", "ellipse", "line", "polyline", "polygon":
		if st.hidden {
			w.s.passOver(n.name, "visibility: hidden", id)
			return
		}
		w.shape(n, st)
	case "script":
		w.s.passOver(n.name, "scripts are not run", id)
	case "animate", "animateTransform", "animateMotion", "set":
		w.s.passOver(n.name, "animations are not played", id)
	default:
		w.s.passOver(n.name, "not an outline", id)
	}
}

// label is the element's own title: its aria-label or title child.
func label(n *node) string {
	if v := n.attr("aria-label"); v != "" {
		return v
	}
	if t := n.child("title"); t != nil {
		return strings.TrimSpace(t.text)
	}
	return ""
}

// svgID is the element's id with escapes of exporters undone.
func svgID(n *node) string { return unescapeID(n.attr("id")) }

func (w *svgWalk) group(n *node, st svgState) {
	name := label(n)
	if l := n.foreign("label"); l != "" {
		name = l
	}
	layer := n.foreign("groupmode") == "layer"
	if name == "" && !madeUp(svgID(n)) {
		name = svgID(n)
	}
	if layer || st.layer == "" && n.parent != nil && n.parent.parent == nil {
		// Outermost groups are layers, also where they have no name to speak
		// of.
		if st.layer = name; name == "" {
			st.layer = svgID(n)
		}
	}
	if name != "" && !layer {
		st.group = name
	}
	if c := n.attr("class"); c != "" {
		st.class = c
	}
	w.children(n, st)
}

// paint takes in how the element says shapes are painted.
func (w *svgWalk) paint(n *node, st *svgState) {
	if v := w.css.value(n, "fill"); v != "" && !strings.EqualFold(v, "inherit") {
		st.unfilled = strings.EqualFold(v, "none")
	}
	if v := w.css.value(n, "stroke"); v != "" && !strings.EqualFold(v, "inherit") {
		st.stroked = !strings.EqualFold(v, "none")
	}
}

// chosen is the child of a switch that is shown: the first that asks for no
// extension and for no language other than English; nil where there is none.
func chosen(n *node) *node {
	for _, k := range n.kids {
		if !k.svg || svgSilent[k.name] || k.attr("requiredExtensions") != "" {
			continue
		}
		if l := k.attr("systemLanguage"); l != "" && !strings.Contains(","+strings.ReplaceAll(strings.ToLower(l), " ", ""), ",en") {
			continue
		}
		return k
	}
	return nil
}

// tellUnseen doubts shapes that nobody sees: they are read all the same.
func (w *svgWalk) tellUnseen() {
	if w.unseen > 0 {
		w.s.problem(shapes.Doubt, w.first, nil, unseenWords(w.unseen), "delete what is not a ply, such as the frame of a page")
	}
}

func unseenWords(n int) string {
	if n == 1 {
		return "is painted with neither line nor filling, and was read all the same"
	}
	return fmt.Sprintf("is painted with neither line nor filling, as %d more; they were read all the same", n-1)
}

// innerSVG is a nested document: a viewport of its own.
func (w *svgWalk) innerSVG(n *node, st svgState) {
	x, y := st.v.length(n.attr("x"), 'x', 0), st.v.length(n.attr("y"), 'y', 0)
	wd, ht := st.v.length(n.attr("width"), 'x', st.v.w), st.v.length(n.attr("height"), 'y', st.v.h)
	st.m = st.m.mul(translation(x, y))
	w.fit(n, &st, wd, ht)
	w.group(n, st)
}

// fit applies the element's viewBox to a viewport of the given size.
func (w *svgWalk) fit(n *node, st *svgState, wd, ht float64) {
	st.v.w, st.v.h = wd, ht
	if box, ok := parseViewBox(n.attr("viewBox")); ok && wd > 0 && ht > 0 {
		st.m = st.m.mul(fitViewBox(box, wd, ht, n.attr("preserveAspectRatio")))
		st.v.w, st.v.h = box[2], box[3]
	}
}
