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

// svgPage wraps elements in a document of 1000 by 1000 mm.
func svgPage(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">` + body + `</svg>`
}

func readString(t testing.TB, s string, opt Options) *Drawing {
	t.Helper()
	d, err := ReadFrom(strings.NewReader(s), "spinner", opt)
	require.NoError(t, err)
	return d
}

func names(d *Drawing) []string {
	var out []string
	for _, o := range d.Outlines {
		out = append(out, o.Name)
	}
	return out
}

// checkOutline asserts what holds for every outline, whatever was drawn.
func checkOutline(t testing.TB, o *shapes.Outline) {
	t.Helper()
	require.Greater(t, geom.SignedArea(o.Exterior), 0.0, "%s runs clockwise", o.Name)
	_, crossed := geom.SelfIntersection(o.Exterior)
	require.False(t, crossed, "%s crosses itself", o.Name)
	for _, h := range o.Holes {
		require.Less(t, geom.SignedArea(h), 0.0, "a cut-out of %s runs counter-clockwise", o.Name)
	}
	require.GreaterOrEqual(t, geom.PolygonArea(o.Exterior, o.Holes), o.Area*(1-1e-9), "%s: the polygon does not contain the shape", o.Name)
	require.LessOrEqual(t, geom.PolygonArea(o.Exterior, o.Holes), o.Area+o.Perimeter*geom.ChordDefault, "%s: the polygon stands off too far", o.Name)
}

// svgCase is one element, or a few, that make one outline.
type svgCase struct {
	name, body      string
	area, perimeter float64 // perimeter 0: not checked
}

