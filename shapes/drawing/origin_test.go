package drawing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes/geom"
)

// A rectangle of 50 by 20 at (100, 200) of a page of 1000 by 1000, turned and
// moved about an origin: where it comes to lie, y up. CSS Transforms 1, section
// 4: percentages are of the view box, and the origin of an element of an SVG
// document is (0, 0) unless it is set.
func TestTransformOrigin(t *testing.T) {
	for _, c := range []struct {
		attrs      string
		x, y, w, h float64 // of the lower left corner; size
	}{
		{`transform="rotate(90)"`, -220, -150, 20, 50},
		{`transform="rotate(90)" transform-origin="100 200"`, 80, -250, 20, 50},
		{`style="transform:rotate(90deg);transform-origin:100px 200px 0"`, 80, -250, 20, 50},
		{`transform="rotate(180)" transform-origin="50% 50%"`, 850, -800, 50, 20},
		{`transform="rotate(180)" transform-origin="center"`, 850, -800, 50, 20},
		{`transform="rotate(180)" transform-origin="top right"`, 1850, 200, 50, 20},
		{`transform="rotate(180)" transform-origin="left"`, -150, -800, 50, 20},
		{`transform="rotate(180)" transform-origin="bottom"`, 850, -1800, 50, 20},
		{`transform="translate(5)" transform-origin="10 10"`, 105, -220, 50, 20},
		{`style="rotate:90deg;transform-origin:100px 200px"`, 80, -250, 20, 50},
		{`style="translate:5px 7px;scale:2;transform-origin:100px 200px"`, 105, -247, 100, 40},
		{`rotate="90" scale="3"`, 100, -220, 50, 20},
		{`style="transform:translate(5px);transform-box:fill-box;transform-origin:center"`, 105, -220, 50, 20},
	} {
		d := readString(t, svgPage(`<rect x="100" y="200" width="50" height="20" `+c.attrs+`/>`), Options{})
		require.Len(t, d.Outlines, 1, c.attrs)
		b := geom.Bound(d.Outlines[0].Exterior)
		assert.InDeltaSlice(t, []float64{c.x, c.y, c.w, c.h},
			[]float64{b.Min[0], b.Min[1], b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]}, 1e-9, c.attrs)
	}
}
