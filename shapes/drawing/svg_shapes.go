package drawing

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes"
)

// shape reads one drawn element.
func (w *svgWalk) shape(n *node, st svgState) {
	from := w.origin(n, st)
	var subs []subpath
	bad := func(what string) {
		w.s.problem(shapes.Fault, from, nil, what, "draw it again")
	}
	wrong := false
	figure := func(name string, dir byte, def float64) float64 {
		s := w.css.value(n, name)
		if s == "" || s == "auto" {
			return def
		}
		v := st.v.length(s, dir, math.NaN())
		if math.IsNaN(v) && !wrong {
			wrong = true
			bad(fmt.Sprintf("%s is %q, which is no length that is understood", name, clip(s)))
		}
		return v
	}
	x := func(name string) float64 { return figure(name, 'x', 0) }
	y := func(name string) float64 { return figure(name, 'y', 0) }
	radius := func(name string, dir byte) float64 { return figure(name, dir, math.NaN()) }
	switch n.name {
	case "path":
		var err error
		d := pathFunction(w.css.value(n, "d"))
		if subs, err = parsePath(d); err != nil {
			bad(err.Error())
		}
	case "rect":
		wd, ht := x("width"), y("height")
		if wd < 0 || ht < 0 {
			bad(fmt.Sprintf("has size %g by %g", wd, ht))
			return
		}
		if wd == 0 || ht == 0 {
			w.s.problem(shapes.Repair, from, nil, fmt.Sprintf("has size %g by %g, shows nothing, and was left out", wd, ht), "")
			return
		}
		subs = []subpath{roundedRect(x("x"), y("y"), wd, ht, radius("rx", 'x'), radius("ry", 'y'))}
	case "circle":
		r := figure("r", 'd', 0)
		if r < 0 {
			bad(fmt.Sprintf("has radius %g", r))
			return
		}
		subs = []subpath{ellipsePath(x("cx"), y("cy"), r, r)}
	case "ellipse":
		rx, ry := radius("rx", 'x'), radius("ry", 'y')
		if math.IsNaN(rx) {
			rx = ry
		}
		if math.IsNaN(ry) {
			ry = rx
		}
		if rx < 0 || ry < 0 {
			bad(fmt.Sprintf("has half axes %g and %g", rx, ry))
			return
		}
		if rx > 0 && ry > 0 {
			subs = []subpath{ellipsePath(x("cx"), y("cy"), rx, ry)}
		}
	case "line":
		a, b := orb.Point{x("x1"), y("y1")}, orb.Point{x("x2"), y("y2")}
		subs = []subpath{{start: a, curves: []curve{lineCurve{a, b}}}}
	case "polyline", "polygon":
		pts, err := parsePoints(n.attr("points"))
		if err != nil {
			bad(err.Error())
		}
		sp := subpath{closed: n.name == "polygon"}
		for i := 1; i < len(pts); i++ {
			sp.curves = append(sp.curves, lineCurve{pts[i-1], pts[i]})
		}
		subs = []subpath{sp}
	}
	if wrong {
		return
	}
	if st.unfilled && !st.stroked && len(subs) > 0 {
		if w.unseen++; w.unseen == 1 {
			w.first = from
		}
	}
	for _, sp := range subs {
		if len(sp.curves) == 0 {
			continue
		}
		cs := make([]curve, len(sp.curves))
		for i, c := range sp.curves {
			cs[i] = c.mapped(st.m)
		}
		w.s.addPiece(cs, sp.closed, from)
	}
}

// pathFunction takes path data out of path("..."), as a style has it.
func pathFunction(s string) string {
	inner, ok := strings.CutPrefix(s, "path(")
	if !ok {
		return s
	}
	return strings.Trim(strings.TrimSuffix(strings.TrimSpace(inner), ")"), " \"'")
}

// ellipsePath is a whole ellipse.
func ellipsePath(cx, cy, rx, ry float64) subpath {
	a := newArc(orb.Point{cx, cy}, orb.Point{rx, 0}, orb.Point{0, ry}, 0, 2*math.Pi)
	return subpath{start: a.p0, curves: []curve{a}, closed: true}
}

// roundedRect is a rectangle with elliptical corners; a radius that is not a
// number takes the other's.
func roundedRect(x, y, w, h, rx, ry float64) subpath {
	if math.IsNaN(rx) {
		rx = ry
	}
	if math.IsNaN(ry) {
		ry = rx
	}
	if math.IsNaN(rx) || rx < 0 || ry < 0 {
		rx, ry = 0, 0
	}
	rx, ry = math.Min(rx, w/2), math.Min(ry, h/2)
	if rx == 0 || ry == 0 {
		rx, ry = 0, 0
	}
	var cs []curve
	line := func(a, b orb.Point) {
		if a != b {
			cs = append(cs, lineCurve{a, b})
		}
	}
	corner := func(cx, cy, from float64, a, b orb.Point) {
		if rx > 0 {
			cs = append(cs, arcCurve{c: orb.Point{cx, cy}, u: orb.Point{rx, 0}, v: orb.Point{0, ry}, t0: from, t1: from + math.Pi/2, p0: a, p1: b})
		}
	}
	p := [8]orb.Point{
		{x + rx, y}, {x + w - rx, y}, {x + w, y + ry}, {x + w, y + h - ry},
		{x + w - rx, y + h}, {x + rx, y + h}, {x, y + h - ry}, {x, y + ry},
	}
	line(p[0], p[1])
	corner(x+w-rx, y+ry, -math.Pi/2, p[1], p[2])
	line(p[2], p[3])
	corner(x+w-rx, y+h-ry, 0, p[3], p[4])
	line(p[4], p[5])
	corner(x+rx, y+h-ry, math.Pi/2, p[5], p[6])
	line(p[6], p[7])
	corner(x+rx, y+ry, math.Pi, p[7], p[0])
	return subpath{start: p[0], curves: cs, closed: true}
}

// parsePoints reads a list of points; what stands before an error is kept.
func parsePoints(s string) ([]orb.Point, error) {
	c := &scanner{s: s}
	var out []orb.Point
	for {
		c.comma()
		if c.done() {
			return out, nil
		}
		x, ok := c.number()
		if ok {
			c.comma()
			var y float64
			if y, ok = c.number(); ok {
				out = append(out, orb.Point{x, y})
				continue
			}
		}
		return out, fmt.Errorf("the list of points is wrong at position %d", c.at+1)
	}
}