func svgCases() []svgCase {
	const kappa = 4 * (math.Sqrt2 - 1) / 3 // of a quarter circle by a cubic
	hump := cubicArea(orb.Point{0, 0}, orb.Point{0, 50}, orb.Point{100, 50}, orb.Point{100, 0})
	quarter := 1e4 * (0.5 + cubicArea(orb.Point{1, 0}, orb.Point{1, kappa}, orb.Point{kappa, 1}, orb.Point{0, 1}))
	return []svgCase{
		{"rect", `<rect x="10" y="10" width="200" height="100"/>`, 20000, 600},
		{"rect rx", `<rect width="200" height="100" rx="10"/>`, 20000 - (4-math.Pi)*100, 600 - 8*10 + 2*math.Pi*10},
		{"rect ry", `<rect width="200" height="100" ry="10"/>`, 20000 - (4-math.Pi)*100, 0},
		{"rect rx ry", `<rect width="200" height="100" rx="20" ry="10"/>`, 20000 - (4-math.Pi)*200, 0},
		{"rect rx too large", `<rect width="200" height="100" rx="500" ry="10"/>`, 20000 - (4-math.Pi)*1000, 0},
		{"rect units", `<rect width="20cm" height="1in"/>`, 200 * 25.4 * k96 * k96, 0},
		{"circle", `<circle cx="300" cy="300" r="50"/>`, math.Pi * 2500, math.Pi * 100},
		{"ellipse", `<ellipse cx="300" cy="300" rx="90" ry="40"/>`, math.Pi * 3600, 0},
		{"polygon", `<polygon points="0,0 100,0 100,50"/>`, 2500, 150 + math.Hypot(100, 50)},
		{"polygon run together", `<polygon points="0-0+100-0 100 50.5.5 50"/>`, geom.Area(orb.Ring{{0, 0}, {100, 0}, {100, 50.5}, {0.5, 50}}), 0},
		{"polyline closed by its points", `<polyline points="0,0 100,0 100,50 0,0"/>`, 2500, 0},
		{"path L", `<path d="M10 10 L110 10 L110 60 Z"/>`, 2500, 0},
		{"path l", `<path d="m10 10 l100 0 l0 50 z"/>`, 2500, 0},
		{"path implied l", `<path d="M10 10 110 10 110 60z"/>`, 2500, 0},
		{"path implied relative", `<path d="m10 10 100 0 0 50z"/>`, 2500, 0},
		{"path HV", `<path d="M10 10 H110 V60 H10 Z"/>`, 5000, 300},
		{"path hv", `<path d="M10 10 h100v50h-100z"/>`, 5000, 300},
		{"path no spaces", `<path d="M10,10h100v50h-100zM500,500"/>`, 5000, 300},
		{"path exponent", `<path d="M1e1 10h1E+2v.5e2h-100z"/>`, 5000, 300},
		{"path C", `<path d="M0 0 C 0 50 100 50 100 0 Z"/>`, hump, 0},
		{"path c", `<path d="m0 0 c 0 50 100 50 100 0 z"/>`, hump, 0},
		{"path S", `<path d="M0 100 C 0 150 100 150 100 100 S 200 50 200 100 V0 H0 Z"/>`, 20000, 0},
		{"path s", `<path d="m0 100 c 0 50 100 50 100 0 s 100 -50 100 0 V0 H0 Z"/>`, 20000, 0},
		{"path S alone", `<path d="M0 0 S 100 50 100 0 Z"/>`, cubicArea(orb.Point{0, 0}, orb.Point{0, 0}, orb.Point{100, 50}, orb.Point{100, 0}), 0},
		{"path Q", `<path d="M0 0 Q 50 100 100 0 Z"/>`, 2.0 / 3 * 100 * 50, 0},
		{"path T", `<path d="M0 100 Q 50 200 100 100 T 200 100 V0 H0 Z"/>`, 20000, 0},
		{"path t", `<path d="m0 100 q 50 100 100 0 t 100 0 V0 H0 Z"/>`, 20000, 0},
		{"path A", `<path d="M0 50 A 50 50 0 0 1 100 50 Z"/>`, math.Pi * 1250, math.Pi*50 + 100},
		{"path a packed flags", `<path d="M0 50a50 50 0 01100 0z"/>`, math.Pi * 1250, 0},
		{"path A large", `<path d="M100 50 A 100 100 0 1 0 200 150 Z"/>`, math.Pi*1e4*3/4 + 5000, 0},
		{"path A small", `<path d="M100 50 A 100 100 0 0 0 200 150 Z"/>`, math.Pi*1e4/4 - 5000, 0},
		{"path A too short", `<path d="M0 50 A 10 10 0 0 1 100 50 Z"/>`, math.Pi * 1250, 0},
		{"path A turned", `<path d="M0 0 A 80 40 90 0 0 0 160 Z"/>`, math.Pi * 80 * 40 / 2, 0},
		{"path A straight", `<path d="M0 0 A 0 40 0 0 0 100 0 V50 Z"/>`, 2500, 0},
		{"two arcs", `<path d="M0 0 A 50 50 0 0 0 100 0 A 50 50 0 0 0 0 0"/>`, math.Pi * 2500, math.Pi * 100},
		{"circle of cubics", fmt.Sprintf(`<path d="M100 0 C100 %[1]g %[1]g 100 0 100 L0 0Z"/>`, 100*kappa), quarter, 0},
		{"cut-out in one path", `<path d="M0 0h100v100h-100z M20 20v60h60v-60z"/>`, 6400, 640},
		{"translate", `<g transform="translate(10,20)"><rect width="50" height="20"/></g>`, 1000, 140},
		{"scale", `<g transform="scale(2 3)"><rect width="50" height="20"/></g>`, 6000, 320},
		{"scale circle", `<g transform="scale(2 3)"><circle cx="60" cy="60" r="20"/></g>`, math.Pi * 400 * 6, 0},
		{"mirror", `<g transform="scale(-1 1)"><rect width="50" height="20"/></g>`, 1000, 140},
		{"rotate", `<rect width="50" height="20" transform="rotate(33)"/>`, 1000, 140},
		{"rotate about", `<rect width="50" height="20" transform="rotate(33, 25 10)"/>`, 1000, 140},
		{"skew", `<rect width="50" height="20" transform="skewX(30)"/>`, 1000, 0},
		{"skewY", `<rect width="50" height="20" transform="skewY(30) "/>`, 1000, 0},
		{"matrix", `<rect width="50" height="20" transform="matrix(1 2 3 4 5 6)"/>`, 2000, 0},
		{"list", `<rect width="50" height="20" transform="translate(5)scale(2),rotate(90)"/>`, 4000, 280},
		{"nested transforms", `<g transform="scale(2)"><g transform="rotate(10)"><g transform="scale(1,.5)"><rect width="50" height="20"/></g></g></g>`, 2000, 0},
		{"style transform", `<rect width="50" height="20" style="transform: rotate(90deg) scale(2)"/>`, 4000, 0},
		{"use", `<defs><rect id="p" width="50" height="20"/></defs><use href="#p" x="100" transform="scale(2)"/>`, 4000, 0},
		{"use xlink", `<defs><g id="p"><rect width="50" height="20"/></g></defs><use xlink:href="#p"/>`, 1000, 0},
		{"symbol", `<symbol id="p" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#p" width="50" height="50"/>`, 2500, 0},
		{"symbol fitted", `<symbol id="p" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#p" width="50" height="90"/>`, 2500, 0},
		{"symbol stretched", `<symbol id="p" viewBox="0 0 10 10" preserveAspectRatio="none"><rect width="10" height="10"/></symbol><use href="#p" width="50" height="90"/>`, 4500, 0},
		{"inner svg", `<svg x="5" y="5" width="100" height="100" viewBox="0 0 10 20"><rect width="10" height="10"/></svg>`, 2500, 0},
		{"inner svg slice", `<svg width="100" height="100" viewBox="0 0 10 20" preserveAspectRatio="xMinYMin slice"><rect width="10" height="10"/></svg>`, 1e4, 0},
		{"percent", `<rect width="10%" height="5%"/>`, 5000, 300},
		{"switch", `<switch><rect width="50" height="20"/><rect width="500" height="20"/></switch>`, 1000, 0},
		{"hidden by attribute", `<rect width="50" height="20"/><rect display="none" x="200" width="9" height="9"/>`, 1000, 0},
		{"hidden by style", `<rect width="50" height="20"/><g style="display : none"><rect x="200" width="9" height="9"/></g>`, 1000, 0},
		{"hidden by class", `<style>.a, .off{display:none}</style><rect width="50" height="20"/><rect class="b off" x="200" width="9" height="9"/>`, 1000, 0},
		{"hidden by id", `<style><![CDATA[ /* */ @import url(x.css); #off { display:none } @media print { rect{display:none} } ]]></style><rect width="50" height="20"/><rect id="off" x="200" width="9" height="9"/>`, 1000, 0},
		{"shown again", `<style>rect.off{display:none}#on{display:inline}</style><rect class="off" id="on" width="50" height="20"/>`, 1000, 0},
		{"important", `<style>.off{display:none !important}</style><rect width="50" height="20"/><rect class="off" style="display:inline" x="200" width="9" height="9"/>`, 1000, 0},
		{"hidden by descent", `<style>.notes g rect, #x > rect, .sheet+rect, line~rect, rect[id^="no"], rect:not([id]):last-child { display : none }</style><g class="a notes"><a><g><rect width="9" height="9"/></g></a></g><g id="x"><rect width="9" height="9"/><g><rect id="R" width="50" height="20"/></g></g><g class="sheet"/><rect width="9" height="9"/><rect id="no-7" width="9" height="9"/><g><rect width="9" height="9"/></g><g><line class="mark" x1="1" y1="1" x2="5" y2="1"/><title>a</title><rect id="S" width="9" height="9"/></g>`, 1000, 0},
		{"hidden on the screen", `<style>@media screen { g > .off { display:none } } @media print { rect { display:none } } @font-face { font-family: x }</style><g><rect class="off" width="9" height="9"/><rect width="50" height="20"/></g>`, 1000, 0},
		{"stronger rule wins", `<style>g g.b > rect{display:inline}g rect.off{display:none}svg g rect{display:none}</style><g><g class="b"><rect width="50" height="20"/></g><rect class="off" width="9" height="9"/></g>`, 1000, 0},
		{"geometry by style", `<style>.r{width:50px;height:20px}</style><rect class="r" width="9" height="9" style="x:5px"/>`, 1000, 140},
		{"path by style", `<style>#p{d:path("M10 10 L110 10 L110 60 Z")}</style><path id="p"/>`, 2500, 0},
		{"switch for programs", `<switch><foreignObject requiredExtensions="urn:program" width="1" height="1"/><g requiredExtensions="urn:other"><rect width="7" height="7"/></g><rect systemLanguage="de" width="7" height="7"/><g><rect width="50" height="20"/></g></switch><rect requiredExtensions="urn:x" width="7" height="7"/>`, 1000, 0},
		{"visibility", `<g visibility="hidden"><rect x="200" width="9" height="9"/><rect visibility="visible" width="50" height="20"/></g>`, 1000, 0},
		{"clip path not drawn", `<clipPath id="c"><rect width="900" height="900"/></clipPath><rect clip-path="url(#c)" width="50" height="20"/>`, 1000, 0},
		{"foreign elements", `<metadata><rect width="7" height="7"/></metadata><x:guide xmlns:x="urn:x"><rect width="7" height="7"/></x:guide><rect width="50" height="20"/>`, 1000, 0},
	}
}

