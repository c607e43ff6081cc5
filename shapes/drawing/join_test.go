package drawing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// lines writes x1, y1, x2, y2 quadruples as loose lines.
func lines(v ...float64) string {
	var b strings.Builder
	for i := 0; i < len(v); i += 4 {
		b.WriteString(dxfLine(v[i], v[i+1], v[i+2], v[i+3]))
	}
	return b.String()
}

// on puts the entities of a body on another layer.
func on(layer, body string) string {
	return strings.ReplaceAll(body, "\nPLIES\n", "\n"+layer+"\n")
}

// looseSquare is the square of side 100 as four lines.
var looseSquare = lines(0, 0, 100, 0, 100, 0, 100, 100, 100, 100, 0, 100, 0, 100, 0, 0)

func TestJoin(t *testing.T) {
	for _, c := range []struct {
		name, body string
		areas      []float64
		problems   string // a part of them; empty: none but missing names
	}{
		{"any order and direction", lines(100, 100, 0, 100, 0, 0, 100, 0, 100, 100, 100, 0, 0, 0, 0, 100), []float64{1e4}, ""},
		{"ends off by the last digit", lines(0, 0, 100, 0.004, 100, 0, 100, 100, 100.003, 100, 0, 100, 0, 100, 0.002, 0), []float64{1e4}, ""},
		{"drawn twice", looseSquare + looseSquare, []float64{1e4}, "drawn twice"},
		{"drawn twice backwards", looseSquare + lines(100, 0, 0, 0), []float64{1e4}, "drawn twice"},
		{"polyline drawn twice", square + square, []float64{1e4}, "drawn twice"},
		{"polyline over loose lines", square + looseSquare, []float64{1e4}, "drawn twice"},
		{"line on a line", looseSquare + lines(20, 0, 60, 0), []float64{1e4}, "lies on LINE"},
		{"line on a line, first", lines(20, 0, 60, 0) + looseSquare, []float64{1e4}, "lies on LINE"},
		{"line on a polyline", square + lines(20, 0, 60, 0), []float64{1e4}, "lies along the outline"},
		{"lines overlapping", lines(0, 0, 60, 0, 40, 0, 100, 0, 100, 0, 100, 100, 100, 100, 0, 100, 0, 100, 0, 0), []float64{1e4}, "overlaps"},
		{"lines overlapping thrice", lines(0, 0, 60, 0, 40, 0, 80, 0, 70, 0, 100, 0, 100, 0, 100, 100, 100, 100, 0, 100, 0, 100, 0, 0), []float64{1e4}, "overlaps"},
		{"gap", lines(0, 0, 100, 0, 100, 0, 100, 100, 100, 100, 0, 100, 0, 99.5, 0, 0), []float64{1e4}, "a gap of 0.5 mm was closed"},
		{"gap and overshoot", lines(0, 0, 100, 0, 100, 0, 100, 100, 100, 100, 0, 100, 0, 100.5, 0, 0), []float64{1e4}, "a gap of 0.5 mm was closed"},
		{"corner overshot by both", lines(0, 0, 100.4, 0, 100, -0.3, 100, 100, 100, 100, 0, 100, 0, 100, 0, 0), []float64{1e4}, "a gap of 0.5 mm was closed"},
		{"gap in an arc", pairs(0, "ARC", 10, 0, 20, 0, 40, 50, 50, 0.5, 51, 180) + pairs(0, "ARC", 10, 0, 20, 0, 40, 50, 50, 180, 51, 360), []float64{math.Pi * 2500}, "a gap of 0.436 mm was closed"},
		{"polyline not quite closed", pairs(0, "LWPOLYLINE", 8, "PLIES", 70, 0, 10, 0, 20, 0, 10, 100, 20, 0, 10, 100, 20, 100, 10, 0, 20, 100, 10, 0, 20, 0.5), []float64{1e4}, "a gap of 0.5 mm was closed"},
		{"two lines side by side", looseSquare + lines(20, 50, 80, 50, 20, 50.8, 80, 50.8), []float64{1e4}, ""},
		{"tail", looseSquare + lines(100, 100, 130, 120), []float64{1e4}, "outside every outline"},
		{"two plies touching at a corner", looseSquare + lines(100, 100, 200, 100, 200, 100, 200, 200, 200, 200, 100, 200, 100, 200, 100, 100), []float64{1e4, 1e4}, ""},
		{"two plies with one edge", looseSquare + lines(100, 0, 150, 0, 150, 0, 150, 100, 150, 100, 100, 100), []float64{1e4, 5e3}, "shared by two outlines"},
		{"no length", looseSquare + lines(5, 5, 5, 5), []float64{1e4}, "has no length"},
		{"lines and arcs", lines(0, 0, 100, 0, 0, 50, 100, 50, 0, 0, 0, 50) + pairs(0, "ARC", 10, 100, 20, 25, 40, 25, 50, 270, 51, 90), []float64{5000 + math.Pi*312.5}, ""},
		{"cut-out", looseSquare + pairs(0, "CIRCLE", 10, 50, 20, 50, 40, 10), []float64{1e4 - math.Pi*100}, ""},
		{"ply in a cut-out", looseSquare + pairs(0, "CIRCLE", 10, 50, 20, 50, 40, 20) + pairs(0, "CIRCLE", 10, 50, 20, 50, 40, 10), []float64{1e4 - math.Pi*400, math.Pi * 100}, ""},
		{"cut-outs side by side", looseSquare + pairs(0, "CIRCLE", 10, 30, 20, 50, 40, 10) + pairs(0, "CIRCLE", 10, 70, 20, 50, 40, 10), []float64{1e4 - math.Pi*200}, ""},
		{"cut-out meeting the outline", square + pairs(0, "CIRCLE", 10, 5, 20, 50, 40, 10), []float64{1e4, 0}, "crosses"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, dxfPage("", c.body), Options{})
			if c.name == "cut-out meeting the outline" {
				assert.Contains(t, d.Problems.Error(), c.problems)
				return
			}
			require.Len(t, d.Outlines, len(c.areas))
			for i, o := range d.Outlines {
				if strings.Contains(c.problems, "gap") && strings.Contains(c.name, "arc") {
					assert.InDelta(t, c.areas[i], o.Area, 0.01)
				} else {
					assert.InDelta(t, c.areas[i], o.Area, 1.2)
				}
				checkOutline(t, o)
			}
			var rest []string
			for _, p := range d.Problems {
				if !strings.Contains(p.Message, "has no name") && !strings.Contains(p.Message, "of another outline") {
					rest = append(rest, p.Error())
				}
			}
			if c.problems == "" {
				assert.Empty(t, rest)
			} else {
				assert.Contains(t, strings.Join(rest, "\n"), c.problems)
			}
		})
	}
}

