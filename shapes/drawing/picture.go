package drawing

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// maxSpots is how many problems a picture shows.
const maxSpots = 200

// Picture writes an SVG picture of a drawing as it was read: every outline
// with its name, cut-outs left white, marks, lines that belong to nothing, and
// a numbered circle round every place with a problem, listed below. Text from
// the drawing is escaped. The only errors are those of w.
func Picture(w io.Writer, d *Drawing) error {
	p := newPainter(w, d)
	p.open()
	p.outlines()
	p.strays()
	p.names()
	p.spots()
	p.list()
	p.raw("</svg>\n")
	return p.out.Flush()
}

// painter draws in units of a picture 1000 wide, y down.
type painter struct {
	out    *bufio.Writer
	d      *Drawing
	shown  []*shapes.Outline
	listed []shapes.Problem
	box    orb.Bound
	k      float64 // picture units per mm
	high   float64 // of the drawing part
}

const (
	pictureWidth  = 1000.0
	pictureMargin = 30.0
	pictureLine   = 17.0 // of the list
)

func newPainter(w io.Writer, d *Drawing) *painter {
	p := &painter{out: bufio.NewWriter(w), d: d, shown: d.placed}
	if len(p.shown) != len(d.Outlines) {
		p.shown = d.Outlines
	}
	empty := true
	grow := func(ps []orb.Point) {
		for _, q := range ps {
			if !geom.InRange(q) {
				continue
			}
			if empty {
				p.box, empty = orb.Bound{Min: q, Max: q}, false
			}
			p.box = p.box.Extend(q)
		}
	}
	for _, o := range p.shown {
		grow(o.Exterior)
		for _, m := range o.Marks {
			grow(m.Line)
		}
	}
	for _, l := range d.loose {
		grow(l)
	}
	for _, q := range d.Problems {
		if len(p.listed) < maxSpots {
			p.listed = append(p.listed, q)
		}
		if q.At != nil && empty {
			grow([]orb.Point{d.toMM.point(*q.At)})
		}
	}
	wide, tall := p.box.Max[0]-p.box.Min[0], p.box.Max[1]-p.box.Min[1]
	p.k = (pictureWidth - 2*pictureMargin) / math.Max(math.Max(wide, tall/1.5), 1e-3)
	p.high = float64(tall*p.k) + 2*pictureMargin
	return p
}

func (p *painter) raw(format string, args ...any) { fmt.Fprintf(p.out, format, args...) }

func escaped(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a strings.Builder does not fail
	return b.String()
}

func short(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".")
}

// at maps millimetres into the picture.
func (p *painter) at(q orb.Point) orb.Point {
	return orb.Point{pictureMargin + float64((q[0]-p.box.Min[0])*p.k), p.high - pictureMargin - float64((q[1]-p.box.Min[1])*p.k)}
}

