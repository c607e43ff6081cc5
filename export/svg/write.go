package svg

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export"
	"plyroom/export/toolpath"
	"plyroom/shapes/steady"
)

// margin is the free space round the fabric, mm.
const margin = 10

// Write writes the path. The error is the first of w.
func Write(w io.Writer, p *toolpath.Path) error {
	d := drawing{w: bufio.NewWriter(w), p: p}
	d.open()
	d.fabric()
	d.cuts()
	d.labels()
	d.printf("</svg>\n")
	return d.w.Flush()
}

// A drawing writes elements. Errors stay in w until Flush.
type drawing struct {
	w *bufio.Writer
	p *toolpath.Path
}

func (d *drawing) printf(format string, args ...any) { fmt.Fprintf(d.w, format, args...) }

func (d *drawing) open() {
	wide, high := d.p.Head.Length+2*margin, d.p.Head.Width+2*margin
	d.printf("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
	d.printf("<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"%smm\" height=\"%smm\" viewBox=\"%s %s %s %s\">\n",
		num(wide), num(high), num(-margin), num(-margin), num(wide), num(high))
	d.printf("<title>%s</title>\n<desc>", export.SVGText(d.p.Title()))
	for i, line := range d.p.Lines() {
		if i > 0 {
			d.printf("\n")
		}
		d.printf("%s", export.SVGText(line))
	}
	for _, line := range d.p.Warnings {
		d.printf("\nwarning: %s", export.SVGText(line))
	}
	d.printf("</desc>\n")
}

// num writes six decimals without trailing zeros and never -0.
func num(v float64) string {
	s := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 6, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// at writes a point in the drawing's coordinates, y down.
func (d *drawing) at(p orb.Point) string {
	return num(p[0]) + " " + num(d.p.Head.Width-p[1])
}

func (d *drawing) path(pts orb.LineString, closed bool) string {
	var b strings.Builder
	for i, p := range pts {
		b.WriteString([...]string{"M", "L"}[min(i, 1)])
		b.WriteString(d.at(p))
	}
	if closed {
		b.WriteString("Z")
	}
	return b.String()
}

// curves is the path data of a cut, with its arcs. Seen with y down a
// counter-clockwise arc runs against the positive angle.
func (d *drawing) curves(c *toolpath.Cut) string {
	start, segs := d.p.Segments(c)
	if c.Closed && len(segs) > 0 && segs[len(segs)-1].Sweep == 0 {
		segs = segs[:len(segs)-1] // Z draws it
	}
	var b strings.Builder
	b.WriteString("M" + d.at(start))
	for i := range segs {
		s := &segs[i]
		if s.Sweep == 0 {
			b.WriteString("L" + d.at(s.To))
			continue
		}
		r, flag := num(steady.Hypot(s.To[0]-s.Centre[0], s.To[1]-s.Centre[1])), "0"
		if s.Sweep < 0 {
			flag = "1"
		}
		b.WriteString("A" + r + " " + r + " 0 0 " + flag + " " + d.at(s.To))
	}
	if c.Closed {
		b.WriteString("Z")
	}
	return b.String()
}

func (d *drawing) fabric() {
	h := d.p.Head
	d.printf("<g id=\"info-fabric\" fill=\"none\" stroke=\"#999999\" stroke-width=\"0.5\">\n")
	d.printf("<path class=\"edge\" d=\"%s\"/>\n", d.path(box(orb.Bound{Max: orb.Point{h.Length, h.Width}}), true))
	d.printf("<path class=\"usable\" stroke-dasharray=\"8 6\" d=\"%s\"/>\n", d.path(box(h.Usable), true))
	for _, w := range d.p.Windows[1:] {
		d.printf("<path class=\"window\" stroke-dasharray=\"2 6\" d=\"%s\"/>\n", d.path(orb.LineString{{w.From, 0}, {w.From, h.Width}}, false))
	}
	d.printf("</g>\n")
}

func box(b orb.Bound) orb.LineString {
	return orb.LineString{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}
}

// look is how a kind of cut is shown.
func look(k toolpath.CutKind) (class, stroke string) {
	switch k {
	case toolpath.Hole:
		return "cut-out", "#c00000"
	case toolpath.Slit:
		return "slit", "#c000c0"
	case toolpath.CheckCut:
		return "check", "#d07000"
	}
	return "outline", "#000000"
}

func (d *drawing) cuts() {
	d.printf("<g id=\"cut\" fill=\"none\" stroke-width=\"0.5\">\n")
	for _, c := range d.p.Cuts {
		class, stroke := look(c.Kind)
		d.printf("<path id=\"cut-%d\" class=\"%s\" data-ply=\"%d\" stroke=\"%s\" d=\"%s\"><title>%s</title></path>\n",
			c.Number, class, c.Ply, stroke, d.curves(&c), export.SVGText(fmt.Sprintf("%d: %s, %s", c.Number, c.Label, c.Kind)))
	}
	d.printf("</g>\n")
}

func (d *drawing) labels() {
	prefix, stroke := "info", "#606060"
	if d.p.Ink {
		prefix, stroke = "ink", "#0000c0"
	}
	for _, g := range []struct {
		name  string
		kinds []toolpath.LabelKind
	}{
		{"name", []toolpath.LabelKind{toolpath.Name}},
		{"fibre", []toolpath.LabelKind{toolpath.Fibre}},
		{"mark", []toolpath.LabelKind{toolpath.Mark, toolpath.Datum}},
	} {
		d.printf("<g id=\"%s-%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"0.4\">\n", prefix, g.name, stroke)
		for _, l := range d.p.Labels {
			for _, k := range g.kinds {
				if l.Kind == k {
					d.label(l, stroke)
				}
			}
		}
		d.printf("</g>\n")
	}
}

func (d *drawing) label(l toolpath.Label, color string) {
	for _, line := range l.Lines {
		d.printf("<path class=\"%s\" d=\"%s\"/>\n", l.Kind, d.path(line, false))
	}
	if l.Text == "" {
		return
	}
	// The middle of capitals lies 0.35 heights above the base line.
	x, y := num(l.At[0]), num(d.p.Head.Width-l.At[1])
	d.printf("<text class=\"%s\" x=\"%s\" y=\"%s\" dy=\"0.35em\" transform=\"rotate(%s %s %s)\" font-family=\"sans-serif\" font-size=\"%s\" text-anchor=\"middle\" fill=\"%s\" stroke=\"none\">%s</text>\n",
		l.Kind, x, y, num(-l.Angle), x, y, num(l.Height), color, export.SVGText(l.Text))
}