// Letters drawn as curves would be cut out; that is doubted. Bolt holes of one
// size are not.
func TestLettering(t *testing.T) {
	holes := func(r ...float64) string {
		s := square
		for i, v := range r {
			s += pairs(0, "CIRCLE", 10, 20+20*i, 20, 50, 40, v)
		}
		return s
	}
	assert.Contains(t, readString(t, dxfPage("", holes(3, 4, 5)), Options{}).Problems.Error(), "lettering")
	assert.NotContains(t, readString(t, dxfPage("", holes(4, 4, 4, 4)), Options{}).Problems.Error(), "lettering")
}

func TestGapLimit(t *testing.T) {
	body := lines(0, 0, 100, 0, 100, 0, 100, 100, 100, 100, 0, 100, 0, 97, 0, 0)
	_, err := ReadFrom(strings.NewReader(dxfPage("", body)), "a.dxf", Options{})
	require.ErrorContains(t, err, "its ends lie 3 mm apart")
	d := readString(t, dxfPage("", body), Options{Gap: 4})
	assert.InDelta(t, 1e4, d.Outlines[0].Area, 1e-9)
	_, err = ReadFrom(strings.NewReader(strings.Replace(dxfPage("", body), "97", "99.9", 1)), "a.dxf", Options{Gap: -1})
	require.Error(t, err)
}