func TestSVGShapes(t *testing.T) {
	for _, c := range svgCases() {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, svgPage(c.body), Options{})
			require.Len(t, d.Outlines, 1)
			o := d.Outlines[0]
			assert.InEpsilon(t, c.area, o.Area, 1e-9)
			if c.perimeter > 0 {
				assert.InEpsilon(t, c.perimeter, o.Perimeter, 1e-9)
			}
			checkOutline(t, o)
		})
	}
}

// k96: 1 in of an element's own length is 96 units of the document, whatever
// those are; the page has one unit per millimetre.
const k96 = 96 / 25.4

// cubicArea is the area between a cubic and its chord: the integral of p × dp
// over products of Bernstein polynomials, term by term.
func cubicArea(p0, p1, p2, p3 orb.Point) float64 {
	x := func(a, b orb.Point) float64 { return a[0]*b[1] - a[1]*b[0] }
	twice := (6*x(p0, p1) + 3*x(p0, p2) + x(p0, p3) + 3*x(p1, p2) + 3*x(p1, p3) + 6*x(p2, p3)) / 10
	return math.Abs(twice-x(p0, p3)) / 2
}

func TestSVGUnits(t *testing.T) {
	for _, c := range []struct {
		name, size, px string
		opt            Options
		mm             float64 // of one user unit
	}{
		{"mm", `width="100mm" height="50mm" viewBox="0 0 100 50"`, "", Options{}, 1},
		{"cm", `width="10cm" height="5cm" viewBox="0 0 100 50"`, "", Options{}, 1},
		{"in", `width="10in" height="5in" viewBox="0 0 100 50"`, "", Options{}, 2.54},
		{"pt", `width="720pt" height="360pt" viewBox="0 0 100 50"`, "", Options{}, 2.54},
		{"pc", `width="60pc" height="30pc" viewBox="0 0 100 50"`, "", Options{}, 2.54},
		{"Q", `width="400Q" height="200Q" viewBox="0 0 100 50"`, "", Options{}, 1},
		{"width only", `width="200mm" viewBox="0 0 100 50"`, "", Options{}, 2},
		{"height only", `height="200mm" viewBox="0 0 100 50"`, "", Options{}, 4},
		{"no viewBox", `width="200mm" height="200mm"`, "", Options{}, 25.4 / 96},
		{"fitted", `width="200mm" height="50mm" viewBox="0 0 100 50"`, "", Options{}, 1},
		{"viewBox elsewhere", `width="100mm" height="50mm" viewBox="-700 -30 100 50"`, "", Options{}, 1},
		{"96", `width="100" height="50"`, "", Options{PxPerInch: 96}, 25.4 / 96},
		{"90", `width="100px" height="50px"`, "", Options{PxPerInch: 90}, 25.4 / 90},
		{"72", ``, "", Options{PxPerInch: 72}, 25.4 / 72},
		{"72 and viewBox", `viewBox="0 0 100 50"`, "", Options{PxPerInch: 72}, 25.4 / 72},
		{"percent", `width="100%" height="100%" viewBox="0 0 100 50"`, "", Options{PxPerInch: 96}, 25.4 / 96},
		{"job mm", `width="100" height="50"`, "", Options{Unit: "mm"}, 1},
		{"job in over the file", `width="100mm" height="50mm" viewBox="0 0 100 50"`, "", Options{Unit: "in"}, 25.4},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, `<svg xmlns="http://www.w3.org/2000/svg" `+c.size+`><rect x="1" y="2" width="10" height="4"/></svg>`, c.opt)
			require.Len(t, d.Outlines, 1)
			assert.InEpsilon(t, 40*c.mm*c.mm, d.Outlines[0].Area, 1e-9)
			assert.InEpsilon(t, c.mm, d.Unit.Millimetres, 1e-9)
			// y points up.
			assert.Less(t, geom.Bound(d.Outlines[0].Exterior).Max[1], 31*c.mm)
		})
	}
	for _, size := range []string{``, `width="100" height="50"`, `width="100px"`, `width="100%" height="50%" viewBox="0 0 1 1"`} {
		_, err := ReadFrom(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" `+size+`><rect width="10" height="4"/></svg>`), "a.svg", Options{})
		require.ErrorContains(t, err, "--px-per-inch 96, or 90, 72", "%s", size)
	}
}

