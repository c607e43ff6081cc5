package dxf

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/export"
	"plyroom/export/toolpath"
	"plyroom/shapes/steady"
)

// A layer is one row of the layer table.
type layer struct {
	name  string
	color int
}

// layers are all the layers a file may use, in the order of its table.
var layers = []layer{
	{"CUT_OUTLINE", 7}, {"CUT_HOLE", 1}, {"CUT_SLIT", 6}, {"CUT_CHECK", 30},
	{"INK_NAME", 5}, {"INK_FIBRE", 5}, {"INK_MARK", 5},
	{"INFO_NAME", 8}, {"INFO_FIBRE", 8}, {"INFO_MARK", 8}, {"INFO_FABRIC", 9},
}

// Write writes the path as a release 12 drawing. The error is the first of w.
func Write(w io.Writer, p *toolpath.Path) error {
	d := newDrawing(w, p)
	for _, line := range p.Lines() {
		d.text(999, line)
	}
	for _, warning := range p.Warnings {
		d.text(999, "warning: "+warning)
	}
	d.header("AC1009", nil)
	d.tables()
	d.group(0, "SECTION")
	d.group(2, "ENTITIES")
	d.entities()
	d.group(0, "ENDSEC")
	d.group(0, "EOF")
	return d.w.Flush()
}

// A drawing writes group codes. Errors stay in w until Flush.
type drawing struct {
	w     *bufio.Writer
	p     *toolpath.Path
	frame toolpath.Frame
	scale float64
	nl    string
	// modern is set for releases with handles; see write2010.go.
	modern *modern
}

func newDrawing(w io.Writer, p *toolpath.Path) *drawing {
	return &drawing{w: bufio.NewWriter(w), p: p, frame: p.DrawingFrame(), scale: p.Machine.Scale(), nl: p.Machine.Newline()}
}

func (d *drawing) group(code int, value string) {
	fmt.Fprintf(d.w, "%3d%s%s%s", code, d.nl, value, d.nl)
}

func (d *drawing) text(code int, s string) {
	if d.modern != nil {
		d.group(code, export.DXFTextUTF8(s))
		return
	}
	d.group(code, export.DXFText(s))
}

func (d *drawing) integer(code, v int)         { d.group(code, strconv.Itoa(v)) }
func (d *drawing) real(code int, v float64)    { d.group(code, decimal(v)) }
func (d *drawing) length(code int, mm float64) { d.real(code, mm*d.scale) }

// decimal writes six decimals without trailing zeros and never -0.
func decimal(v float64) string {
	s := strings.TrimRight(strconv.FormatFloat(v, 'f', 6, 64), "0")
	if s == "-0." {
		s = "0."
	}
	if strings.HasSuffix(s, ".") {
		s += "0"
	}
	return s
}

// point writes the groups of a point in layout coordinates.
func (d *drawing) point(code int, p orb.Point, z bool) {
	q := d.frame.Point(p)
	d.length(code, q[0])
	d.length(code+10, q[1])
	if z {
		d.real(code+20, 0)
	}
}

func (d *drawing) header(version string, more func()) {
	d.group(0, "SECTION")
	d.group(2, "HEADER")
	d.group(9, "$ACADVER")
	d.group(1, version)
	if more != nil {
		more()
	}
	lo, hi := d.extent()
	d.group(9, "$EXTMIN")
	d.corner(lo)
	d.group(9, "$EXTMAX")
	d.corner(hi)
	d.group(9, "$INSUNITS")
	unit := 4
	if d.p.Machine.Units == toolpath.Inches {
		unit = 1
	}
	d.integer(70, unit)
	d.group(0, "ENDSEC")
}

func (d *drawing) corner(p orb.Point) {
	d.length(10, p[0])
	d.length(20, p[1])
	d.real(30, 0)
}

// extent is the fabric's box in the machine's coordinates, mm.
func (d *drawing) extent() (lo, hi orb.Point) {
	a := d.frame.Point(orb.Point{})
	b := d.frame.Point(orb.Point{d.p.Head.Length, d.p.Head.Width})
	for i := range 2 {
		lo[i], hi[i] = math.Min(a[i], b[i]), math.Max(a[i], b[i])
	}
	return lo, hi
}

