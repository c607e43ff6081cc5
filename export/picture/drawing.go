package picture

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export/markup"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// Options choose what a picture shows.
type Options struct {
	// Prefix begins every id in the SVG, so that several pictures can share a
	// page; empty for one picture alone.
	Prefix string
	// Position is the number drawn on the i-th placed ply; nil numbers them
	// as kits do, in one walk along the roll.
	Position []int
	// Layer shows one layer of a spread only, counting from 1; 0 shows the
	// lowest.
	Layer int
	// Unit is the measure of all writing, mm; 0 chooses it by the layout's size,
	// so that the whole is readable on a page's width. See Unit.
	Unit float64
	// Width is the width of a standalone picture in pixels; 0 means 1400.
	Width int
	// NoNames, NoNumbers, NoFibres leave these out; Scrap hatches what no ply
	// uses.
	NoNames, NoNumbers, NoFibres, Scrap bool
	// Tag writes attributes on the group of the i-th placed ply, for a page
	// that wants to find it again; nil writes none.
	Tag func(i int) []string
}

// A Drawing is a layout made ready to be drawn.
type Drawing struct {
	rec      *nest.Record
	l        *nest.Layout
	opt      Options
	textures map[string]int
	unit     float64
	labels   []label
	position []int
	rings    [][]orb.Ring
	demand   map[nest.Key]*nest.Demand
	shapes   map[string]*nest.Shape
}

// New prepares the drawing of a layout.
func New(rec *nest.Record, l *nest.Layout, opt Options) *Drawing {
	d := &Drawing{rec: rec, l: l, opt: opt, textures: PartTextures(rec), position: opt.Position}
	if len(d.position) != len(l.Placed) {
		// Without an order of its own the numbering cannot fail.
		d.position, _ = kit.Positions(l, nil)
	}
	d.unit = opt.Unit
	if d.unit <= 0 {
		d.unit = Unit(l)
	}
	d.demand, d.shapes = rec.DemandByKey(), rec.ShapesByID()
	d.labels = make([]label, len(l.Placed))
	d.rings = make([][]orb.Ring, len(l.Placed))
	known := map[string]label{}
	for i := range l.Placed {
		p := &l.Placed[i]
		rings := []orb.Ring{thin(p.Outline)}
		for _, h := range p.Holes {
			rings = append(rings, thin(h))
		}
		d.rings[i] = rings
		d.labels[i] = d.label(p, rings, known)
	}
	return d
}

// label places the label of a ply. Equal shapes in equal position have equal
// labels; known holds those found, relative to the first vertex.
func (d *Drawing) label(p *nest.Placed, rings []orb.Ring, known map[string]label) label {
	if len(rings[0]) < 3 {
		return label{}
	}
	o := rings[0][0]
	var key strings.Builder
	key.WriteString(p.Ply)
	for _, r := range rings {
		for _, v := range r {
			fmt.Fprintf(&key, " %d %d", tenths(v[0]-o[0]), tenths(v[1]-o[1]))
		}
		key.WriteByte('|')
	}
	l, ok := known[key.String()]
	if !ok {
		l = place(rings[0], rings[1:], p.Ply, 3.1*d.unit)
		l.at = orb.Point{l.at[0] - o[0], l.at[1] - o[1]}
		l.fibre = orb.Point{l.fibre[0] - o[0], l.fibre[1] - o[1]}
		known[key.String()] = l
	}
	l.at = orb.Point{l.at[0] + o[0], l.at[1] + o[1]}
	l.fibre = orb.Point{l.fibre[0] + o[0], l.fibre[1] + o[1]}
	return l
}

// Unit is the measure of everything in a picture that is not fabric, mm: a
// hundredth of the layout's smaller side, more where the layout is long, so
// that writing stays readable when the whole is shown.
func Unit(l *nest.Layout) float64 {
	w := math.Max(l.Width, 100)
	return math.Min(math.Max(w, l.Length/3.4), 2.4*w) / 100
}

// Unit is the measure of the drawing's writing, mm.
func (d *Drawing) Unit() float64 { return d.unit }

// Box is the view box of the whole picture: x, y, width and height, mm.
func (d *Drawing) Box() (x, y, w, h float64) {
	u := d.unit
	return -2 * u, -6 * u, d.l.Length + float64(9*u), d.l.Width + float64(13*u)
}