// The spinner's left and right cheeks differ only in the hand: y is flipped.
func TestSVGHand(t *testing.T) {
	d := readString(t, svgPage(`<path d="M0 0 H100 L0 60 Z"/>`), Options{})
	// Seen on the screen the right angle is above left; so it must be with y up.
	want := orb.Ring{{0, 0}, {0, -60}, {100, 0}}
	for _, p := range want {
		assert.Equal(t, geom.OnBoundary, geom.Contains(d.Outlines[0].Exterior, p), "%v", p)
	}
	assert.InDelta(t, 3000, d.Outlines[0].Area, 1e-9)
}

func TestSVGNames(t *testing.T) {
	for _, c := range []struct {
		name, body string
		opt        Options
		want       []string
	}{
		{"id", `<rect id="U01" width="9" height="9"/>`, Options{}, []string{"U01"}},
		{"id escaped", `<rect id="U_x20_01" width="9" height="9"/>`, Options{}, []string{"U 01"}},
		{"id made up, group", `<g id="CHEEK"><rect id="rect12" width="9" height="9"/></g>`, Options{}, []string{"CHEEK"}},
		{"title", `<rect id="x1" width="9" height="9"><title>Cheek &amp; lip</title></rect>`, Options{}, []string{"Cheek & lip"}},
		{"aria", `<rect aria-label="LIP" id="U01" width="9" height="9"/>`, Options{}, []string{"LIP"}},
		{"text", `<rect id="U01" width="90" height="90"/><text x="20" y="50">SKIN</text>`, Options{}, []string{"SKIN"}},
		{"text middle", `<rect id="U01" width="90" height="90"/><text x="45" y="50" text-anchor="middle"><tspan>SK</tspan><tspan>IN</tspan></text>`, Options{}, []string{"SKIN"}},
		{"largest text", `<rect width="90" height="90"/><text x="20" y="30" font-size="5">WR 600</text><text x="20" y="50" font-size="9">SKIN</text>`, Options{}, []string{"SKIN"}},
		{"order", `<rect id="U01" width="90" height="90"/><text x="20" y="50">SKIN</text>`, Options{Names: []NameSource{NameID, NameText}}, []string{"U01"}},
		{"label of a program", `<g xmlns:p="urn:p" p:groupmode="layer" p:label="Skin" id="layer1"><path id="path3" d="M0 0h9v9z"/></g>`, Options{}, []string{"Skin"}},
		{"symbol", `<symbol id="LIP"><rect width="9" height="9"/></symbol><use href="#LIP"/>`, Options{}, []string{"LIP"}},
		{"twice", `<symbol id="LIP"><rect width="9" height="9"/></symbol><use href="#LIP"/><use href="#LIP" x="50"/>`, Options{}, []string{"LIP", "LIP-2"}},
		{"uses with ids", `<symbol id="LIP"><rect width="9" height="9"/></symbol><use id="L1" href="#LIP"/><use id="L2" href="#LIP" x="50"/>`, Options{Names: []NameSource{NameID}}, []string{"L1", "L2"}},
		{"group shared", `<g id="ALL"><rect width="9" height="9"/><rect x="20" width="9" height="9"/></g>`, Options{}, []string{"outline 1", "outline 2"}},
		{"suffix taken", `<rect id="A" width="9" height="9"/><rect id="A-2" x="20" width="9" height="9"/><rect id="A" x="40" width="9" height="9"/>`, Options{}, []string{"A", "A-2", "A-3"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, svgPage(c.body), c.opt)
			assert.Equal(t, c.want, names(d))
		})
	}
}

