package drawing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// pairs writes group codes and values, each on a line of its own.
func pairs(args ...any) string {
	var b strings.Builder
	for _, a := range args {
		fmt.Fprintf(&b, "%v\n", a)
	}
	return b.String()
}

func section(name, body string) string {
	return pairs(0, "SECTION", 2, name) + body + pairs(0, "ENDSEC")
}

// dxfPage is a drawing in millimetres with the given blocks and entities.
func dxfPage(blocks, entities string) string {
	s := section("HEADER", pairs(9, "$ACADVER", 1, "AC1015", 9, "$INSUNITS", 70, 4))
	if blocks != "" {
		s += section("BLOCKS", blocks)
	}
	return s + section("ENTITIES", entities) + pairs(0, "EOF")
}

func block(name string, x, y float64, body string) string {
	return pairs(0, "BLOCK", 8, 0, 2, name, 70, 0, 10, x, 20, y) + body + pairs(0, "ENDBLK")
}

func dxfLine(x1, y1, x2, y2 float64) string {
	return pairs(0, "LINE", 8, "PLIES", 10, x1, 20, y1, 11, x2, 21, y2)
}

// lwpoly is a closed polyline of x, y, bulge triples.
func lwpoly(v ...float64) string {
	s := pairs(0, "LWPOLYLINE", 5, "2F", 8, "PLIES", 90, len(v)/3, 70, 1)
	for i := 0; i < len(v); i += 3 {
		s += pairs(10, v[i], 20, v[i+1], 42, v[i+2])
	}
	return s
}

func poly(flags int, v ...float64) string {
	s := pairs(0, "POLYLINE", 5, "30", 8, "PLIES", 66, 1, 70, flags)
	for i := 0; i < len(v); i += 3 {
		s += pairs(0, "VERTEX", 8, "PLIES", 10, v[i], 20, v[i+1], 30, 0, 42, v[i+2])
	}
	return s + pairs(0, "SEQEND", 8, "PLIES")
}

var square = lwpoly(0, 0, 0, 100, 0, 0, 100, 100, 0, 0, 100, 0)

