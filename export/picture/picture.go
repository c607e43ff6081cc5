package picture

import (
	_ "embed"
	"errors"
	"io"
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest"
)

// Style is the style sheet of the drawings, for pages that hold them.
//
//go:embed picture.css
var Style string

// Layout writes a layout as an SVG document of its own.
func Layout(w io.Writer, rec *nest.Record, l *nest.Layout, opt Options) error {
	if rec == nil || l == nil {
		return errors.New("no layout to draw")
	}
	d := New(rec, l, opt)
	m := markup.New(w)
	width := opt.Width
	if width <= 0 {
		width = 1400
	}
	_, _, bw, bh := d.Box()
	d.Open(m, d.Title(), "xmlns", "http://www.w3.org/2000/svg", "width", strconv.Itoa(width), "height", strconv.Itoa(int(float64(width)*bh/bw+0.5)))
	m.Raw("style", Style)
	m.Start("defs")
	d.Patterns(m)
	m.End()
	m.Start("g", markup.If(opt.Scrap, "class"), "scrap")
	d.Ground(m)
	layer := opt.Layer
	if ls := d.Layers(); layer == 0 && len(ls) > 0 {
		layer = ls[0]
	}
	d.Plies(m, layer)
	m.End()
	m.End()
	m.Line()
	return m.Flush()
}

// Open starts an svg element with the drawing's view box and a title for
// screen readers; the caller ends it.
func (d *Drawing) Open(w *markup.Writer, title string, attrs ...string) {
	x, y, bw, bh := d.Box()
	w.Start("svg", append([]string{"viewBox", num(x) + " " + num(y) + " " + num(bw) + " " + num(bh), "role", "img", "aria-label", title}, attrs...)...)
}

// Title says what the picture shows.
func (d *Drawing) Title() string {
	s := "Layout " + d.l.ID + ":"
	for i, l := range d.l.Layers {
		if i > 0 {
			s += " with"
		}
		s += " " + l.Fabric
	}
	return s + ", " + strconv.FormatFloat(d.l.Length/1000, 'f', 3, 64) + " m, " + strconv.Itoa(len(d.l.Placed)) + " plies"
}
