package drawing

import (
	"fmt"
	"strings"

	"plyroom/shapes"
)

func (w *svgWalk) use(n *node, st svgState) {
	from := w.origin(n, st)
	ref := strings.TrimSpace(n.attr("href"))
	if !strings.HasPrefix(ref, "#") {
		w.s.problem(shapes.Doubt, from, nil, fmt.Sprintf("refers to %q outside the drawing, which is not fetched", clip(ref)), "embed it")
		return
	}
	to := w.ids[ref[1:]]
	if to == nil {
		w.s.problem(shapes.Doubt, from, nil, fmt.Sprintf("refers to %q, which the drawing does not hold", clip(ref)), "save the drawing again")
		return
	}
	for _, up := range w.stack {
		if up == to {
			w.s.problem(shapes.Fault, from, nil, fmt.Sprintf("%q refers to itself", clip(ref)), "redraw it")
			return
		}
	}
	for up := n.parent; up != nil; up = up.parent {
		if up == to {
			w.s.problem(shapes.Fault, from, nil, fmt.Sprintf("%q refers to itself", clip(ref)), "redraw it")
			return
		}
	}
	if w.uses++; w.uses > MaxInserts {
		w.s.halt(n.line, fmt.Sprintf("more than %d uses are drawn", MaxInserts), "split the drawing")
		return
	}
	w.stack = append(w.stack, to)
	defer func() { w.stack = w.stack[:len(w.stack)-1] }()
	if st.insert == 0 {
		st.insert = w.uses
	}
	st.depth++
	st.id, st.title = from.id, from.title
	if c := n.attr("class"); c != "" {
		st.class = c
	}
	if l := label(to); l != "" {
		st.block = l
	} else if !madeUp(svgID(to)) {
		st.block = svgID(to)
	}
	st.m = st.m.mul(translation(st.v.length(n.attr("x"), 'x', 0), st.v.length(n.attr("y"), 'y', 0)))
	switch to.name {
	case "symbol", "svg":
		if strings.EqualFold(w.css.value(to, "display"), "none") {
			return
		}
		wd := st.v.length(n.attr("width"), 'x', st.v.length(to.attr("width"), 'x', st.v.w))
		ht := st.v.length(n.attr("height"), 'y', st.v.length(to.attr("height"), 'y', st.v.h))
		if m, err := w.transform(to, st.v); err == nil {
			st.m = st.m.mul(m)
		}
		w.fit(to, &st, wd, ht)
		w.children(to, st)
	default:
		w.element(to, st)
	}
}

// origin says where an element's pieces come from. The names of a use stand
// for what it shows.
func (w *svgWalk) origin(n *node, st svgState) *origin {
	o := &origin{kind: n.name, entity: svgID(n), line: n.line, layer: st.layer, block: st.block, group: st.group,
		id: svgID(n), title: label(n), class: n.attr("class"), insert: st.insert}
	if st.insert > 0 {
		if st.title != "" {
			o.title = st.title
		}
		if !madeUp(st.id) {
			o.id, o.entity = st.id, st.id
		} else {
			o.id = "" // the same for every use
		}
	}
	if o.class == "" {
		o.class = st.class
	}
	return o
}
