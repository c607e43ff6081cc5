package drawing

import (
	"bytes"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"plyroom/shapes/geom"
)

// fuzzRead reads anything and checks what must always hold: no panic, an answer
// in bounded time, and sound outlines.
func fuzzRead(t *testing.T, data []byte, opt Options) {
	begin := time.Now()
	d, err := ReadFrom(bytes.NewReader(data), "fuzz", opt)
	// A few bytes may ask for a large array, which is seconds of work; the limit
	// leaves room for a busy machine.
	if e := time.Since(begin); e > 2*time.Minute {
		t.Fatalf("took %v for %d bytes", e, len(data))
	}
	if d == nil {
		t.Fatal("no drawing")
	}
	if (err == nil) != (len(d.Problems.Faults()) == 0) {
		t.Fatal("the error is not the faults")
	}
	seen := map[string]bool{}
	for _, o := range d.Outlines {
		if o.Name == "" || seen[o.Name] {
			t.Fatalf("name %q is empty or not its own", o.Name)
		}
		seen[o.Name] = true
		if len(o.Exterior) < 3 || !(geom.SignedArea(o.Exterior) > 0) {
			t.Fatalf("%s: exterior of %d vertices and area %g", o.Name, len(o.Exterior), geom.SignedArea(o.Exterior))
		}
		if at, crossed := geom.SelfIntersection(o.Exterior); crossed && d.placed[0] == d.Outlines[0] {
			t.Fatalf("%s crosses itself at %v", o.Name, at)
		}
		for _, h := range o.Holes {
			if geom.SignedArea(h) >= 0 {
				t.Fatalf("%s: a cut-out runs counter-clockwise", o.Name)
			}
		}
		if math.IsNaN(o.Area) || math.IsInf(o.Perimeter, 0) || math.IsNaN(o.Perimeter) {
			t.Fatalf("%s: area %g, perimeter %g", o.Name, o.Area, o.Perimeter)
		}
		for _, m := range o.Marks {
			if len(m.Line) == 0 {
				t.Fatalf("%s: an empty mark", o.Name)
			}
			for _, p := range m.Line {
				if math.IsNaN(p[0]) || math.IsNaN(p[1]) {
					t.Fatalf("%s: a mark at %v", o.Name, p)
				}
			}
		}
	}
	if err := Picture(io.Discard, d); err != nil {
		t.Fatal(err)
	}
}

// dxfSeeds hold every entity kind.
func dxfSeeds() []string {
	mirrored := func(e string) string { return e + pairs(210, 0, 220, 0, 230, -1) }
	entities := []string{
		square, looseSquare, lwpoly(0, 0, 1, 100, 0, -0.5, 100, 50, 0), mirrored(square),
		poly(1, 0, 0, 0, 100, 0, 0, 100, 50, 0.3), poly(9, 0, 0, 0, 100, 0, 0, 100, 50, 0),
		pairs(0, "CIRCLE", 10, 30, 20, 40, 40, 25), pairs(0, "ARC", 10, 0, 20, 0, 40, 50, 50, 270, 51, 90) + dxfLine(0, 50, 0, -50),
		pairs(0, "ELLIPSE", 10, 0, 20, 0, 11, 80, 21, 0, 40, 0.5, 41, 0, 42, 3.1),
		rationalQuarter, closedSpline,
		pairs(0, "SPLINE", 70, 1, 71, 3, 11, 0, 21, 0, 11, 90, 21, 0, 11, 90, 21, 90, 11, 0, 21, 90),
		square + pairs(0, "TEXT", 10, 20, 20, 20, 40, 5, 1, "SKIN %%d \\U+00FC") + pairs(0, "MTEXT", 10, 20, 20, 50, 40, 5, 1, `{\fx;A}\PB\S1/2;`) + pairs(0, "POINT", 10, 40, 20, 40),
		square + on("SLITS", dxfLine(-10, 10, 90, 10)) + on("DATUM", dxfLine(10, 30, 90, 40)) + on("MARKS", dxfLine(10, 50, 20, 50)),
		pairs(0, "HATCH", 2, "SOLID", 10, 1, 20, 2) + square + lwpoly(20, 20, 0, 60, 20, 0, 60, 60, 0),
	}
	out := []string{
		dxfPage(block("B", 1, 2, square+pairs(0, "INSERT", 2, "C", 10, 300, 41, -1))+block("C", 0, 0, pairs(0, "CIRCLE", 10, 0, 20, 0, 40, 9)),
			pairs(0, "INSERT", 2, "B", 66, 1, 10, 5, 20, 5, 41, 2, 42, -3, 50, 33, 70, 2, 71, 2, 44, 500, 45, 500)+pairs(0, "ATTRIB", 10, 9, 20, 9, 40, 2, 1, "LIP", 2, "PLY")+pairs(0, "SEQEND")),
		section("HEADER", pairs(9, "$ACADVER", 1, "AC1009", 9, "$DWGCODEPAGE", 3, "dos850", 9, "$MEASUREMENT", 70, 1)) +
			section("TABLES", pairs(0, "TABLE", 2, "LAYER", 0, "LAYER", 2, "PLIES", 70, 1, 62, -7, 0, "ENDTAB")) + section("ENTITIES", square),
	}
	for _, e := range entities {
		out = append(out, dxfPage("", e))
	}
	return out
}

