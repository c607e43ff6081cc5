package dxf_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/toolpath"
)

// Arcs written as bulges give back the record.
func TestArcs(t *testing.T) {
	rec := cutcase.Curved(0.05)
	l := &rec.Layouts[0]
	for release := range releases {
		for _, m := range []toolpath.Machine{{}, {Units: toolpath.Inches}, {Origin: toolpath.UpperLeft}, {SwapAxes: true}} {
			plain := count(t, text(t, plan(t, rec, m), release))
			assert.Zero(t, plain, "arcs only where they are asked for")
			m.ArcTolerance = 0.026
			src := text(t, plan(t, rec, m), release)
			f, err := read(src)
			require.NoError(t, err)
			scale := 1.0
			if m.Units == toolpath.Inches {
				scale = 25.4
			}
			got := chains(f, scale)
			for _, c := range got {
				for i, p := range c.Line {
					if m.SwapAxes {
						p[0], p[1] = p[1], p[0]
					}
					if m.Origin == toolpath.UpperLeft {
						p[1] = l.Width - p[1]
					}
					c.Line[i] = p
				}
			}
			assert.NoError(t, cutcase.Check(rec, l, got, 0.03), "%s %+v", release, m)
			assert.Greater(t, count(t, src), 20)
		}
	}
}

func count(t *testing.T, src string) int {
	t.Helper()
	f, err := read(src)
	require.NoError(t, err)
	n := 0
	for _, l := range f.lines {
		n += l.arcs
	}
	return n
}

// An independent reader flattens the bulges to the same outlines.
func TestIndependentReaderOfArcs(t *testing.T) {
	const python = "/usr/bin/python3"
	if out, err := exec.Command(python, "-c", "import ezdxf").CombinedOutput(); err != nil {
		t.Skipf("SKIPPED: python3-ezdxf is not installed; no independent reader drew the arcs (%s)", out)
	}
	const script = `
import ezdxf, json, sys
out = []
for e in ezdxf.readfile(sys.argv[1]).modelspace().query('POLYLINE LWPOLYLINE'):
    if e.dxf.layer.startswith('CUT_'):
        for v in e.virtual_entities():
            pts = v.flattening(0.0005) if v.dxftype() == 'ARC' else (v.dxf.start, v.dxf.end)
            out.append({'layer': e.dxf.layer, 'line': [(p.x, p.y) for p in pts]})
json.dump(out, sys.stdout)
`
	rec := cutcase.Curved(0.05)
	for release := range releases {
		name := filepath.Join(t.TempDir(), "a.dxf")
		require.NoError(t, os.WriteFile(name, []byte(text(t, plan(t, rec, toolpath.Machine{ArcTolerance: 0.026}), release)), 0o666))
		raw, err := exec.Command(python, "-c", script, name).Output()
		require.NoError(t, err)
		var lines []struct {
			Layer string
			Line  orb.LineString
		}
		require.NoError(t, json.Unmarshal(raw, &lines))
		var got []cutcase.Chain
		for _, l := range lines {
			got = append(got, cutcase.Chain{Purpose: purposes[l.Layer], Line: l.Line})
		}
		assert.NoError(t, cutcase.Check(rec, &rec.Layouts[0], got, 0.03), release)
	}
}
