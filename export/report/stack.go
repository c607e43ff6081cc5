package report

import (
	"math"
	"sort"
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest/kit"
)

// A course is what is laid under one order of the lay-up: the pieces of one
// fabric in one direction.
type course struct {
	order  int
	line   *kit.Line
	pieces int
}

// courses gathers the lines of a kit that lie side by side alike.
func courses(kt *kit.Kit) []course {
	var out []course
	for i := range kt.Lines {
		l := &kt.Lines[i]
		known := false
		for k := len(out) - 1; k >= 0 && out[k].order == l.Demand.Order; k-- {
			if alike(out[k].line, l) {
				out[k].pieces++
				known = true
				break
			}
		}
		if !known {
			out = append(out, course{l.Demand.Order, l, 1})
		}
	}
	return out
}

func alike(a, b *kit.Line) bool {
	return a.Demand.Fabric == b.Demand.Fabric && askedWords(a) == askedWords(b)
}

// askedWords is the direction a laminate is designed with.
func askedWords(l *kit.Line) string {
	if l.Directionless() {
		return "any direction"
	}
	return degrees(l.AskedDeg)
}

// angles lists the fibre directions a line was asked for with, whole degrees in
// [0, 180), each once, in order.
func angles(l *kit.Line) []int {
	off := 0.0
	if l.Place != nil {
		off = l.Place.Placed.DeviationDeg
	}
	seen := map[int]bool{}
	var out []int
	for _, f := range l.Fibres {
		a := ((int(math.Round(f.Angle-off))%180 + 180) % 180)
		if !seen[a] {
			seen[a] = true
			out = append(out, a)
		}
	}
	sort.Ints(out)
	return out
}

// fibrePatterns writes one pattern of lines for every fibre direction in any
// kit, and a grain for what has none.
func (p *page) fibrePatterns(w *markup.Writer) {
	seen := map[int]bool{}
	var all []int
	for i := range p.rows {
		for _, a := range angles(p.rows[i].line) {
			if !seen[a] {
				seen[a] = true
				all = append(all, a)
			}
		}
	}
	sort.Ints(all)
	for _, a := range all {
		w.Start("pattern", "id", "a"+strconv.Itoa(a), "width", "5", "height", "5", "patternUnits", "userSpaceOnUse",
			"patternTransform", "rotate("+strconv.Itoa(-a)+")")
		w.Empty("path", "class", "grain", "d", "M0 2.5H5")
		w.End()
	}
	w.Start("pattern", "id", "anone", "width", "9", "height", "9", "patternUnits", "userSpaceOnUse")
	w.Empty("path", "class", "grain", "d", "M1 2l2 1M6 1l-1 2M3 6l-2 1M7 5l1 2M4.5 8h2")
	w.End()
}

// stack draws the kit as a laminate, the last order on top and the tool below.
func (p *page) stack(w *markup.Writer, kt *kit.Kit) {
	w.Start("details", "class", "stackup screen")
	w.Leaf("summary", "The laminate from the tool up")
	w.Start("ol")
	cs := courses(kt)
	for i := len(cs) - 1; i >= 0; i-- {
		c := cs[i]
		w.Start("li")
		w.Leaf("span", strconv.Itoa(c.order), "class", "ord")
		w.Start("svg", "width", "150", "height", "17", "aria-hidden", "true")
		w.Empty("rect", "class", "layer0", "width", "150", "height", "17")
		list := angles(c.line)
		for _, a := range list {
			w.Empty("rect", "width", "150", "height", "17", "fill", "url(#a"+strconv.Itoa(a)+")")
		}
		if len(list) == 0 {
			w.Empty("rect", "width", "150", "height", "17", "fill", "url(#anone)")
		}
		w.End()
		w.Leaf("b", c.line.Demand.Fabric)
		t := askedWords(c.line)
		if c.pieces > 1 {
			t += " · " + count(c.pieces, "piece", "pieces")
		}
		if m := c.line.Laminate; m != nil && m.Thickness > 0 {
			t += " · " + fixed(m.Thickness, 2) + thin + "mm"
		}
		w.Leaf("span", t)
		w.End()
	}
	w.End()
	w.Leaf("p", "tool", "class", "tool")
	w.End()
}