// Rules that are not understood but hide something, and clips, are doubted.
func TestSVGDoubts(t *testing.T) {
	for _, c := range []struct{ body, want string }{
		{`<style>g > rect:hover{visibility:hidden} a:hover rect{fill:red}</style><rect width="9" height="9"/>`, `"g > rect:hover"`},
		{`<style>@media (max-width: 9px) {rect{display:none}}</style><rect width="9" height="9"/>`, `"@media (max-width: 9px)"`},
		{`<g fill="none"><rect id="A4" width="9" height="9"/></g>`, "rect A4: is painted with neither line nor filling, and was read all the same"},
		{`<clipPath id="c"><rect width="5" height="5"/></clipPath><g clip-path="url(#c)"><rect width="9" height="9"/></g>`, "shown in part only"},
		{`<rect id="FLAT" width="0" height="9"/><rect width="9" height="9"/>`, "rect FLAT: has size 0 by 9, shows nothing"},
		{`<rect width="9" height="9"/><use href="#none"/>`, "does not hold"},
		{`<rect width="90" height="90"/><rect x="10" y="10" width="40" height="40"/><text x="20" y="30" font-size="5">U02</text>`, `text "U02" stands in a cut-out`},
	} {
		d := readString(t, svgPage(c.body), Options{})
		require.Len(t, d.Outlines, 1)
		assert.Contains(t, d.Problems.Error(), c.want)
	}
	d := readString(t, svgPage(`<rect width="9" height="9"/><script>x()</script><image href="a.png"/><animate/>`), Options{})
	assert.Equal(t, []PassedOver{{"animate", "animations are not played", 1, ""}, {"image", "not an outline", 1, ""}, {"script", "scripts are not run", 1, ""}}, d.PassedOver)
}