// Span is the part of the x axis that holds the picture, and the fabric's
// length, for pages that show a layout in pieces.
func (d *Drawing) Span() (from, to, length float64) {
	x, _, w, _ := d.Box()
	return x, x + w, d.l.Length
}

// PatternPitch is the side of the texture squares, mm.
func (d *Drawing) PatternPitch() float64 { return 2.3 * d.unit }

// Patterns writes the patterns the drawing needs.
func (d *Drawing) Patterns(w *markup.Writer) {
	used := map[int]bool{}
	for i := range d.l.Placed {
		used[d.textures[d.l.Placed[i].Part]] = true
	}
	var list []int
	for t := range used {
		list = append(list, t)
	}
	sort.Ints(list)
	Patterns(w, d.opt.Prefix, d.PatternPitch(), list)
}

// Layers lists the layers that hold plies, from the bottom.
func (d *Drawing) Layers() []int {
	var out []int
	for _, l := range d.l.Layers {
		out = append(out, l.Layer)
	}
	sort.Ints(out)
	return out
}

// Plies writes the plies of one layer.
func (d *Drawing) Plies(w *markup.Writer, layer int) {
	var f *shapes.Fabric
	faceDown := false
	for _, l := range d.l.Layers {
		if l.Layer == layer {
			f, faceDown = d.rec.Fabric(l.Fabric), l.Face == "down"
		}
	}
	for i := range d.l.Placed {
		if d.l.Placed[i].Layer == layer {
			d.ply(w, i, f, faceDown)
		}
	}
}

func (d *Drawing) ply(w *markup.Writer, i int, f *shapes.Fabric, faceDown bool) {
	p, lb := &d.l.Placed[i], d.labels[i]
	var tag []string
	if d.opt.Tag != nil {
		tag = d.opt.Tag(i)
	}
	w.Start("g", append([]string{"class", "pl"}, tag...)...)
	class := "cut"
	if p.TurnedOver {
		class += " over"
	}
	if p.OppositeHand {
		class += " opp"
	}
	w.Start("path", "class", class, "fill", "url(#"+d.opt.Prefix+"t"+strconv.Itoa(d.textures[p.Part])+")",
		"d", pathData(d.l.Width, d.rings[i]...))
	w.Leaf("title", d.Describe(i))
	w.End()
	if m := d.marks(p); m != "" {
		w.Empty("path", "class", "mrk", "d", m)
	}
	sign := math.Min(0.68*lb.radius, 4*d.unit)
	if !d.opt.NoFibres && sign > 0 {
		if fib := fibreSign(f, faceDown, lb.fibre, sign, d.l.Width); fib != "" {
			w.Empty("path", "class", "fib", "d", fib)
			w.Empty("path", "class", "dat", "d", datumSign(p.RotationDeg, lb.fibre, sign, d.l.Width))
		}
	}
	if lb.size > 0 {
		d.text(w, "nm", lb, lb.text, 0.35-positionHeight/2, 1, !d.opt.NoNames)
		d.text(w, "no", lb, "#"+strconv.Itoa(d.position[i]), nameHeight/2+0.27, 0.8, !d.opt.NoNumbers)
	}
	w.End()
}

// text writes one line of a label; drop is how far its base line lies below
// the label's middle, in font sizes of the name.
func (d *Drawing) text(w *markup.Writer, class string, lb label, s string, drop, scale float64, shown bool) {
	if !shown {
		return
	}
	x, y := lb.at[0], d.l.Width-lb.at[1]
	attrs := []string{"class", class, "x", num(x), "y", num(y + float64(drop*lb.size)), "font-size", num(scale * lb.size)}
	if lb.angle != 0 {
		attrs = append(attrs, "transform", "rotate("+num(-lb.angle)+" "+num(x)+" "+num(y)+")")
	}
	w.Leaf("text", s, attrs...)
}

// Describe says in words what the i-th placed ply is.
func (d *Drawing) Describe(i int) string {
	p := &d.l.Placed[i]
	s := fmt.Sprintf("%s · %s, unit %d · order %d · %s #%d", p.Ply, p.Part, p.Unit, p.Order, d.l.ID, d.position[i])
	if p.OppositeHand {
		s += " · opposite hand"
	}
	if p.TurnedOver {
		s += " · cut face down, turn over"
	}
	return s
}

// Position is the number of the i-th placed ply.
func (d *Drawing) Position(i int) int { return d.position[i] }

// Outline is path data of the i-th placed ply.
func (d *Drawing) Outline(i int) string { return pathData(d.l.Width, d.rings[i]...) }
