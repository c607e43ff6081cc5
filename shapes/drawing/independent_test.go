package drawing

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

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