func TestSVGRefuses(t *testing.T) {
	for _, c := range []struct{ name, doc, want string }{
		{"not svg", `<drawing/>`, "not SVG"},
		{"cut short", `<svg xmlns="http://www.w3.org/2000/svg" width="9mm"><rect`, "well-formed"},
		{"external use", svgPage(`<rect width="9" height="9"/><use href="http://example.org/a.svg#x"/>`), ""},
		{"use of itself", svgPage(`<g id="a"><rect width="9" height="9"/><use href="#a"/></g>`), "refers to itself"},
		{"uses in a circle", svgPage(`<defs><g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></defs><use href="#a"/>`), "refers to itself"},
		{"laughs", `<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>` + svgPage(`<text>&b;</text>`), "entity"},
		{"transform", svgPage(`<rect width="9" height="9" transform="wobble(3)"/>`), "wobble"},
		{"length", svgPage(`<rect id="P" width="calc(10px + 1%)" height="9"/>`), `rect P: width is "calc(10px + 1%)"`},
		{"origin in its box", svgPage(`<rect width="9" height="9" style="transform:rotate(9deg);transform-origin:center;transform-box:fill-box"/>`), `a transform-origin in its "fill-box"`},
		{"origin", svgPage(`<rect width="9" height="9" transform="rotate(9)" transform-origin="middle"/>`), `transform-origin "middle"`},
		{"path data", svgPage(`<path id="P" d="M0 0 L 10 x"/>`), "path P"},
		{"far", svgPage(`<rect x="1e9" width="9" height="9"/>`), "1000 m"},
		{"not finite", svgPage(`<rect x="1e999" width="9" height="9"/>`), "finite"},
		{"crossing", svgPage(`<path id="BOW" d="M0 0 L 100 100 L 100 0 L 0 100 Z"/>`), "path BOW, at (50, 50)"},
		{"touching", svgPage(`<path d="M0 0 L 100 0 L 100 100 L 50 0 L 0 100 Z"/>`), "touches"},
		{"no area", svgPage(`<path d="M0 0 L 100 0 L 50 0 Z"/>`), ""},
		{"open", svgPage(`<path d="M0 0 L 100 0 L 100 100 L 0 100"/>`), "open"},
		{"empty", svgPage(``), "no line"},
		{"only hidden", svgPage(`<rect display="none" width="9" height="9"/>`), "no line"},
		{"deep", svgPage(strings.Repeat("<g>", 3000) + strings.Repeat("</g>", 3000)), "deeper"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := ReadFrom(strings.NewReader(c.doc), "lip.svg", Options{})
			if c.name == "external use" {
				require.NoError(t, err)
				assert.Contains(t, d.Problems.Error(), "not fetched")
				return
			}
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.want)
			assert.True(t, strings.HasPrefix(err.Error(), "lip.svg"), err.Error())
		})
	}
}