func TestDXFEntities(t *testing.T) {
	halfTurn := lwpoly(0, 0, 1, 100, 0, 0, 100, 50, 0, 0, 50, 0)
	mirrored := func(e string) string { return e + pairs(210, 0, 220, 0, 230, -1) }
	for _, c := range []struct {
		name, blocks, entities string
		area                   float64
		inside                 orb.Point // a place in the material
	}{
		{"LINE", "", dxfLine(0, 0, 100, 0) + dxfLine(100, 50, 100, 0) + dxfLine(0, 50, 100, 50) + dxfLine(0, 50, 0, 0), 5000, orb.Point{1, 1}},
		{"LWPOLYLINE", "", square, 1e4, orb.Point{1, 1}},
		{"LWPOLYLINE bulge", "", halfTurn, 5000 + math.Pi*1250, orb.Point{50, -49}},
		{"LWPOLYLINE bulge clockwise", "", lwpoly(0, 0, -1, 100, 0, 0, 100, 90, 0, 0, 90, 0), 9000 - math.Pi*1250, orb.Point{1, 80}},
		{"LWPOLYLINE bulge of 270 degrees", "", lwpoly(0, 0, math.Tan(math.Pi*270/180/4), 100, 0, 0), 5000*math.Pi*3/4 + 2500, orb.Point{50, -40}},
		{"LWPOLYLINE open but meeting", "", pairs(0, "LWPOLYLINE", 8, 0, 90, 4, 70, 0, 10, 0, 20, 0, 10, 90, 20, 0, 10, 90, 20, 90, 10, 0, 20, 0), 4050, orb.Point{50, 10}},
		{"LWPOLYLINE seen from below", "", mirrored(lwpoly(0, 0, 0, 100, 0, 0, 100, 50, 0)), 2500, orb.Point{-90, 40}},
		{"LWPOLYLINE bulge seen from below", "", mirrored(halfTurn), 5000 + math.Pi*1250, orb.Point{-50, -49}},
		{"POLYLINE", "", poly(1, 0, 0, 0, 100, 0, 0, 100, 50, 0), 2500, orb.Point{90, 40}},
		{"POLYLINE bulge", "", poly(1, 0, 0, 1, 100, 0, 1), math.Pi * 2500, orb.Point{50, -49}},
		{"POLYLINE flat 3-D", "", poly(9, 0, 0, 0, 100, 0, 0, 100, 50, 0), 2500, orb.Point{90, 40}},
		{"POLYLINE with spline frame", "", pairs(0, "POLYLINE", 66, 1, 70, 5, 0, "VERTEX", 10, -500, 20, -500, 70, 16, 0, "VERTEX", 10, 0, 20, 0, 70, 8, 0, "VERTEX", 10, 100, 20, 0, 70, 8, 0, "VERTEX", 10, 100, 20, 50, 70, 8, 0, "SEQEND"), 2500, orb.Point{90, 40}},
		{"CIRCLE", "", pairs(0, "CIRCLE", 10, 30, 20, 40, 40, 25), math.Pi * 625, orb.Point{30, 64}},
		{"CIRCLE seen from below", "", mirrored(pairs(0, "CIRCLE", 10, 30, 20, 40, 40, 25)), math.Pi * 625, orb.Point{-30, 64}},
		{"ARC", "", pairs(0, "ARC", 10, 0, 20, 0, 40, 50, 50, 270, 51, 90) + dxfLine(0, 50, 0, -50), math.Pi * 1250, orb.Point{49, 0}},
		{"ARC seen from below", "", mirrored(pairs(0, "ARC", 10, 0, 20, 0, 40, 50, 50, 270, 51, 90)) + dxfLine(0, 50, 0, -50), math.Pi * 1250, orb.Point{-49, 0}},
		{"ELLIPSE", "", pairs(0, "ELLIPSE", 10, 0, 20, 0, 11, 0, 21, 80, 40, 0.5, 41, 0, 42, 2*math.Pi), math.Pi * 3200, orb.Point{0, 79}},
		{"ELLIPSE in part", "", pairs(0, "ELLIPSE", 10, 0, 20, 0, 11, 80, 21, 0, 40, 0.5, 41, 0, 42, math.Pi) + dxfLine(-80, 0, 80, 0), math.Pi * 1600, orb.Point{0, 39}},
		{"ELLIPSE in part seen from below", "", mirrored(pairs(0, "ELLIPSE", 10, 0, 20, 0, 11, 80, 21, 0, 40, 0.5, 41, 0, 42, math.Pi)) + dxfLine(-80, 0, 80, 0), math.Pi * 1600, orb.Point{0, -39}},
		{"SPLINE cubic", "", pairs(0, "SPLINE", 70, 8, 71, 3, 72, 8, 73, 4, 74, 0, 40, 0, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1, 40, 1, 10, 0, 20, 0, 10, 0, 20, 50, 10, 100, 20, 50, 10, 100, 20, 0) + dxfLine(0, 0, 100, 0), 3000, orb.Point{50, 37}},
		{"SPLINE rational", "", rationalQuarter + dxfLine(0, 0, 100, 0) + dxfLine(0, 0, 0, 100), math.Pi * 2500, orb.Point{70, 70}},
		{"SPLINE of degree 1", "", pairs(0, "SPLINE", 70, 0, 71, 1, 40, 0, 40, 0, 40, 1, 40, 2, 40, 2, 10, 0, 20, 0, 10, 100, 20, 0, 10, 100, 20, 100) + dxfLine(100, 100, 0, 0), 5000, orb.Point{90, 50}},
		{"SPLINE closed", "", closedSpline, closedSplineArea, orb.Point{50, 50}},
		{"INSERT", block("P", 0, 0, square), pairs(0, "INSERT", 2, "P", 10, 500, 20, 600), 1e4, orb.Point{501, 601}},
		{"INSERT base point", block("P", 100, 100, square), pairs(0, "INSERT", 2, "P", 10, 500, 20, 600), 1e4, orb.Point{499, 599}},
		{"INSERT turned", block("P", 0, 0, square), pairs(0, "INSERT", 2, "P", 10, 500, 20, 600, 50, 90), 1e4, orb.Point{499, 601}},
		{"INSERT scaled", block("P", 10, 0, square), pairs(0, "INSERT", 2, "P", 10, 500, 20, 600, 41, 2, 42, 3, 50, 90), 6e4, orb.Point{201, 590}},
		{"INSERT mirrored", block("P", 0, 0, square), pairs(0, "INSERT", 2, "P", 10, 500, 20, 600, 41, -1, 42, 1), 1e4, orb.Point{499, 601}},
		{"INSERT seen from below", block("P", 0, 0, square), mirrored(pairs(0, "INSERT", 2, "P", 10, 500, 20, 600)), 1e4, orb.Point{-501, 601}},
		{"INSERT squeezing a circle", block("P", 0, 0, pairs(0, "CIRCLE", 10, 0, 20, 0, 40, 10)), pairs(0, "INSERT", 2, "P", 10, 0, 20, 0, 41, 2, 42, 5, 50, 20), math.Pi * 1000, orb.Point{0, 0}},
		{"INSERT nested", block("Q", 0, 0, square) + block("P", 0, 0, pairs(0, "INSERT", 2, "Q", 10, 10, 20, 0, 41, 0.5, 42, 0.5)), pairs(0, "INSERT", 2, "p", 10, 500, 20, 600, 50, 180), 2500, orb.Point{489, 599}},
		// Turned 45 degrees within and stretched along x without: (90, 10) of the
		// square comes to 2·(90-10)/√2, (90+10)/√2.
		{"INSERT sheared", block("Q", 0, 0, square) + block("P", 0, 0, pairs(0, "INSERT", 2, "Q", 10, 0, 20, 0, 50, 45)), pairs(0, "INSERT", 2, "P", 10, 500, 20, 600, 41, 2), 2e4, orb.Point{500 + 2*80*math.Sqrt2/2, 600 + 100*math.Sqrt2/2}},
		{"INSERT seen from below in one seen from below", block("Q", 0, 0, square) + block("P", 0, 0, mirrored(pairs(0, "INSERT", 2, "Q", 10, 10, 20, 0))), mirrored(pairs(0, "INSERT", 2, "P", 10, 500, 20, 600)), 1e4, orb.Point{-500 + 10 + 1, 601}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, dxfPage(c.blocks, c.entities), Options{})
			require.Len(t, d.Outlines, 1)
			o := d.Outlines[0]
			assert.InEpsilon(t, c.area, o.Area, 1e-9)
			assert.Equal(t, geom.Inside, geom.PointInPolygon(o.Exterior, o.Holes, c.inside), "%v is not in the material", c.inside)
			checkOutline(t, o)
		})
	}
}

