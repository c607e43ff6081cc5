package drawing

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/steady"
)

// dxfItem is one entity in the coordinates of its block or of the drawing, in
// the drawing's units.
type dxfItem struct {
	from    origin
	hidden  string // why it does not show, or empty
	skip    string // why it is not used, or empty
	curves  []curve
	closed  bool
	text    *writing
	point   *orb.Point
	insert  *dxfInsert
	trouble []trouble
	told    bool // trouble has been listed
}

// trouble is a problem met before the unit is known; at is in the drawing's
// units.
type trouble struct {
	sev           shapes.Severity
	at            *orb.Point
	message, hint string
}

func (it *dxfItem) doubt(at orb.Point, message, hint string) {
	it.trouble = append(it.trouble, trouble{shapes.Doubt, &at, message, hint})
}

func (it *dxfItem) fault(at *orb.Point, message, hint string) {
	it.trouble = append(it.trouble, trouble{shapes.Fault, at, message, hint})
	it.skip = "faulty"
	it.curves = nil
}

// dxfInsert is a block reference.
type dxfInsert struct {
	block      string
	ocs        affine
	at         orb.Point
	sx, sy     float64
	rotation   float64
	cols, rows int
	dx, dy     float64
	attribs    []*dxfItem
}

// entities reads entities up to the given end.
func (f *dxfFile) entities(end string) []*dxfItem {
	var out []*dxfItem
	for {
		g, ok := f.r.next()
		if !ok || f.s.halted {
			return out
		}
		if g.code != 0 {
			continue
		}
		kind := word(g)
		switch kind {
		case end:
			return out
		case "SECTION", "EOF", "ENDSEC", "BLOCK":
			f.r.back()
			return out
		case "SEQEND", "ENDBLK":
			f.groups()
			continue
		}
		it := f.item(kind)
		if kind == "ATTRIB" && len(out) > 0 && out[len(out)-1].insert != nil {
			in := out[len(out)-1].insert
			in.attribs = append(in.attribs, it)
			continue
		}
		out = append(out, it)
		if len(out) > 2*MaxCurves {
			f.s.halt(f.r.line, fmt.Sprintf("more than %d entities", 2*MaxCurves), "split the drawing")
			return out
		}
	}
}

// item reads one entity whose kind has been read.
func (f *dxfFile) item(kind string) *dxfItem {
	line := f.r.line
	if f.r.binary {
		line = 0
	}
	gs := f.groups()
	it := &dxfItem{from: origin{kind: clip(kind), entity: string(gs.text(5)), line: line}}
	it.from.entity = strings.TrimSpace(f.text.decode([]byte(it.from.entity)))
	it.from.layer = f.text.decode(gs.text(8))
	if it.from.layer == "" {
		it.from.layer = "0"
	}
	switch {
	case gs.int(67, 0) == 1:
		it.hidden = "drawn on paper space"
	case gs.int(60, 0) == 1:
		it.hidden = "marked invisible"
	}
	read, ok := dxfReaders[kind]
	if !ok {
		it.skip = "not an outline"
		return it
	}
	read(f, it, gs)
	it.checkNumbers(gs)
	return it
}

// checkNumbers lists a fault, with the text in question, where a coordinate is
// no number, as with a decimal comma.
func (it *dxfItem) checkNumbers(gs groups) {
	bad := func(p orb.Point) bool { return p[0] != p[0] || p[1] != p[1] }
	wrong := it.insert != nil && (bad(it.insert.at) || bad(orb.Point{it.insert.sx, it.insert.sy}) || it.insert.rotation != it.insert.rotation)
	for _, c := range it.curves {
		wrong = wrong || bad(c.start()) || bad(c.end())
	}
	if !wrong {
		return
	}
	for _, g := range gs {
		if _, ok := g.float(); !ok && g.code >= 10 && g.code < 60 {
			it.fault(nil, fmt.Sprintf("group code %d holds %q, which is no number", g.code, clip(shown(g.text))), "export the drawing again, with a decimal point")
			return
		}
	}
}

// shown is text of a file as it may be shown.
func shown(b []byte) string { return strings.ToValidUTF8(strings.TrimSpace(string(b)), "\uFFFD") }

// dxfReaders turn the groups of an entity into curves, a text, a point or a
// block reference.
var dxfReaders = map[string]func(*dxfFile, *dxfItem, groups){}

func init() {
	dxfReaders["LINE"] = (*dxfFile).readLine
	dxfReaders["POINT"] = (*dxfFile).readPoint
	dxfReaders["CIRCLE"] = (*dxfFile).readCircle
	dxfReaders["ARC"] = (*dxfFile).readArc
	dxfReaders["ELLIPSE"] = (*dxfFile).readEllipse
	dxfReaders["LWPOLYLINE"] = (*dxfFile).readLWPolyline
	dxfReaders["POLYLINE"] = (*dxfFile).readPolyline
	dxfReaders["SPLINE"] = (*dxfFile).readSpline
	dxfReaders["INSERT"] = (*dxfFile).readInsert
	dxfReaders["TEXT"] = (*dxfFile).readText
	dxfReaders["ATTRIB"] = (*dxfFile).readText
	dxfReaders["MTEXT"] = (*dxfFile).readMText
}

