package drawing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

// Documents put together the way drawing programs write them.
func TestSVGAsProgramsWriteIt(t *testing.T) {
	for _, c := range []struct {
		name, doc string
		opt       Options
		names     []string
		area      float64 // of the first
		holes     int
	}{
		{"layers with labels, text in spans, a moved group", `<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!-- Created by hand -->
<svg width="420mm" height="297mm" viewBox="0 0 420 297" version="1.1" id="svg5" xmlns:p="urn:program" p:version="1" xmlns="http://www.w3.org/2000/svg" xmlns:svg="http://www.w3.org/2000/svg">
  <p:namedview id="namedview7" pagecolor="#ffffff"><p:grid type="xygrid" id="grid1"/></p:namedview>
  <defs id="defs2"><linearGradient id="lg1"><stop offset="0"/></linearGradient></defs>
  <g p:label="Plies" p:groupmode="layer" id="layer1" transform="translate(-10,-5)">
    <path style="fill:none;stroke:#000000;stroke-width:0.2" d="m 20,20 h 200 v 100 h -200 z m 50,30 a 10,10 0 1 0 20,0 10,10 0 1 0 -20,0 z" id="path846"/>
    <text xml:space="preserve" style="font-size:10.5833px;line-height:1.25" x="100" y="80" id="text900"><tspan p:role="line" id="tspan898" x="100" y="80">CHEEK</tspan><tspan p:role="line" x="100" y="93">WR 600</tspan></text>
    <path id="path10" d="M 30,30 H 60" style="stroke:#f00" class="datum"/>
  </g>
  <g p:label="Notes" p:groupmode="layer" id="layer2" style="display:none"><rect id="r9" width="400" height="200"/></g>
</svg>`, Options{}, []string{"CHEEK"}, 2e4 - 314.1592653589793, 1},
		{"classes, points at 72 per inch, escaped ids", `<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
	<!ENTITY ns_svg "http://www.w3.org/2000/svg">
]>
<svg version="1.1" id="Layer_1" xmlns="&ns_svg;" x="0px" y="0px" viewBox="0 0 841.89 595.28" style="enable-background:new 0 0 841.89 595.28;" xml:space="preserve">
<style type="text/css">.st0{fill:none;stroke:#000000;} .st1{display:none;}</style>
<g id="Lip_x0020_left"><polygon class="st0" points="72,72 144,72 144,144 72,144 "/></g>
<g id="Guides_1_" class="st1"><rect width="800" height="500"/></g>
</svg>`, Options{PxPerInch: 72}, []string{"Lip left"}, 25.4 * 25.4, 0},
		{"hundredths of a millimetre", `<svg xmlns="http://www.w3.org/2000/svg" xml:space="preserve" width="297mm" height="210mm" style="shape-rendering:geometricPrecision" viewBox="0 0 29700 21000">
 <g id="Layer_x0020_1"><g id="_105553"><path id="SPOKE" class="fil0 str0" d="M1000 1000l10000 0 0 5000 -10000 0 0 -5000z"/></g></g>
</svg>`, Options{}, []string{"SPOKE"}, 5000, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := readString(t, c.doc, c.opt)
			require.Equal(t, c.names, names(d))
			o := d.Outlines[0]
			assert.InEpsilon(t, c.area, o.Area, 1e-9)
			assert.Len(t, o.Holes, c.holes)
			assert.Empty(t, d.Problems)
			if c.name[:6] == "layers" {
				require.Len(t, o.Marks, 2)
				assert.Equal(t, shapes.MarkDatum, o.Marks[0].Kind)
				assert.Equal(t, "CHEEK\nWR 600", o.Marks[1].Text)
			}
			checkOutline(t, o)
		})
	}
}
