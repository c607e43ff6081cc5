package svg_test

import (
	"bytes"
	"errors"
	"flag"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/export/internal/cutcase"
	"plyroom/export/svg"
	"plyroom/export/toolpath"
	"plyroom/nest"
)

var update = flag.Bool("update", false, "write the golden files anew")

func plan(t *testing.T, rec *nest.Record, m toolpath.Machine) *toolpath.Path {
	t.Helper()
	p, err := toolpath.Plan(rec, &rec.Layouts[0], m)
	require.NoError(t, err)
	return p
}

func text(t *testing.T, p *toolpath.Path) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, svg.Write(&b, p))
	return b.String()
}

// chains turns the cuts back to layout coordinates: y points up there.
func chains(p *picture, width float64) []cutcase.Chain {
	var out []cutcase.Chain
	for _, q := range p.paths {
		if q.group != "cut" {
			continue
		}
		purpose := q.class
		if purpose == "cut-out" {
			purpose = "hole"
		}
		c := cutcase.Chain{Purpose: purpose}
		for _, v := range q.line {
			c.Line = append(c.Line, orb.Point{v[0], width - v[1]})
		}
		out = append(out, c)
	}
	return out
}

func TestReadingGivesBackTheRecord(t *testing.T) {
	for name, rec := range map[string]*nest.Record{
		"small": cutcase.Small(), "spread": cutcase.Spread(), "random": cutcase.Random(7, 60),
	} {
		p, err := read(text(t, plan(t, rec, toolpath.Machine{})))
		require.NoError(t, err, name)
		l := &rec.Layouts[0]
		assert.NoError(t, cutcase.Check(rec, l, chains(p, l.Width), 1e-5), name)
	}
}

func TestSizeIsInMillimetres(t *testing.T) {
	p, err := read(text(t, plan(t, cutcase.Small(), toolpath.Machine{Origin: toolpath.UpperRight, SwapAxes: true})))
	require.NoError(t, err)
	assert.Equal(t, "1920mm", p.width)
	assert.Equal(t, "1290mm", p.height)
	assert.Equal(t, [4]float64{-10, -10, 1920, 1290}, p.viewBox)
}

func TestInkAndInfo(t *testing.T) {
	rec := cutcase.Small()
	for _, ink := range []bool{false, true} {
		rec.Rules.Ink = ink
		p, err := read(text(t, plan(t, rec, toolpath.Machine{})))
		require.NoError(t, err)
		prefix := map[bool]string{false: "info-", true: "ink-"}[ink]
		require.NotEmpty(t, p.texts)
		for _, w := range p.texts {
			assert.True(t, strings.HasPrefix(w.group, prefix), w.group)
		}
		var drawn []orb.LineString
		for _, q := range p.paths {
			if q.group == prefix+"mark" {
				var line orb.LineString
				for _, v := range q.line {
					line = append(line, orb.Point{v[0], rec.Layouts[0].Width - v[1]})
				}
				drawn = append(drawn, line)
			}
		}
		assert.NoError(t, cutcase.CheckMarks(rec, &rec.Layouts[0], drawn, 1e-5))
	}
}

func TestNastyNamesStayText(t *testing.T) {
	rec := cutcase.Small()
	rec.Job = `</title><script>x</script> ]]> --> & "`
	rec.Layouts[0].Layers[0].Roll = "\x00\x1b<b>"
	p, err := read(text(t, plan(t, rec, toolpath.Machine{})))
	require.NoError(t, err)
	assert.Zero(t, p.names["script"])
	assert.Zero(t, p.names["b"])
	assert.True(t, strings.HasPrefix(p.title, rec.Job))
	for _, want := range []string{"revision: C", "layout: L1", "fabric: WR 600", "lot 2240-A", "cuts: 20", "Keep clear of the moving knife"} {
		assert.Contains(t, p.desc, want)
	}
}

// A second renderer draws the file, and the middle of a ply's edge is dark
// where it should be.
func TestRendered(t *testing.T) {
	tool, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Skip("SKIPPED: rsvg-convert is not installed; the drawing was not rendered")
	}
	dir := t.TempDir()
	src, dst := filepath.Join(dir, "a.svg"), filepath.Join(dir, "a.png")
	require.NoError(t, os.WriteFile(src, []byte(text(t, plan(t, cutcase.Small(), toolpath.Machine{}))), 0o666))
	out, err := exec.Command(tool, "-w", "1920", "-b", "white", src, "-o", dst).CombinedOutput()
	require.NoError(t, err, string(out))
	f, err := os.Open(dst)
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	assert.Equal(t, 1920, img.Bounds().Dx())
	dark := func(x, y float64) bool { // layout coordinates, mm
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				if r, g, b, _ := img.At(int(x)+10+dx, int(1270-y)+10+dy).RGBA(); r+g+b < 3*0xf000 {
					return true
				}
			}
		}
		return false
	}
	for _, p := range []orb.Point{{320, 415}, {620, 200}, {120, 200}, {200, 240}, {265, 127}} {
		assert.True(t, dark(p[0], p[1]), "%v should be on a line", p)
	}
	for _, p := range []orb.Point{{60, 60}, {900, 1100}, {1700, 1200}} {
		assert.False(t, dark(p[0], p[1]), "%v should be free", p)
	}
}

// Any names at all: the file stays readable and traces the record.
func TestAnyNames(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.SampledFrom(cutcase.Nasty), rapid.StringMatching(`[\x00-\x20%^()"';:<>&\\\\]{0,40}`))
		rec := cutcase.Named(name.Draw(r, "job"), name.Draw(r, "part"), name.Draw(r, "ply"), name.Draw(r, "fabric"), name.Draw(r, "roll"))
		p, err := toolpath.Plan(rec, &rec.Layouts[0], toolpath.Machine{})
		require.NoError(r, err)
		got, err := read(text(t, p))
		require.NoError(r, err)
		require.NoError(r, cutcase.Check(rec, &rec.Layouts[0], chains(got, rec.Layouts[0].Width), 1e-5))
		require.Zero(r, got.names["script"])
	})
}

type brokenWriter struct{ left int }

func (b *brokenWriter) Write(p []byte) (int, error) {
	if b.left -= len(p); b.left < 0 {
		return 0, errors.New("disk full")
	}
	return len(p), nil
}

func TestWriteErrorIsReturned(t *testing.T) {
	assert.ErrorContains(t, svg.Write(&brokenWriter{100}, plan(t, cutcase.Random(1, 200), toolpath.Machine{})), "disk full")
}

func TestGolden(t *testing.T) {
	for name, ink := range map[string]bool{"small.svg": false, "small-ink.svg": true} {
		rec := cutcase.Small()
		rec.Rules.Ink = ink
		got := text(t, plan(t, rec, toolpath.Machine{}))
		cutcase.Golden(t, name, got, *update)
	}
	cutcase.Golden(t, "curved.svg", text(t, plan(t, cutcase.Curved(0.05), toolpath.Machine{ArcTolerance: 0.026})), *update)
}