// plane is the map from the entity's own plane to the drawing's: the identity
// or, seen from below, a mirror image. Other planes are passed over.
func (it *dxfItem) plane(gs groups) affine {
	if it.upsideDown(gs) {
		return scaling(-1, 1)
	}
	return identity
}

func (it *dxfItem) upsideDown(gs groups) bool {
	x, y, z := gs.float(210, 0), gs.float(220, 0), gs.float(230, 1)
	if l := math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z)); !(steady.Hypot(x, y) <= 1e-6*l) || l == 0 {
		it.skip = "not in the plane of the drawing"
		it.doubt(gs.point(10), "is not drawn in the plane of the drawing and was left out", "draw it flat")
	}
	return z < 0
}

// need reports whether every code is there, and lists a fault otherwise.
func (it *dxfItem) need(gs groups, codes ...int) bool {
	for _, c := range codes {
		if !gs.has(c) {
			it.fault(nil, fmt.Sprintf("is incomplete: group code %d is missing", c), "save the drawing again")
			return false
		}
	}
	return true
}

// flat doubts an entity whose heights differ.
func (it *dxfItem) flat(zs ...float64) {
	for _, z := range zs[1:] {
		if math.Abs(z-zs[0]) > 1e-6*(1+math.Abs(z)+math.Abs(zs[0])) {
			at := orb.Point{}
			if len(it.curves) > 0 {
				at = it.curves[0].start()
			}
			it.doubt(at, fmt.Sprintf("is not flat: its heights run from %.6g to %.6g; its plan view was taken", zs[0], z), "draw the flat pattern")
			return
		}
	}
}

func (f *dxfFile) readLine(it *dxfItem, gs groups) {
	if !it.need(gs, 10, 20, 11, 21) {
		return
	}
	it.curves = []curve{lineCurve{gs.point(10), gs.point(11)}}
	it.flat(gs.float(30, 0), gs.float(31, 0))
}

func (f *dxfFile) readPoint(it *dxfItem, gs groups) {
	if it.need(gs, 10, 20) {
		p := gs.point(10)
		it.point = &p
	}
}

func (f *dxfFile) readCircle(it *dxfItem, gs groups) {
	if !it.need(gs, 10, 20, 40) {
		return
	}
	r := gs.float(40, 0)
	if !(r > 0) {
		p := gs.point(10)
		it.fault(&p, fmt.Sprintf("has radius %g", r), "draw it again")
		return
	}
	it.curves = []curve{newArc(gs.point(10), orb.Point{r, 0}, orb.Point{0, r}, 0, 2*math.Pi).mapped(it.plane(gs))}
	it.closed = true
}

func (f *dxfFile) readArc(it *dxfItem, gs groups) {
	if !it.need(gs, 10, 20, 40, 50, 51) {
		return
	}
	r := gs.float(40, 0)
	if !(r > 0) {
		p := gs.point(10)
		it.fault(&p, fmt.Sprintf("has radius %g", r), "draw it again")
		return
	}
	t0, t1 := counterClockwise(gs.float(50, 0)*math.Pi/180, gs.float(51, 0)*math.Pi/180)
	it.curves = []curve{newArc(gs.point(10), orb.Point{r, 0}, orb.Point{0, r}, t0, t1).mapped(it.plane(gs))}
}

// counterClockwise returns the angles with the second beyond the first by more
// than 0 and at most a full turn.
func counterClockwise(t0, t1 float64) (float64, float64) {
	const turn = 2 * math.Pi
	t0, t1 = math.Mod(t0, turn), math.Mod(t1, turn)
	d := math.Mod(t1-t0, turn)
	if d <= 1e-12 {
		d += turn
	}
	return t0, t0 + d
}

func (f *dxfFile) readEllipse(it *dxfItem, gs groups) {
	if !it.need(gs, 10, 20, 11, 21, 40) {
		return
	}
	c, u, ratio := gs.point(10), gs.point(11), gs.float(40, 1)
	if !(ratio > 0) || u == (orb.Point{}) {
		it.fault(&c, "has an axis of no length", "draw it again")
		return
	}
	v := mulPoint(orb.Point{-u[1], u[0]}, ratio)
	if it.upsideDown(gs) {
		v = mulPoint(v, -1)
	}
	t0, t1 := counterClockwise(gs.float(41, 0), gs.float(42, 2*math.Pi))
	it.closed = t1-t0 > 2*math.Pi-1e-9
	if it.closed {
		t1 = t0 + 2*math.Pi
	}
	it.curves = []curve{newArc(c, u, v, t0, t1)}
}

func (f *dxfFile) readInsert(it *dxfItem, gs groups) {
	it.insert = &dxfInsert{
		block: f.text.decode(gs.text(2)), ocs: it.plane(gs), at: gs.point(10),
		sx: gs.float(41, 1), sy: gs.float(42, 1), rotation: gs.float(50, 0),
		cols: max(gs.int(70, 1), 1), rows: max(gs.int(71, 1), 1), dx: gs.float(44, 0), dy: gs.float(45, 0),
	}
}
