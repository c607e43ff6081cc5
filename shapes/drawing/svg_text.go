package drawing

import (
	"strings"

	"github.com/paulmach/orb"
)

// text reads a text with its tspans as one writing.
func (w *svgWalk) text(n *node, st svgState) {
	var b strings.Builder
	at := orb.Point{st.v.length(firstOf(n.attr("x")), 'x', 0), st.v.length(firstOf(n.attr("y")), 'y', 0)}
	placed := n.has("x") || n.has("y")
	lines := 0
	var walk func(k *node)
	walk = func(k *node) {
		if k.name == "#text" {
			b.WriteString(k.text)
			return
		}
		if k != n && strings.EqualFold(w.css.value(k, "display"), "none") {
			return
		}
		if k != n && k.has("y") || k.has("dy") {
			if lines++; b.Len() > 0 {
				b.WriteByte('\n')
			}
			if !placed {
				at = orb.Point{st.v.length(firstOf(k.attr("x")), 'x', at[0]), st.v.length(firstOf(k.attr("y")), 'y', at[1])}
				placed = true
			}
		}
		if v := w.css.value(k, "font-size"); v != "" && k != n && lines <= 1 {
			st.v.font = st.v.length(v, 'x', st.v.font)
		}
		for _, c := range k.kids {
			walk(c)
		}
	}
	walk(n)
	var kept []string
	for _, l := range strings.Split(b.String(), "\n") {
		if l = strings.Join(strings.Fields(l), " "); l != "" {
			kept = append(kept, l)
		}
	}
	if len(kept) == 0 {
		return
	}
	// Line ends within the source are spaces unless a tspan began there.
	text := strings.Join(kept, "\n")
	if lines == 0 {
		text = strings.Join(kept, " ")
	}
	h := st.v.font
	wide := float64(len([]rune(kept[0]))) * textAspect * h
	c := orb.Point{at[0] + wide/2, at[1] - h/3}
	switch st.anchor {
	case "middle":
		c[0] = at[0]
	case "end":
		c[0] = at[0] - wide/2
	}
	w.s.writings = append(w.s.writings, writing{at: st.m.point(at), centre: st.m.point(c), height: h * st.m.size(), text: text, from: w.origin(n, st)})
}

// firstOf is the first of a list of lengths.
func firstOf(s string) string {
	f := strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' || r == '\t' || r == '\n' || r == '\r' })
	if len(f) == 0 {
		return ""
	}
	return f[0]
}
