package drawing

import (
	"fmt"
	"math"
	"strings"

	"plyroom/shapes"
)

// physical are the units of CSS with a length of their own, in millimetres.
var physical = map[string]float64{"mm": 1, "cm": 10, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "q": 0.25}

// parseLength splits a length into number and unit.
func parseLength(s string) (v float64, unit string, ok bool) {
	c := &scanner{s: strings.TrimSpace(s)}
	if v, ok = c.number(); !ok {
		return 0, "", false
	}
	return v, strings.ToLower(strings.TrimSpace(c.s[c.at:])), true
}

// viewport is what lengths and percentages inside an element refer to.
type viewport struct {
	w, h float64 // user units; 0 unknown
	px   float64 // px per inch
	font float64 // user units
}

// length resolves a length in user units. dir is 'x', 'y' or 'd' (diagonal)
// for percentages.
func (v viewport) length(s string, dir byte, def float64) float64 {
	n, unit, ok := parseLength(s)
	if !ok {
		return def
	}
	switch unit {
	case "", "px":
		return n
	case "%":
		switch dir {
		case 'x':
			return n / 100 * v.w
		case 'y':
			return n / 100 * v.h
		}
		return n / 100 * math.Sqrt((float64(v.w*v.w)+float64(v.h*v.h))/2)
	case "em":
		return n * v.font
	case "ex", "ch":
		return n * v.font / 2
	case "rem":
		return n * 16
	}
	if mm, ok := physical[unit]; ok {
		return n * mm / 25.4 * v.px
	}
	return def
}

// viewBox reads four numbers; ok is false where there are not four good ones.
func parseViewBox(s string) (box [4]float64, ok bool) {
	c := &scanner{s: s}
	for i := range box {
		c.comma()
		if box[i], ok = c.number(); !ok {
			return box, false
		}
	}
	c.space()
	return box, c.done() && box[2] > 0 && box[3] > 0
}

// fitViewBox maps the box onto a viewport of the given size whose corner is at
// the origin, as preserveAspectRatio says.
func fitViewBox(box [4]float64, w, h float64, ratio string) affine {
	sx, sy := w/box[2], h/box[3]
	words := strings.Fields(ratio)
	if len(words) > 0 && words[0] == "defer" {
		words = words[1:]
	}
	align := "xMidYMid"
	if len(words) > 0 {
		align = words[0]
	}
	tx, ty := 0.0, 0.0
	if align != "none" {
		k := math.Min(sx, sy)
		if len(words) > 1 && words[1] == "slice" {
			k = math.Max(sx, sy)
		}
		sx, sy = k, k
		place := func(has string, free float64) float64 {
			switch {
			case strings.Contains(align, has+"Min"):
				return 0
			case strings.Contains(align, has+"Max"):
				return free
			}
			return free / 2
		}
		tx = place("x", w-float64(box[2]*k))
		ty = place("Y", h-float64(box[3]*k))
	}
	return translation(tx, ty).mul(scaling(sx, sy)).mul(translation(-box[0], -box[1]))
}

// rootUnits finds the map from the root's user units to millimetres with y up,
// and the root's viewport. ok is false where the unit is not known.
func (s *sheet) rootUnits(root *node) (m affine, v viewport, ok bool) {
	v = viewport{px: 96, font: 16}
	if s.opt.PxPerInch > 0 {
		v.px = s.opt.PxPerInch
	}
	box, boxed := parseViewBox(root.attr("viewBox"))
	// size is a side of the document in millimetres, and whether it is stated
	// in a physical unit.
	size := func(name string) (mm float64, isPhysical bool) {
		n, unit, ok := parseLength(root.attr(name))
		if !ok || unit == "%" || !(n > 0) {
			return 0, false
		}
		if k, ok := physical[unit]; ok {
			return n * k, true
		}
		return n * 25.4 / v.px, false
	}
	w, wp := size("width")
	h, hp := size("height")
	inner := scaling(25.4/v.px, 25.4/v.px) // user units to mm, y down
	v.w, v.h = w/25.4*v.px, h/25.4*v.px
	if boxed {
		v.w, v.h = box[2], box[3]
		switch {
		case w > 0 && h > 0:
			inner = fitViewBox(box, w, h, root.attr("preserveAspectRatio"))
		case w > 0:
			inner = fitViewBox(box, w, w*box[3]/box[2], "")
		case h > 0:
			inner = fitViewBox(box, h*box[2]/box[3], h, "")
		}
	}
	known := wp || hp
	job, given, _ := s.opt.jobUnit()
	switch {
	case given:
		// One outermost user unit is one unit of the job, whatever the
		// document's size.
		s.Unit = job
		if known {
			stated := inner.size()
			if math.Abs(stated-job.Millimetres) > 1e-6*job.Millimetres {
				s.problem(shapes.Doubt, nil, nil, fmt.Sprintf("the drawing states a unit of %.6g mm, %s %s, which is taken", stated, s.given(), job.Name), "compare a size with the drawing")
			}
		}
		m = scaling(job.Millimetres, job.Millimetres)
	case known:
		m = inner
		if !boxed && s.opt.PxPerInch == 0 {
			s.problem(shapes.Doubt, nil, nil, "the drawing states its size but has no viewBox: 96 px per inch are assumed, and older programs wrote 90 or 72", "compare a size with the drawing, or "+s.pxRemedy())
		}
		s.Unit = Unit{Name: "physical size of the document", Millimetres: m.size(), FromFile: true}
	case s.opt.PxPerInch > 0:
		m = inner
		s.Unit = Unit{Name: fmt.Sprintf("px at %g per inch", v.px), Millimetres: m.size()}
	default:
		s.halt(root.line, "the drawing does not state its size in mm, cm, in or pt, so the length of its units is not known", s.pxRemedy())
		return m, v, false
	}
	m = scaling(1, -1).mul(m)
	if !m.finite() || m.det() == 0 {
		s.halt(root.line, "the document's size or viewBox makes no sense", "set its size again")
		return m, v, false
	}
	s.toMM = m
	return m, v, true
}