func TestSVGUsesAreBounded(t *testing.T) {
	var b strings.Builder
	b.WriteString(`<defs><g id="g0"/>`)
	for i := 1; i < 40; i++ {
		fmt.Fprintf(&b, `<g id="g%d">%s</g>`, i, strings.Repeat(fmt.Sprintf(`<use href="#g%d"/>`, i-1), 10))
	}
	b.WriteString(`</defs><use href="#g39"/>`)
	_, err := ReadFrom(strings.NewReader(svgPage(b.String())), "lip.svg", Options{})
	require.ErrorContains(t, err, "more than")
}

func TestSVGEncodings(t *testing.T) {
	page := `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><rect id="Tür" width="9" height="9"/></svg>`
	assert.Equal(t, []string{"Tür"}, names(readString(t, "\xef\xbb\xbf"+page, Options{})))
	latin := strings.ReplaceAll(`<?xml version="1.0" encoding="iso-8859-1"?>`+page, "ü", "\xfc")
	assert.Equal(t, []string{"Tür"}, names(readString(t, latin, Options{})))
	wide := []byte{0xff, 0xfe}
	for _, r := range `<?xml version="1.0" encoding="UTF-16"?>` + page {
		wide = append(wide, byte(r), byte(r>>8))
	}
	assert.Equal(t, []string{"Tür"}, names(readString(t, string(wide), Options{})))
	plain := `<!DOCTYPE svg [<!ENTITY side "9">]>` + strings.Replace(page, `width="9" h`, `width="&side;" h`, 1)
	assert.Len(t, readString(t, plain, Options{}).Outlines, 1)
}