func TestMarks(t *testing.T) {
	dot := pairs(0, "POINT", 8, "PLIES", 10, 40, 20, 40)
	for _, c := range []struct {
		name, body string
		want       []shapes.Mark
		area       float64
	}{
		{"drape line", square + dxfLine(10, 10, 90, 10), []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{10, 10}, {90, 10}}}}, 1e4},
		{"notch from the edge", square + dxfLine(0, 50, 10, 50), []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{0, 50}, {10, 50}}}}, 1e4},
		{"notch across the edge", square + dxfLine(-5, 50, 5, 50), []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{0, 50}, {5, 50}}}}, 1e4},
		{"notch from a corner of loose lines", looseSquare + dxfLine(100, 100, 90, 90), []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{100, 100}, {90, 90}}}}, 1e4},
		{"slit", square + on("SLITS", dxfLine(10, 10, 90, 10)), []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{10, 10}, {90, 10}}}}, 1e4},
		{"dart from the edge", square + on("darts", lines(0, 40, 30, 50, 30, 50, 0, 60)), []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{0, 40}, {30, 50}, {0, 60}}}}, 1e4},
		{"knife layer", on("KNIFECUT", square+dxfLine(10, 10, 90, 10)), []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{10, 10}, {90, 10}}}}, 1e4},
		{"slit drawn as part of the outline", lwpoly(0, 0, 0, 100, 0, 0, 100, 50, 0, 60, 50, 0, 100, 50, 0, 100, 100, 0, 0, 100, 0), []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{100, 50}, {60, 50}}}}, 1e4},
		{"bent slit drawn as part of the outline", lwpoly(60, 50, 0, 40, 70, 0, 60, 50, 0, 100, 50, 0, 100, 100, 0, 0, 100, 0, 0, 0, 0, 100, 0, 0, 100, 50, 0), []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{100, 50}, {60, 50}, {40, 70}}}}, 1e4},
		{"spike", lwpoly(0, 0, 0, 130, 0, 0, 100, 0, 0, 100, 100, 0, 0, 100, 0), nil, 1e4},
		{"spike the other way", lwpoly(0, 0, 0, 100, 0, 0, 100, 130, 0, 100, 100, 0, 0, 100, 0), nil, 1e4},
		{"ink over the outline", square + on("Ink", square), nil, 1e4},
		{"closed loop of ink", square + on("Marks", pairs(0, "LWPOLYLINE", 8, "PLIES", 70, 1, 10, 20, 20, 20, 10, 40, 20, 20, 10, 40, 20, 40)), []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{20, 20}, {40, 20}, {40, 40}, {20, 20}}}}, 1e4},
		{"point", square + dot, []shapes.Mark{{Kind: shapes.MarkPoint, Line: orb.LineString{{40, 40}}}}, 1e4},
		{"frame", square + on("BORDER", lwpoly(-900, -900, 0, 900, -900, 0, 900, 900, 0)), nil, 1e4},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, dxfPage("", c.body), Options{})
			require.Len(t, d.Outlines, 1)
			assert.Equal(t, c.want, d.Outlines[0].Marks)
			assert.InDelta(t, c.area, d.Outlines[0].Area, 1e-9)
		})
	}
	d := readString(t, svgPage(`<rect width="100" height="100" id="LIP"/><path class="slit" d="M10 10h50"/><path id="notch-1" d="M10 20h5"/>`), Options{})
	require.Len(t, d.Outlines[0].Marks, 2)
	assert.Equal(t, shapes.MarkLine, d.Outlines[0].Marks[1].Kind)
	assert.Equal(t, "notch-1", d.Outlines[0].Marks[1].Text)
}

// The datum line is drawn at 30 degrees through the plies; turned along it the
// ply's long side lies along +X.
func TestDatum(t *testing.T) {
	for _, c := range []struct {
		name string
		svg  bool
		opt  Options
	}{{"layer", false, Options{}}, {"id", true, Options{}}} {
		m := translation(300, 200).mul(rotationDeg(30))
		p := func(x, y float64) orb.Point { return m.point(orb.Point{x, y}) }
		a, b := p(20, 10), p(80, 10)
		q := []orb.Point{p(0, 0), p(100, 0), p(0, 60)}
		var doc string
		if c.svg {
			// y points down there.
			doc = svgPage(fmt.Sprintf(`<path id="LIP" d="M%g %gL%g %gL%g %gz"/><path id="Datum_1" d="M%g %gL%g %g"/>`,
				q[0][0], -q[0][1], q[1][0], -q[1][1], q[2][0], -q[2][1], a[0], -a[1], b[0], -b[1]))
		} else {
			doc = dxfPage("", lwpoly(q[0][0], q[0][1], 0, q[1][0], q[1][1], 0, q[2][0], q[2][1], 0)+on("Datum axis", dxfLine(a[0], a[1], b[0], b[1])))
		}
		d := readString(t, doc, c.opt)
		require.Len(t, d.Outlines, 1)
		want := orb.Ring{{-20, -10}, {80, -10}, {-20, 50}}
		for _, w := range want {
			assert.Less(t, geom.RingDistance(d.Outlines[0].Exterior, w), 1e-9, "%s: %v", c.name, w)
		}
		require.Len(t, d.Outlines[0].Marks, 1)
		k := d.Outlines[0].Marks[0]
		assert.Equal(t, shapes.MarkDatum, k.Kind)
		assert.InDelta(t, 0, k.Line[0][1], 1e-9)
		assert.InDelta(t, 60, k.Line[1][0], 1e-9)
	}
	// By the word beside the line, drawn from right to left: the ply is turned
	// half round.
	d := readString(t, dxfPage("", square+dxfLine(90, 20, 10, 20)+pairs(0, "TEXT", 8, "PLIES", 10, 40, 20, 22, 40, 5, 1, "Datum")+pairs(0, "TEXT", 8, "PLIES", 10, 40, 20, 60, 40, 4, 1, "LIP")), Options{})
	require.Len(t, d.Outlines, 1)
	assert.Equal(t, "LIP", d.Outlines[0].Name)
	b := geom.Bound(d.Outlines[0].Exterior)
	assert.InDelta(t, -10, b.Min[0], 1e-9)
	assert.InDelta(t, 20, b.Max[1], 1e-9)
	// Two datum lines, a crooked and a short one are doubted.
	for _, body := range []string{lines(10, 10, 90, 10, 10, 50, 90, 50), dxfLine(10, 10, 10.5, 10), pairs(0, "LWPOLYLINE", 8, "PLIES", 10, 10, 20, 10, 10, 50, 20, 14, 10, 90, 20, 10)} {
		d := readString(t, dxfPage("", square+on("DATUM", body)), Options{})
		assert.Contains(t, d.Problems.Error(), "datum line")
	}
}