func FuzzReadDXF(f *testing.F) {
	for _, s := range dxfSeeds() {
		f.Add([]byte(s), "mm")
		f.Add(toBinary(s, true), "")
		f.Add(toBinary(s, false), "in")
	}
	f.Fuzz(func(t *testing.T, data []byte, unit string) {
		if len(data) > 1<<20 {
			t.Skip()
		}
		if _, ok := unitLengths[unit]; !ok {
			unit = "mm"
		}
		fuzzRead(t, data, Options{Unit: unit, PerLayer: len(data)%7 == 0})
	})
}

func FuzzReadSVG(f *testing.F) {
	for _, s := range []string{
		`<rect id="U01" x="1" y="2" width="200" height="100" rx="10" ry="5"/><text x="20" y="50" font-size="3mm">A<tspan dy="9">B</tspan></text>`,
		`<circle cx="300" cy="300" r="50"/><ellipse cx="9%" cy="3" rx="90" ry="40" transform="rotate(9 1 2) skewX(3)"/>`,
		`<polygon points="0,0 100,0 100,50"/><polyline points="0-0 1.5.5"/><line x1="2" x2="9" class="slit"/>`,
		`<path d="M0 0C0 50 100 50 100 0S200 50 200 0Q1 2 3 4T5 6A7 8 9 0 1 10 11H3V4Zm5 5l3 3h3v3c1 1 2 2 3 3s1 2 3 4q1 2 3 4t5 6a1 1 0 01 3 3z"/>`,
		`<style>.off, #x{display:none !important}</style><g class="off"/><symbol id="p" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#p" width="50" height="90" x="3"/><use xlink:href="#p"/>`,
		`<g transform="matrix(1 2 3 4 5 6) scale(-1)"><svg x="5" width="100" height="100" viewBox="0 0 10 20" preserveAspectRatio="xMaxYMin slice"><rect width="10" height="10"/></svg></g>`,
		`<style>g>rect.a,g rect:not(.b)~path[d^="M"],*:first-child+#x{display:none}@media screen{rect{transform:rotate(9deg);transform-origin:50% 1mm}}</style><g fill="none"><rect class="a" width="9" height="9" style="scale:2;width:3px"/><path id="x" style='d:path("M0 0h9v9z")'/></g><switch><g requiredExtensions="e"/><rect systemLanguage="en" width="9" height="9"/></switch>`,
		`<rect width="100" height="100"/><line id="datum" x1="10" y1="10" x2="60" y2="20"/><rect x="20" y="40" width="9" height="9"/>`,
	} {
		f.Add([]byte(svgPage(s)), 96.0)
		f.Add([]byte(strings.Replace(svgPage(s), `width="1000mm" height="1000mm"`, "", 1)), 72.0)
	}
	f.Add([]byte(`<?xml version="1.0" encoding="iso-8859-1"?><!DOCTYPE svg [<!ENTITY a "9">]><svg width="9mm"><rect width="&a;" height="1"/></svg>`), 90.0)
	f.Fuzz(func(t *testing.T, data []byte, px float64) {
		if len(data) > 1<<20 {
			t.Skip()
		}
		if !(px > 1 && px < 1e4) {
			px = 96
		}
		fuzzRead(t, data, Options{PxPerInch: px})
	})
}
