package drawing

import (
	"bytes"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes/geom"
)

// systemPython has the independent library where it is installed.
const systemPython = "/usr/bin/python3"

// Every entity in every version, as text and in binary, written by an
// independent library.
func TestIndependentDXF(t *testing.T) {
	if err := exec.Command(systemPython, "-c", "import ezdxf").Run(); err != nil {
		t.Skip("SKIPPED: the independent DXF library (Debian's python3-ezdxf) is not installed, so no foreign file was read")
	}
	dir := t.TempDir()
	out, err := exec.Command(systemPython, "testdata/independent.py", dir).CombinedOutput()
	require.NoError(t, err, "%s", out)
	files, err := filepath.Glob(dir + "/*.dxf")
	require.NoError(t, err)
	require.Len(t, files, 14)
	for _, f := range files {
		t.Run(filepath.Base(f), func(t *testing.T) {
			var want map[string]struct {
				Area float64
				Box  [4]float64
			}
			data, err := os.ReadFile(strings.TrimSuffix(f, ".dxf") + ".json")
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(data, &want))
			var opt Options
			if strings.HasPrefix(filepath.Base(f), "R12") {
				opt.Unit = "mm" // that version need not state it
			}
			d, err := Read(f, opt)
			require.NoError(t, err)
			require.Len(t, d.Outlines, len(want), "%v", names(d))
			for _, o := range d.Outlines {
				w, ok := want[o.Name]
				if !assert.True(t, ok, "an outline %q was not drawn", o.Name) {
					continue
				}
				if w.Area > 0 {
					assert.InEpsilon(t, w.Area, o.Area, 1e-6, "%s", o.Name)
				}
				b := geom.Bound(o.Exterior)
				for i, v := range [4]float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]} {
					assert.InDelta(t, w.Box[i], v, 0.15, "%s, side %d", o.Name, i)
				}
				checkOutline(t, o)
			}
		})
	}
}

// renderer is an independent program that draws SVG.
const renderer = "/usr/bin/rsvg-convert"

// Every element is drawn by an independent renderer and covers the same places:
// the same area, and the same centre of it.
func TestIndependentSVG(t *testing.T) {
	if _, err := os.Stat(renderer); err != nil {
		t.Skip("SKIPPED: the independent renderer (Debian's librsvg2-bin) is not installed, so no element was drawn twice")
	}
	for _, c := range svgCases() {
		t.Run(c.name, func(t *testing.T) {
			switch {
			case strings.Contains(c.body, "style=\"transform"), c.name == "polygon run together", c.name == "path by style":
				t.Skip("the renderer does not know it")
			}
			// 2000 by 2000 mm about the origin, four to a pixel.
			page := strings.Replace(svgPage(c.body), `width="1000mm" height="1000mm" viewBox="0 0 1000 1000"`,
				`width="500" height="500" viewBox="-1000 -1000 2000 2000" style="fill-rule:evenodd"`, 1)
			d := readString(t, page, Options{Unit: "mm"})
			require.Len(t, d.Outlines, 1)
			cmd := exec.Command(renderer)
			cmd.Stdin = strings.NewReader(page)
			out, err := cmd.Output()
			require.NoError(t, err)
			img, err := png.Decode(bytes.NewReader(out))
			require.NoError(t, err)
			area, x, y := coverage(img)
			o := d.Outlines[0]
			assert.InDelta(t, o.Area, 16*area, 0.003*o.Area+0.1*o.Perimeter, "area")
			cx, cy := centroid(o.Exterior, o.Holes)
			assert.InDelta(t, cx, 4*x-1000, 0.5, "x")
			assert.InDelta(t, -cy, 4*y-1000, 0.5, "y")
		})
	}
}

// coverage is how many pixels are painted, edges in part, and their centre.
func coverage(img image.Image) (area, x, y float64) {
	b := img.Bounds()
	for i := b.Min.X; i < b.Max.X; i++ {
		for j := b.Min.Y; j < b.Max.Y; j++ {
			a := float64(color.NRGBAModel.Convert(img.At(i, j)).(color.NRGBA).A) / 255
			area += a
			x += a * (float64(i) + 0.5)
			y += a * (float64(j) + 0.5)
		}
	}
	return area, x / math.Max(area, 1), y / math.Max(area, 1)
}

func centroid(exterior orb.Ring, holes []orb.Ring) (x, y float64) {
	var sum float64
	for _, r := range append([]orb.Ring{exterior}, holes...) {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			k := p[0]*q[1] - q[0]*p[1]
			sum += 3 * k
			x += k * (p[0] + q[0])
			y += k * (p[1] + q[1])
		}
	}
	return x / sum, y / sum
}
