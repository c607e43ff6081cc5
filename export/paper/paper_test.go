package paper

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"plain":                  "plain",
		"Ωmega Жук łódź ½ m² 3°": "Ωmega Жук łódź ½ m² 3°",
		"± × − – … → ↔ □":        "± × − – … → ↔ □",
		"e\u0301":                "é",
		"a\nb\tc\u2028d":         "a b c d",
		"\u202ea\u200bb\ufe0f":   "ab",
		"日本":                     "□□",
		"a\xff":                  "a□",
		"a\x00b\x1b":             "a□b□",
		"😀":                      "□",
	} {
		got, missing := Printable(in)
		assert.Equal(t, want, got, "%q", in)
		assert.Equal(t, strings.ContainsRune(want, Substitute) && !strings.ContainsRune(in, Substitute), len(missing) > 0, "%q", in)
	}
}

func TestMissingIsReported(t *testing.T) {
	d := New(A4, "日")
	d.AddPage()
	d.Text(10, 10, 0, "本 ok 日", Style{Pt: 10})
	assert.Equal(t, []rune{'日', '本'}, d.Missing())
}

func TestParseSize(t *testing.T) {
	s, err := ParseSize("letter")
	require.NoError(t, err)
	assert.Equal(t, Letter, s)
	_, err = ParseSize("B5")
	assert.EqualError(t, err, `no paper size "B5"; there are A4 and Letter`)
}

// Text keeps to its width, and both ends of a long name stay.
func TestTextKeepsToWidth(t *testing.T) {
	d := New(A4, "")
	d.AddPage()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		w := rapid.Float64Range(2, 80).Draw(t, "width")
		got := d.Text(10, 10, w, s, Style{Pt: 11, Min: 7})
		if got > w+1e-9 {
			t.Fatalf("%q takes %g of %g mm", s, got, w)
		}
		for _, l := range d.Lines(s, w, Style{Pt: 5}) {
			if utf8.RuneCountInString(l) > 1 && d.Width(l, Style{Pt: 5}) > w+1e-9 {
				t.Fatalf("%q is wider than %g mm", l, w)
			}
		}
	})
	d.font(Style{}, 10)
	short := d.shorten("Upper shell, left, inner 0123", 30)
	assert.True(t, strings.HasPrefix(short, "Upper") && strings.HasSuffix(short, "0123") && strings.Contains(short, "…"), short)
}

func TestDegrees(t *testing.T) {
	for v, want := range map[float64]string{0: "0°", 45: "+45°", -30: "−30°", 90: "90°", 22.5: "+22.5°", -0.01: "0°", 0.06: "+0.1°"} {
		assert.Equal(t, want, Degrees(v))
	}
}

// From the middle of a 10 × 4 rectangle:
//
//	y 4 ┌───────────┐
//	    │     c     │
//	  0 └───────────┘ x 10
func TestReach(t *testing.T) {
	r := orb.Ring{{0, 0}, {10, 0}, {10, 4}, {0, 4}}
	c := orb.Point{5, 2}
	assert.InDelta(t, 5, reach(r, nil, c, 0), 1e-9)
	assert.InDelta(t, 2, reach(r, nil, c, 90), 1e-9)
	assert.InDelta(t, 2*math.Sqrt2, reach(r, nil, c, 45), 1e-9)
	assert.InDelta(t, 3, reach(r, []orb.Ring{{{8, 1}, {8, 3}, {9, 3}, {9, 1}}}, c, 0), 1e-9)
	assert.Zero(t, reach(nil, nil, c, 0))
}

// A picture of the opposite hand shows the mirrored ring, with the fibre as it
// lies and the seam mirrored with the ring.
func TestPictureOf(t *testing.T) {
	l := &kit.Line{
		Demand: nest.Demand{OppositeHand: true, Panel: &nest.Panel{AxisDeg: 90, Seams: []float64{-100}, CrossSeams: []float64{7}}},
		Fabric: &shapes.Fabric{Construction: shapes.Unidirectional}, AskedDeg: -30,
		Shape: &nest.Shape{Net: nest.Polygon{Outline: nest.Ring{{0, 0}, {600, 0}, {0, 300}}}},
	}
	p := PictureOf(l)
	assert.True(t, p.Mirror)
	assert.True(t, p.Arrow)
	assert.Equal(t, -30.0, p.Angle)
	// Turned by 90°, y = -100 of the panel's frame is x = 100 of the shape's.
	assert.InDeltaSlice(t, []float64{100, 0}, p.Seams[0].At[:], 1e-9)
	assert.Equal(t, 90.0, p.Seams[0].Angle)
	assert.InDeltaSlice(t, []float64{0, 7}, p.Seams[1].At[:], 1e-9)
	l.Fabric.Construction = shapes.Mat
	assert.False(t, PictureOf(l).Arrow)
}

// Odd shapes do no harm.
func TestPlyOfAnyShape(t *testing.T) {
	d := New(A4, "")
	d.pdf.SetCompression(false)
	d.AddPage()
	nan := math.NaN()
	for _, r := range []orb.Ring{nil, {{1, 1}}, {{0, 0}, {1, 0}, {2, 0}}, {{5, 5}, {5, 5}, {5, 5}}, {{nan, 0}, {1, 0}, {0, 1}}, {{0, 0}, {1e6, 0}, {1e6, 1e-3}}} {
		d.Ply(10, 10, 20, 10, Picture{Exterior: r, Arrow: true, Angle: 30, Seams: []Seam{{}}})
	}
	var b bytes.Buffer
	require.NoError(t, d.Write(&b))
	assert.NotContains(t, b.String(), "NaN")
}

func TestQRModules(t *testing.T) {
	d := New(A4, "")
	d.AddPage()
	// 17 bytes fill a version 2 code at level M: 25 modules and 8 of quiet.
	m, err := d.QR(10, 10, 33, strings.Repeat("a", 17))
	require.NoError(t, err)
	assert.InDelta(t, 1, m, 1e-9)
	// 70 bytes need version 5 (37 modules) at M, too fine here, and 4 (33) at L.
	m, err = d.QR(10, 10, 13.5, strings.Repeat("a", 70))
	require.NoError(t, err)
	assert.InDelta(t, 13.5/41, m, 1e-9)
	_, err = d.QR(10, 10, 30, strings.Repeat("a", 4000))
	assert.ErrorContains(t, err, "QR code of 4000 bytes")
}