// rationalQuarter is a quarter of a circle, radius 100, as a rational
// quadratic: weights 1, 1/√2, 1.
var rationalQuarter = pairs(0, "SPLINE", 70, 12, 71, 2, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1,
	10, 100, 20, 0, 10, 100, 20, 100, 10, 0, 20, 100, 41, 1, 41, math.Sqrt2/2, 41, 1)

// closedSpline is a uniform quadratic on the corners of the square of side
// 100, wrapped round: its knots are single throughout.
var closedSpline = func() string {
	s := pairs(0, "SPLINE", 70, 11, 71, 2)
	for i := range 9 {
		s += pairs(40, i)
	}
	for i := range 6 {
		c := [4][2]int{{0, 0}, {100, 0}, {100, 100}, {0, 100}}[i%4]
		s += pairs(10, c[0], 20, c[1])
	}
	return s
}()

// The curve joins the middles of the sides by parabolas tangent to them. A
// parabola cuts a third of the corner's triangle of 50 by 50.
const closedSplineArea = 1e4 - 4.0/3*1250

func TestDXFArrays(t *testing.T) {
	d := readString(t, dxfPage(block("LIP", 0, 0, square), pairs(0, "INSERT", 2, "LIP", 10, 1000, 20, 0, 50, 90, 41, 0.5, 42, 0.5, 70, 3, 71, 2, 44, 200, 45, 300)), Options{})
	require.Len(t, d.Outlines, 6)
	assert.Equal(t, []string{"LIP", "LIP-2", "LIP-3", "LIP-4", "LIP-5", "LIP-6"}, names(d))
	for _, o := range d.Outlines {
		assert.InDelta(t, 2500, o.Area, 1e-9)
	}
	// Columns run along the turned x axis: up. Rows to the left.
	last := geom.Bound(d.Outlines[5].Exterior)
	assert.InDelta(t, 1000-300-50, last.Min[0], 1e-9)
	assert.InDelta(t, 400, last.Min[1], 1e-9)
}