// tables writes the line type, layer and text style tables of release 12.
func (d *drawing) tables() {
	d.group(0, "SECTION")
	d.group(2, "TABLES")
	d.group(0, "TABLE")
	d.group(2, "LTYPE")
	d.integer(70, 1)
	d.group(0, "LTYPE")
	d.group(2, "CONTINUOUS")
	d.integer(70, 0)
	d.group(3, "Solid line")
	d.integer(72, 65)
	d.integer(73, 0)
	d.real(40, 0)
	d.group(0, "ENDTAB")
	d.group(0, "TABLE")
	d.group(2, "LAYER")
	d.integer(70, len(layers)+1)
	for _, l := range append([]layer{{"0", 7}}, layers...) {
		d.group(0, "LAYER")
		d.group(2, l.name)
		d.integer(70, 0)
		d.integer(62, l.color)
		d.group(6, "CONTINUOUS")
	}
	d.group(0, "ENDTAB")
	d.group(0, "TABLE")
	d.group(2, "STYLE")
	d.integer(70, 1)
	d.group(0, "STYLE")
	d.group(2, "STANDARD")
	d.integer(70, 0)
	d.real(40, 0)
	d.real(41, 1)
	d.real(50, 0)
	d.integer(71, 0)
	d.real(42, 2.5)
	d.group(3, "txt")
	d.group(4, "")
	d.group(0, "ENDTAB")
	d.group(0, "ENDSEC")
}

// entities writes cuts in cutting order, then what is not cut.
func (d *drawing) entities() {
	for _, c := range d.p.Cuts {
		start, segs := d.p.Segments(&c)
		d.curves(cutLayer(c.Kind), start, segs, c.Closed)
	}
	prefix := "INFO_"
	if d.p.Ink {
		prefix = "INK_"
	}
	for _, l := range d.p.Labels {
		name := prefix + labelLayer(l.Kind)
		for _, line := range l.Lines {
			d.polyline(name, line, false)
		}
		if l.Text != "" {
			d.writing(name, l)
		}
	}
	d.box("INFO_FABRIC", orb.Bound{Max: orb.Point{d.p.Head.Length, d.p.Head.Width}})
	d.box("INFO_FABRIC", d.p.Head.Usable)
}

func cutLayer(k toolpath.CutKind) string {
	switch k {
	case toolpath.Hole:
		return "CUT_HOLE"
	case toolpath.Slit:
		return "CUT_SLIT"
	case toolpath.CheckCut:
		return "CUT_CHECK"
	}
	return "CUT_OUTLINE"
}

func labelLayer(k toolpath.LabelKind) string {
	switch k {
	case toolpath.Name:
		return "NAME"
	case toolpath.Fibre:
		return "FIBRE"
	}
	return "MARK"
}

func (d *drawing) box(name string, b orb.Bound) {
	d.polyline(name, orb.LineString{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}, true)
}

func (d *drawing) polyline(name string, pts orb.LineString, closed bool) {
	vs := make([]vertex, len(pts))
	for i, p := range pts {
		vs[i].at = p
	}
	d.vertices(name, vs, closed)
}

// A vertex is a place of a polyline and the bulge of what follows it: the
// tangent of a quarter of an arc's sweep, counter-clockwise positive.
type vertex struct {
	at    orb.Point
	bulge float64
}

// curves writes segments as a polyline. A closed one ends where it starts.
func (d *drawing) curves(name string, start orb.Point, segs []toolpath.Segment, closed bool) {
	vs := make([]vertex, 1, len(segs)+1)
	vs[0].at = start
	for i := range segs {
		vs[i].bulge = steady.Tan(d.frame.Sweep(segs[i].Sweep) / 4 * math.Pi / 180)
		vs = append(vs, vertex{at: segs[i].To})
	}
	if closed {
		vs = vs[:len(segs)]
	}
	d.vertices(name, vs, closed)
}

func (d *drawing) vertices(name string, vs []vertex, closed bool) {
	flag := 0
	if closed {
		flag = 1
	}
	if d.modern != nil {
		d.lwpolyline(name, vs, flag)
		return
	}
	d.group(0, "POLYLINE")
	d.group(8, name)
	d.integer(66, 1)
	d.real(10, 0)
	d.real(20, 0)
	d.real(30, 0)
	d.integer(70, flag)
	for _, v := range vs {
		d.group(0, "VERTEX")
		d.group(8, name)
		d.point(10, v.at, true)
		d.bulge(v)
	}
	d.group(0, "SEQEND")
	d.group(8, name)
}

// bulge writes the bulge of a vertex that has one, in more digits than
// coordinates: it multiplies the chord.
func (d *drawing) bulge(v vertex) {
	if v.bulge != 0 {
		d.group(42, strconv.FormatFloat(v.bulge, 'f', 9, 64))
	}
}

// writing is a text centred on its place.
func (d *drawing) writing(name string, l toolpath.Label) {
	d.group(0, "TEXT")
	if d.modern != nil {
		d.entity(name, "AcDbText")
	} else {
		d.group(8, name)
	}
	d.point(10, l.At, true)
	d.length(40, l.Height)
	d.text(1, l.Text)
	d.real(50, d.frame.TextAngle(l.Angle))
	d.integer(72, 1)
	d.point(11, l.At, true)
	if d.modern != nil {
		d.group(100, "AcDbText")
	}
	d.integer(73, 2)
}
