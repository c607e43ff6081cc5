package drawing

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// nastyNumbers are values that break careless arithmetic.
var nastyNumbers = []string{"0", "-0", "1", "-1", "0.5", "2", "3", "10", "50", "100", "-100", "1e-9", "1e-300", "1e300", "-1e300", "1e999", "nan", "-inf", "1e6", "999999.9", "1e9", "4294967296", "x", "", "7.000000001", "90", "180", "270", "360", "0x10"}

// Any entity with any numbers, in any block, neither panics nor hangs, and what
// comes out is sound.
func TestNastyNumbers(t *testing.T) {
	kinds := []string{"LINE", "CIRCLE", "ARC", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND", "INSERT", "ATTRIB", "TEXT", "MTEXT", "POINT", "BLOCK", "ENDBLK", "HATCH"}
	codes := []int{10, 20, 11, 21, 40, 41, 42, 43, 44, 45, 50, 51, 70, 71, 72, 73, 74, 10, 20, 10, 20, 42, 12, 22, 13, 23, 210, 220, 230, 30, 66, 8, 2, 1}
	rapid.Check(t, func(rt *rapid.T) {
		number := rapid.OneOf(rapid.SampledFrom(nastyNumbers), rapid.SampledFrom([]string{"0", "10", "50", "100", "30", "70"}))
		var b strings.Builder
		for range rapid.IntRange(1, 12).Draw(rt, "entities") {
			b.WriteString(pairs(0, rapid.SampledFrom(kinds).Draw(rt, "kind")))
			for range rapid.IntRange(0, 24).Draw(rt, "values") {
				b.WriteString(pairs(rapid.SampledFrom(codes).Draw(rt, "code"), number.Draw(rt, "value")))
			}
		}
		doc := dxfPage(block("1", 0, 0, square+b.String()), b.String()+square)
		fuzzRead(t, []byte(doc), Options{})
		fuzzRead(t, toBinary(doc, true), Options{})
	})
}

// The same for SVG.
func TestNastySVG(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		number := rapid.OneOf(rapid.SampledFrom(nastyNumbers), rapid.SampledFrom([]string{"0", "10", "50", "100", "30%", "70mm", "1em"}))
		var b strings.Builder
		for range rapid.IntRange(1, 8).Draw(rt, "elements") {
			switch rapid.IntRange(0, 3).Draw(rt, "what") {
			case 0:
				b.WriteString(`<path d="M0 0`)
				for range rapid.IntRange(0, 12).Draw(rt, "commands") {
					b.WriteString(rapid.SampledFrom(strings.Split("MmLlHhVvCcSsQqTtAaZz", "")).Draw(rt, "command"))
					for range rapid.IntRange(0, 7).Draw(rt, "arguments") {
						b.WriteString(" " + number.Draw(rt, "number"))
					}
				}
				b.WriteString(`"/>`)
			case 1:
				b.WriteString(`<` + rapid.SampledFrom([]string{"rect", "circle", "ellipse", "line", "svg", "text", "use href='#a'"}).Draw(rt, "shape"))
				for _, a := range []string{"x", "y", "width", "height", "rx", "ry", "r", "cx", "cy", "x2", "font-size"} {
					if rapid.Bool().Draw(rt, "given") {
						b.WriteString(` ` + a + `="` + number.Draw(rt, "number") + `"`)
					}
				}
				b.WriteString(`/>`)
			case 2:
				b.WriteString(`<g id="a" transform="` + rapid.SampledFrom([]string{"scale", "rotate", "matrix", "skewX", "translate"}).Draw(rt, "transform") + `(` + number.Draw(rt, "number") + `)"><rect width="9" height="9"/></g>`)
			case 3:
				b.WriteString(`<polygon points="0 0 ` + number.Draw(rt, "x") + ` 0 50 ` + number.Draw(rt, "y") + `"/>`)
			}
		}
		fuzzRead(t, []byte(svgPage(b.String())), Options{})
	})
}