func TestPerLayer(t *testing.T) {
	// Two plies of the same part drawn over one another.
	body := on("U01", square) + on("U02", lwpoly(20, 20, 0, 60, 20, 0, 60, 60, 0)) + on("U02", dxfLine(30, 25, 50, 25))
	d := readString(t, dxfPage("", body), Options{PerLayer: true})
	require.Equal(t, []string{"U01", "U02"}, names(d))
	assert.InDelta(t, 1e4, d.Outlines[0].Area, 1e-9)
	assert.Empty(t, d.Outlines[0].Marks)
	assert.Len(t, d.Outlines[1].Marks, 1)
	d = readString(t, dxfPage("", body+on("DATUM", dxfLine(10, 10, 10, 90))), Options{PerLayer: true})
	for _, o := range d.Outlines {
		require.NotEmpty(t, o.Marks)
		assert.InDelta(t, 0, o.Marks[len(o.Marks)-1].Line[1][1], 1e-9, "the datum of the part is every ply's")
	}
	assert.InDelta(t, -90, geom.Bound(d.Outlines[0].Exterior).Min[1], 1e-9)
	d = readString(t, dxfPage("", body), Options{})
	require.Len(t, d.Outlines, 1, "together the smaller is a cut-out")
}

// A random simple outline, cut into loose lines and arcs, shuffled and turned
// about, reads back to the same area and perimeter.
func TestLooseLinesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(t, "n")
		r := make(orb.Ring, n)
		for i := range r {
			s, c := math.Sincos(2 * math.Pi * (float64(i) + rapid.Float64Range(-0.3, 0.3).Draw(t, "a")) / float64(n))
			d := rapid.Float64Range(60, 200).Draw(t, "r")
			r[i] = orb.Point{math.Round(1e4*(500+d*c)) / 1e4, math.Round(1e4*(300+d*s)) / 1e4}
		}
		mirror := rapid.Bool().Draw(t, "mirror")
		var parts []string
		for i, a := range r {
			b := r[(i+1)%n]
			if mirror {
				a[1], b[1] = -a[1], -b[1]
			}
			if rapid.Bool().Draw(t, "backwards") {
				a, b = b, a
			}
			if rapid.IntRange(0, 3).Draw(t, "halved") == 0 {
				m := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
				parts = append(parts, dxfLine(a[0], a[1], m[0], m[1]))
				a = m
			}
			parts = append(parts, dxfLine(a[0], a[1], b[0], b[1]))
			if rapid.IntRange(0, 9).Draw(t, "twice") == 0 {
				parts = append(parts, dxfLine(b[0], b[1], a[0], a[1]))
			}
		}
		parts = rapid.Permutation(parts).Draw(t, "order")
		d, err := ReadFrom(strings.NewReader(dxfPage("", strings.Join(parts, ""))), "a.dxf", Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(d.Outlines) != 1 {
			t.Fatalf("%d outlines", len(d.Outlines))
		}
		o := d.Outlines[0]
		if math.Abs(o.Area-geom.Area(r)) > 1e-6*o.Area || math.Abs(o.Perimeter-geom.Perimeter(r)) > 1e-6*o.Perimeter {
			t.Fatalf("area %g, want %g; perimeter %g, want %g", o.Area, geom.Area(r), o.Perimeter, geom.Perimeter(r))
		}
		if geom.SignedArea(o.Exterior) <= 0 {
			t.Fatal("clockwise")
		}
	})
}