func (p *painter) path(ps []orb.Point, closed bool) string {
	var b strings.Builder
	for i, q := range ps {
		q = p.at(q)
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(short(q[0]) + " " + short(q[1]))
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}

func (p *painter) open() {
	h := p.high + float64(pictureLine*float64(len(p.listed)+2)) + 10
	p.raw(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" height="%s" font-family="sans-serif">`+"\n", short(pictureWidth), short(h), short(pictureWidth), short(h))
	p.raw("<title>%s</title>\n", escaped("Outlines read from "+p.d.File))
	p.raw(`<style>.ply{fill:#e9e4d8;fill-rule:evenodd;stroke:#222;stroke-width:1}.line{fill:none;stroke:#555;stroke-width:.8;stroke-dasharray:5 3}.slit{fill:none;stroke:#b3261e;stroke-width:2.2}.datum{fill:none;stroke:#1b5e8a;stroke-width:1.6}.stray{fill:none;stroke:#b3261e;stroke-width:1;stroke-dasharray:2 3}.name{fill:#111;text-anchor:middle}.fault{fill:none;stroke:#b3261e;stroke-width:2.4}.doubt{fill:none;stroke:#9a5b00;stroke-width:1.8;stroke-dasharray:6 3}.repair{fill:none;stroke:#1b5e8a;stroke-width:1.2;stroke-dasharray:1.5 2.5}</style>` + "\n")
	p.raw(`<rect width="100%%" height="100%%" fill="#fff"/>` + "\n")
}

func (p *painter) outlines() {
	for _, o := range p.shown {
		d := p.path(o.Exterior, true)
		for _, h := range o.Holes {
			d += p.path(h, true)
		}
		p.raw(`<path class="ply" d="%s"/>`+"\n", d)
		for _, m := range o.Marks {
			p.mark(m)
		}
	}
}

func (p *painter) mark(m shapes.Mark) {
	if len(m.Line) == 0 {
		return
	}
	q := p.at(m.Line[0])
	switch m.Kind {
	case shapes.MarkPoint:
		p.raw(`<path class="datum" d="M%s %sh8m-4 -4v8"/>`+"\n", short(q[0]-4), short(q[1]))
	case shapes.MarkText:
		p.raw(`<text x="%s" y="%s" font-size="8" fill="#555">%s</text>`+"\n", short(q[0]), short(q[1]), escaped(clip(tidy(m.Text))))
	default:
		class := string(m.Kind)
		p.raw(`<path class="%s" d="%s"/>`+"\n", class, p.path(m.Line, false))
		if m.Kind == shapes.MarkDatum {
			p.arrow(m.Line)
		}
	}
}

// arrow puts a head at the end of the datum line.
func (p *painter) arrow(l orb.LineString) {
	a, b := p.at(l[0]), p.at(l[len(l)-1])
	d := sub(b, a)
	n := length(d)
	if n == 0 {
		return
	}
	d = mulPoint(d, 9/n)
	s := orb.Point{-d[1] * 0.4, d[0] * 0.4}
	u, v := add(sub(b, d), s), sub(sub(b, d), s)
	p.raw(`<path fill="#1b5e8a" d="M%s %sL%s %sL%s %sZ"/>`+"\n", short(b[0]), short(b[1]), short(u[0]), short(u[1]), short(v[0]), short(v[1]))
}

func (p *painter) strays() {
	for _, l := range p.d.loose {
		p.raw(`<path class="stray" d="%s"/>`+"\n", p.path(l, false))
	}
}

// names writes each name at the widest place of its ply, as large as fits.
func (p *painter) names() {
	for _, o := range p.shown {
		if len(o.Exterior) < 3 {
			continue
		}
		body := geom.SimplifyOuter(o.Exterior, 2/p.k)
		holes := make([]orb.Ring, len(o.Holes))
		for i, h := range o.Holes {
			holes[i] = geom.SimplifyOuter(h, 2/p.k)
		}
		c, r := geom.Pole(body, holes, 1/p.k)
		name := clip(o.Name)
		size := math.Min(14, math.Max(7, 2*r*p.k/(textAspect*math.Max(3, float64(len([]rune(name)))))))
		q := p.at(c)
		p.raw(`<text class="name" x="%s" y="%s" font-size="%s">%s</text>`+"\n", short(q[0]), short(q[1]+size/3), short(size), escaped(name))
	}
}

func (p *painter) spots() {
	for i, q := range p.listed {
		if q.At == nil {
			continue
		}
		mm := p.d.toMM.point(*q.At)
		if !geom.InRange(mm) {
			continue
		}
		c := p.at(mm)
		if c[0] < -50 || c[1] < -50 || c[0] > pictureWidth+50 || c[1] > p.high+50 {
			continue // far off: the list has its place
		}
		p.raw(`<circle class="%s" cx="%s" cy="%s" r="11"/>`, q.Severity, short(c[0]), short(c[1]))
		p.raw(`<text x="%s" y="%s" font-size="10" fill="#111" stroke="#fff" stroke-width="2.5" paint-order="stroke">%d</text>`+"\n", short(c[0]+9), short(c[1]-9), i+1)
	}
}

// list writes the problems below the picture.
func (p *painter) list() {
	y := p.high + pictureLine
	more := ""
	if n := len(p.d.Problems) - len(p.listed); n > 0 {
		more = fmt.Sprintf("; %d more problems are not shown", n)
	}
	p.raw(`<text x="%s" y="%s" font-size="12" font-weight="bold">%d outlines, %d problems%s</text>`+"\n", short(pictureMargin), short(y), len(p.d.Outlines), len(p.d.Problems), more)
	for i, q := range p.listed {
		y += pictureLine
		q.File, q.Line = "", 0
		text := []rune(fmt.Sprintf("%d  %s: %s", i+1, q.Severity, tidyLong(q.Error())))
		if len(text) > 170 {
			text = append(text[:167], '.', '.', '.')
		}
		p.raw(`<text x="%s" y="%s" font-size="11">%s</text>`+"\n", short(pictureMargin), short(y), escaped(string(text)))
	}
}

// tidyLong is tidy without its limit.
func tidyLong(s string) string { return strings.Join(strings.Fields(s), " ") }