func TestDXFLayers(t *testing.T) {
	tables := section("TABLES", pairs(0, "TABLE", 2, "LAYER", 0, "LAYER", 2, "Cold", 70, 1, 62, 7, 0, "LAYER", 2, "DARK", 70, 0, 62, -7, 0, "ENDTAB"))
	on := func(layer string, x float64) string {
		return pairs(0, "CIRCLE", 8, layer, 10, x, 20, 0, 40, 10)
	}
	body := on("A", 0) + on("COLD", 100) + on("dark", 200) + on("B", 300) +
		pairs(0, "CIRCLE", 8, "A", 67, 1, 10, 400, 20, 0, 40, 10) + pairs(0, "CIRCLE", 8, "A", 60, 1, 10, 500, 20, 0, 40, 10) +
		pairs(0, "INSERT", 2, "P", 8, "C", 10, 600, 20, 0) + pairs(0, "INSERT", 2, "P", 8, "COLD", 10, 700, 20, 0) + pairs(0, "INSERT", 2, "P", 8, "DARK", 10, 800, 20, 0)
	d := readString(t, section("HEADER", pairs(9, "$INSUNITS", 70, 4))+tables+section("BLOCKS", block("P", 0, 0, on("0", 0)+on("D", 30)))+section("ENTITIES", body)+pairs(0, "EOF"),
		Options{Names: []NameSource{NameLayer}})
	// Layer 0 of a block is the layer of the reference; where that is off, the
	// block's other layers still show. D is there twice, so it names nothing.
	assert.Equal(t, []string{"A", "B", "C", "outline 4", "outline 5"}, names(d))
	assert.Equal(t, []PassedOver{
		{"CIRCLE", "drawn on paper space", 1, ""}, {"CIRCLE", "layer frozen", 1, ""}, {"CIRCLE", "layer off", 2, ""},
		{"CIRCLE", "marked invisible", 1, ""}, {"INSERT", "layer frozen", 1, ""},
	}, d.PassedOver)
}

func TestDXFUnits(t *testing.T) {
	for _, c := range []struct {
		code int
		mm   float64
	}{{1, 25.4}, {2, 304.8}, {4, 1}, {5, 10}, {6, 1000}, {8, 25.4e-6}, {9, 0.0254}, {10, 914.4}, {13, 1e-3}, {14, 100}} {
		// P: values and lengths from the published DXF reference.
		r := 10 / c.mm
		d := readString(t, section("HEADER", pairs(9, "$INSUNITS", 70, c.code))+section("ENTITIES", pairs(0, "CIRCLE", 10, 0, 20, 0, 40, r))+pairs(0, "EOF"), Options{})
		require.Len(t, d.Outlines, 1, "%d", c.code)
		assert.InEpsilon(t, math.Pi*100, d.Outlines[0].Area, 1e-9)
		assert.True(t, d.Unit.FromFile)
	}
	circle := section("ENTITIES", pairs(0, "CIRCLE", 10, 0, 20, 0, 40, 10)) + pairs(0, "EOF")
	for _, head := range []string{"", section("HEADER", pairs(9, "$INSUNITS", 70, 0)), section("HEADER", pairs(9, "$MEASUREMENT", 70, 1))} {
		_, err := ReadFrom(strings.NewReader(head+circle), "a.dxf", Options{})
		require.ErrorContains(t, err, "state it: --units mm")
		d := readString(t, head+circle, Options{Unit: "cm"})
		assert.InEpsilon(t, math.Pi*1e4, d.Outlines[0].Area, 1e-9)
	}
	d := readString(t, section("HEADER", pairs(9, "$INSUNITS", 70, 1))+circle, Options{Unit: "mm"})
	assert.Contains(t, d.Problems.Error(), "states in, --units mm, which is taken")
	_, err := ReadFrom(strings.NewReader(circle), "a.dxf", Options{Unit: "furlong"})
	require.ErrorContains(t, err, "furlong")
}