// The same ply read from DXF and SVG, in both hands, gives the same outline.
func TestBothHandsAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bulge := rapid.Float64Range(-0.7, 0.7).Draw(t, "bulge")
		k := 1.0
		if rapid.Bool().Draw(t, "opposite hand") {
			k = -1
		}
		d1, err := ReadFrom(strings.NewReader(dxfPage("", lwpoly(0, 0, 0, 200, 0, k*bulge, 200, k*120, 0, 0, k*80, 0))), "a.dxf", Options{})
		if err != nil {
			t.Fatal(err)
		}
		r := math.Min(60*(1/math.Abs(bulge)+math.Abs(bulge))/2, 1e12)
		sweep := 0
		if k*bulge < 0 { // clockwise on paper is positive where y points down
			sweep = 1
		}
		d2, err := ReadFrom(strings.NewReader(svgPage(fmt.Sprintf(`<path d="M0 0L200 0A%.17g %.17g 0 0 %d 200 %gL0 %gz"/>`, r, r, sweep, -k*120, -k*80))), "a.svg", Options{})
		if err != nil {
			t.Fatal(err)
		}
		a, b := d1.Outlines[0], d2.Outlines[0]
		if math.Abs(a.Area-b.Area) > 1e-6*a.Area {
			t.Fatalf("areas %g and %g", a.Area, b.Area)
		}
		for _, p := range a.Exterior {
			if geom.RingDistance(b.Exterior, p) > 0.1 {
				t.Fatalf("%v is only in one", p)
			}
		}
	})
}

// Whatever the curves, the polygon contains them and keeps within the
// tolerance; in a cut-out the polygon lies inside.
func TestFlattenOutward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tol := rapid.SampledFrom([]float64{0.01, 0.05, 0.5, 3}).Draw(t, "tol")
		num := rapid.Float64Range(-300, 300)
		pt := func(l string) orb.Point { return orb.Point{num.Draw(t, l), num.Draw(t, l)} }
		var c curve
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			c = bulgeArc(pt("a"), pt("b"), rapid.Float64Range(-3, 3).Draw(t, "bulge"))
		case 1:
			c = newArc(pt("c"), pt("u"), pt("v"), rapid.Float64Range(0, 6).Draw(t, "t0"), rapid.Float64Range(0, 6).Draw(t, "t1"))
		case 2:
			n := rapid.IntRange(2, 6).Draw(t, "degree")
			b := bezier{}
			for range n + 1 {
				b.p = append(b.p, pt("p"))
			}
			c = b
		case 3:
			n := rapid.IntRange(2, 4).Draw(t, "degree")
			b := bezier{}
			for range n + 1 {
				b.p = append(b.p, pt("p"))
				b.w = append(b.w, rapid.Float64Range(0.1, 10).Draw(t, "w"))
			}
			c = b
		}
		line := orb.LineString(c.outer([]orb.Point{c.start()}, tol))
		fine := orb.LineString(c.chords([]orb.Point{c.start()}, tol/50))
		reach := func(l orb.LineString, p orb.Point) float64 {
			best := math.Inf(1)
			for i := 1; i < len(l); i++ {
				best = math.Min(best, segmentDistance(l[i-1], l[i], p))
			}
			return best
		}
		for _, p := range line {
			if d := reach(fine, p); d > tol*1.05+1e-9 {
				t.Fatalf("vertex %v stands off by %g, allowed %g", p, d, tol)
			}
		}
		for _, p := range fine {
			if d := reach(line, p); d > tol*1.05+1e-9 {
				t.Fatalf("%v of the curve lies %g off the polyline, allowed %g", p, d, tol)
			}
		}
		// The signed area between polyline and curve: the polyline is on the
		// right throughout, so its sweep is no less.
		var twice float64
		for i := 1; i < len(line); i++ {
			twice += cross(line[i-1], line[i])
		}
		if s := c.sweep(orb.Point{}); twice < s-1e-6*(1+math.Abs(s)) {
			t.Fatalf("the polyline sweeps %g, the curve %g", twice, s)
		}
	})
}
