package svg_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
)

// Arcs of the path data give back the record.
func TestArcs(t *testing.T) {
	rec := cutcase.Curved(0.05)
	l := &rec.Layouts[0]
	src := text(t, plan(t, rec, toolpath.Machine{ArcTolerance: 0.026}))
	p, err := read(src)
	require.NoError(t, err)
	assert.NoError(t, cutcase.Check(rec, l, chains(p, l.Width), 0.03))
	arcs := 0
	for _, q := range p.paths {
		arcs += q.arcs
	}
	assert.Greater(t, arcs, 20)
	assert.False(t, strings.Contains(cutsOf(text(t, plan(t, rec, toolpath.Machine{}))), "A"), "arcs only where they are asked for")
}

// cutsOf is the path data of the cuts.
func cutsOf(src string) string {
	var b strings.Builder
	for _, m := range regexp.MustCompile(`id="cut-[^>]* d="([^"]*)"`).FindAllStringSubmatch(src, -1) {
		b.WriteString(m[1])
	}
	return b.String()
}

// A second renderer draws the same picture of arcs as of straight lines.
func TestArcsRendered(t *testing.T) {
	tool, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Skip("SKIPPED: rsvg-convert is not installed; the arcs were not rendered")
	}
	rec := cutcase.Curved(0.05)
	var pics []image.Image
	for _, m := range []toolpath.Machine{{}, {ArcTolerance: 0.026}} {
		cmd := exec.Command(tool, "-w", "3840", "-b", "white")
		cmd.Stdin = strings.NewReader(text(t, plan(t, rec, m)))
		out, err := cmd.Output()
		require.NoError(t, err)
		img, err := png.Decode(bytes.NewReader(out))
		require.NoError(t, err)
		pics = append(pics, img)
	}
	dark, differ := 0, 0
	b := pics[0].Bounds()
	for x := b.Min.X; x < b.Max.X; x++ {
		for y := b.Min.Y; y < b.Max.Y; y++ {
			p, q := color.GrayModel.Convert(pics[0].At(x, y)).(color.Gray).Y, color.GrayModel.Convert(pics[1].At(x, y)).(color.Gray).Y
			if p < 128 {
				dark++
			}
			// A line half a millimetre wide is a pixel; 0.05 mm are a tenth of one.
			if int(p)-int(q) > 64 || int(q)-int(p) > 64 {
				differ++
			}
		}
	}
	assert.Greater(t, dark, 5000)
	assert.Zero(t, differ)
}