func TestDXFTexts(t *testing.T) {
	text := func(args ...any) string { return pairs(append([]any{0, "TEXT", 8, "PLIES"}, args...)...) }
	for _, c := range []struct{ name, entities, want string }{
		{"TEXT", text(10, 20, 20, 50, 40, 5, 1, "SKIN"), "SKIN"},
		{"TEXT aligned", text(10, 500, 20, 500, 11, 50, 21, 50, 72, 1, 73, 2, 40, 5, 1, "SKIN"), "SKIN"},
		{"TEXT begun outside", text(10, -5, 20, 50, 40, 10, 1, "UPPER SKIN"), "UPPER SKIN"},
		{"TEXT largest", text(10, 20, 20, 20, 40, 4, 1, "WR 600") + text(10, 20, 20, 50, 40, 5, 1, "SKIN"), "SKIN"},
		{"TEXT codes", text(10, 20, 20, 50, 40, 5, 1, "P%%uA%%u 45%%d 50%%%"), "PA 45° 50%"},
		{"TEXT unicode", text(10, 20, 20, 50, 40, 5, 1, `T\U+00FCr`), "Tür"},
		{"TEXT multibyte", text(10, 20, 20, 50, 40, 5, 1, `\M+18ABF`), "漢"},
		{"MTEXT", pairs(0, "MTEXT", 10, 20, 20, 50, 40, 5, 71, 1, 1, `{\fsans|b1;\H2.5x;SK\~IN}\PWR 600`), "SK IN"},
		{"MTEXT in parts", pairs(0, "MTEXT", 10, 20, 20, 50, 40, 5, 3, `{\C1;SK`, 1, `IN} \S1/2;`), "SKIN 1/2"},
		{"MTEXT braces", pairs(0, "MTEXT", 10, 20, 20, 50, 40, 5, 1, `\{A\\B\}^J2`), `{A\B}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, dxfPage("", square+c.entities), Options{})
			assert.Equal(t, c.want, d.Outlines[0].Name)
		})
	}
	// An attribute belongs to its reference even where it stands beside it.
	ins := pairs(0, "INSERT", 2, "B", 66, 1, 10, 0, 20, 0) + pairs(0, "ATTRIB", 10, 300, 20, 0, 40, 5, 1, "WR 600", 2, "FABRIC") +
		pairs(0, "ATTRIB", 10, 300, 20, 0, 40, 5, 1, "SKIN", 2, "PLY_NAME") + pairs(0, "SEQEND")
	d := readString(t, dxfPage(block("B", 0, 0, square), ins), Options{})
	require.Len(t, d.Outlines, 1)
	assert.Equal(t, "SKIN", d.Outlines[0].Name)
	require.Len(t, d.Outlines[0].Marks, 1)
	assert.Equal(t, "WR 600", d.Outlines[0].Marks[0].Text)
}

func TestDXFCodePages(t *testing.T) {
	page := func(version, codePage string) string {
		return section("HEADER", pairs(9, "$ACADVER", 1, version, 9, "$DWGCODEPAGE", 3, codePage, 9, "$INSUNITS", 70, 4)) +
			section("ENTITIES", square+pairs(0, "TEXT", 10, 20, 20, 20, 40, 5, 1, "@")) + pairs(0, "EOF")
	}
	for _, c := range []struct{ version, page, bytes, want string }{
		{"AC1009", "ANSI_1252", "T\xfcr", "Tür"},
		{"AC1015", "ansi_1251", "\xcf", "П"},
		{"AC1015", "ANSI_1250", "\xf8", "ř"},
		{"AC1015", "ANSI_932", "\x8a\xbf", "漢"},
		{"AC1009", "dos850", "\x81", "ü"},
		{"AC1018", "ANSI_936", "\xba\xba", "汉"},
		{"AC1021", "ANSI_1252", "Tür", "Tür"},
		{"AC1032", "ANSI_1252", "漢", "漢"},
	} {
		d := readString(t, strings.Replace(page(c.version, c.page), "@", c.bytes, 1), Options{})
		assert.Equal(t, c.want, d.Outlines[0].Name, "%+v", c)
	}
	d := readString(t, page("AC1015", "EBCDIC"), Options{})
	assert.Contains(t, d.Problems.Error(), "EBCDIC")
}

func TestDXFForms(t *testing.T) {
	plain := dxfPage("", square)
	for name, s := range map[string]string{
		"CR LF":              strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":                 strings.ReplaceAll(plain, "\n", "\r"),
		"padded codes":       "  " + strings.ReplaceAll(plain, "\n0\n", "\n  0\n"),
		"comments":           pairs(999, "drawn by hand") + strings.Replace(plain, "0\nENDSEC", "999\nhi\n0\nENDSEC", 1),
		"no end of file":     strings.TrimSuffix(plain, "0\nEOF\n"),
		"blank lines at end": plain + "\n\n\n",
		"unknown sections":   section("CLASSES", pairs(0, "CLASS", 1, "X")) + section("WONDERS", pairs(0, "LINE", 10, 1)) + plain,
		"unknown entities":   dxfPage("", pairs(0, "WIPEOUT3D", 5, "AA", 10, 3)+square+pairs(0, "HATCH", 2, "SOLID")),
		"byte order mark":    "\xef\xbb\xbf" + plain,
	} {
		t.Run(name, func(t *testing.T) {
			d := readString(t, s, Options{})
			require.Len(t, d.Outlines, 1)
			assert.InDelta(t, 1e4, d.Outlines[0].Area, 1e-9)
			switch name {
			case "no end of file":
				assert.Contains(t, d.Problems.Error(), "no end mark")
			case "unknown entities":
				assert.Equal(t, []PassedOver{{"HATCH", "not an outline", 1, ""}, {"WIPEOUT3D", "not an outline", 1, "AA"}}, d.PassedOver)
			}
		})
	}
	d := readString(t, section("ENTITIES", square), Options{Unit: "mm"})
	assert.Len(t, d.Outlines, 1, "entities alone")
}

func TestDXFRefuses(t *testing.T) {
	nan := strings.Replace(square, "100\n", "nan\n", 1)
	for _, c := range []struct{ name, doc, want string }{
		{"not a number", dxfPage("", nan), "not a finite number"},
		{"no number", dxfPage("", strings.Replace(square, "100\n", "wide\n", 1)), `LWPOLYLINE 2F: group code 10 holds "wide", which is no number`},
		{"decimal comma", dxfPage("", strings.ReplaceAll(dxfLine(0, 0, 12.5, 0), ".", ",")), `group code 11 holds "12,5", which is no number; export the drawing again, with a decimal point`},
		{"insert of no number", dxfPage(block("P", 0, 0, square), pairs(0, "INSERT", 5, "A1", 2, "P", 10, "1,5", 20, 0)), `INSERT A1: group code 10 holds "1,5"`},
		{"far", dxfPage("", pairs(0, "CIRCLE", 5, "C0", 10, 1e9, 20, 0, 40, 10)), "CIRCLE C0, at"},
		{"crossing", dxfPage("", lwpoly(0, 0, 0, 100, 100, 0, 100, 0, 0, 0, 100, 0)), "LWPOLYLINE 2F, at (50, 50): the outline crosses"},
		{"crossing arcs", dxfPage("", lwpoly(0, 0, -1, 100, 0, 0, 100, 20, 0, 0, 20, 0)), "crosses"},
		{"no area", dxfPage("", lwpoly(0, 0, 0, 100, 0, 0)), "no area"},
		{"sliver", dxfPage("", lwpoly(0, 0, 0, 100, 0, 0, 100, 1e-9, 0)), "no area"},
		{"open", dxfPage("", dxfLine(0, 0, 100, 0)+dxfLine(100, 0, 100, 100)+dxfLine(100, 100, 0, 100)), "ends lie 100 mm apart"},
		{"empty", dxfPage("", ""), "no line"},
		{"radius", dxfPage("", square+pairs(0, "CIRCLE", 5, "C0", 10, 0, 20, 0, 40, -1)), "CIRCLE C0, at (0, 0): has radius -1"},
		{"incomplete", dxfPage("", square+pairs(0, "LINE", 5, "C0", 10, 0, 20, 0)), "group code 11 is missing"},
		{"spline knots", dxfPage("", square+pairs(0, "SPLINE", 71, 3, 40, 0, 10, 0, 20, 0, 10, 1, 20, 0, 10, 1, 20, 1, 10, 0, 20, 1)), "1 knots"},
		{"spline weights", dxfPage("", square+strings.Replace(rationalQuarter, "41\n1\n", "41\n-1\n", 1)), "weight 1 is -1"},
		{"scale 0", dxfPage(block("P", 0, 0, square), square+pairs(0, "INSERT", 2, "P", 41, 0)), "scale (0, 1)"},
		{"block of itself", dxfPage(block("P", 0, 0, square+pairs(0, "INSERT", 5, "A1", 2, "P", 10, 500)), pairs(0, "INSERT", 2, "P")), "refers to itself"},
		{"blocks in a circle", dxfPage(block("P", 0, 0, pairs(0, "INSERT", 2, "Q"))+block("Q", 0, 0, pairs(0, "INSERT", 2, "P")), square+pairs(0, "INSERT", 2, "P")), "refers to itself"},
		{"array too large", dxfPage(block("P", 0, 0, square), pairs(0, "INSERT", 2, "P", 70, 30000, 71, 30000, 44, 1, 45, 1)), "block references"},
		{"damaged", dxfPage("", square) + "wat\n", ""},
		{"damaged within", strings.Replace(dxfPage("", square), "20\n", "zwanzig\n", 1), "expected a group code"},
		{"cut short", dxfPage("", square)[:120], ""},
		{"own binary", "AC1032\x00\x00\x00", "own binary"},
		{"pdf", "%PDF-1.7\n", "PDF"},
		{"picture", "\x89PNG\r\n\x1a\n", "pixels"},
		{"archive", "PK\x03\x04", "archive"},
		{"web page", "<!DOCTYPE html><html></html>", "web page"},
		{"prose", "The cheek is cut from one piece.\n", "unknown kind"},
		{"nothing", " \n", "is empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := ReadFrom(strings.NewReader(c.doc), "lip.dxf", Options{})
			require.NotNil(t, d)
			if c.want == "" {
				return // it must only not panic
			}
			require.ErrorContains(t, err, c.want)
			assert.True(t, strings.HasPrefix(err.Error(), "lip.dxf"), err.Error())
			for _, p := range d.Problems.Faults() {
				assert.Equal(t, shapes.Fault, p.Severity)
			}
		})
	}
	_, err := Read(t.TempDir()+"/none.dxf", Options{})
	require.ErrorContains(t, err, "no such file")
	_, err = Read(t.TempDir(), Options{})
	require.ErrorContains(t, err, "folder")
}

func TestDXFNotFlat(t *testing.T) {
	d := readString(t, dxfPage("", square+pairs(0, "LINE", 10, 10, 20, 50, 30, 0, 11, 80, 21, 50, 31, 7)+pairs(0, "CIRCLE", 10, 0, 20, 0, 40, 5, 210, 1, 220, 0, 230, 0)), Options{})
	require.Len(t, d.Outlines, 1)
	assert.Contains(t, d.Problems.Error(), "not flat")
	assert.Contains(t, d.Problems.Error(), "not drawn in the plane")
}

func TestDXFExternalBlocks(t *testing.T) {
	d := readString(t, dxfPage(pairs(0, "BLOCK", 2, "OTHER", 70, 4, 1, "other.dxf", 0, "ENDBLK"), square+pairs(0, "INSERT", 5, "7A", 2, "OTHER", 10, 3, 20, 4)+pairs(0, "INSERT", 2, "NONE")), Options{})
	assert.Contains(t, d.Problems.Error(), `INSERT 7A, at (3, 4): refers to another drawing (block "OTHER"), which is not fetched`)
	assert.Contains(t, d.Problems.Error(), `refers to block "NONE", which the drawing does not hold`)
}

// The definition of an attribute is no text, its value is.
func TestDXFAttributeDefinitions(t *testing.T) {
	b := block("B", 0, 0, square+pairs(0, "ATTDEF", 5, "D1", 10, 20, 20, 20, 40, 5, 1, "DEFAULT", 2, "PLY"))
	ins := pairs(0, "INSERT", 2, "B", 66, 1, 10, 0, 20, 0) + pairs(0, "ATTRIB", 10, 20, 20, 20, 40, 5, 1, "LIP", 2, "PLY") + pairs(0, "SEQEND")
	d := readString(t, dxfPage(b, ins), Options{})
	assert.Equal(t, []string{"LIP"}, names(d))
	assert.Equal(t, []PassedOver{{"ATTDEF", "not an outline", 1, "D1"}}, d.PassedOver)
}

func TestDXFFitPoints(t *testing.T) {
	// Twelve points of a circle, closed: the cubic through them is round to
	// within 1e-4 of its area.
	s := pairs(0, "SPLINE", 70, 1, 71, 3)
	for i := range 12 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 6)
		s += pairs(11, 100*cos, 21, 100*sin)
	}
	d := readString(t, dxfPage("", s), Options{})
	require.Len(t, d.Outlines, 1)
	assert.InEpsilon(t, math.Pi*1e4, d.Outlines[0].Area, 3e-4)
	assert.Contains(t, d.Problems.Error(), "fit points only")
	// Open, with end tangents: half of it.
	s = pairs(0, "SPLINE", 70, 0, 71, 3, 12, 0, 22, 1, 13, 0, 23, -1)
	for i := range 7 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 6)
		s += pairs(11, 100*cos, 21, 100*sin)
	}
	d = readString(t, dxfPage("", s+dxfLine(100, 0, -100, 0)), Options{})
	require.Len(t, d.Outlines, 1)
	assert.InEpsilon(t, math.Pi*5e3, d.Outlines[0].Area, 3e-4)
}

func TestDXFInsertsAreBounded(t *testing.T) {
	// Thirty blocks of ten references each: 10^30 circles.
	b := block("B0", 0, 0, "")
	for i := 1; i < 30; i++ {
		b += block(fmt.Sprintf("B%d", i), 0, 0, strings.Repeat(pairs(0, "INSERT", 2, fmt.Sprintf("B%d", i-1)), 10))
	}
	_, err := ReadFrom(strings.NewReader(dxfPage(b, pairs(0, "INSERT", 2, "B29"))), "a.dxf", Options{})
	require.ErrorContains(t, err, "more than")
	deep := block("B0", 0, 0, square)
	for i := 1; i < 400; i++ {
		deep += block(fmt.Sprintf("B%d", i), 0, 0, pairs(0, "INSERT", 2, fmt.Sprintf("B%d", i-1)))
	}
	_, err = ReadFrom(strings.NewReader(dxfPage(deep, pairs(0, "INSERT", 2, "B399"))), "a.dxf", Options{})
	require.ErrorContains(t, err, "deeper")
}
