package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"plyroom/export/run"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/nest/account"
)

// TestDemo runs the demo as the README does and looks at everything it wrote
// with other eyes than those that made it.
func TestDemo(t *testing.T) {
	out := filepath.Join(t.TempDir(), "OUT")
	status, told, said := command(t, "nest", "../../testdata/nacelle/job.yaml", "-o", out, "--time", "2s", "--json")
	require.Equal(t, 0, status, said)
	var result struct {
		Total struct {
			Plies    int     `json:"plies"`
			NetYield float64 `json:"net_yield"`
		} `json:"total"`
		Fabrics []struct{ Fabric string } `json:"fabrics"`
	}
	require.NoError(t, json.Unmarshal([]byte(told), &result))
	require.GreaterOrEqual(t, result.Total.Plies, 250)
	require.GreaterOrEqual(t, len(result.Fabrics), 5)
	require.Greater(t, result.Total.NetYield, 0.5)

	rec, err := readRun(out)
	require.NoError(t, err)

	t.Run("check is clean", func(t *testing.T) {
		status, told, said := command(t, "check", out)
		require.Equal(t, 0, status, said)
		require.Contains(t, told, "keep every rule")
	})
	t.Run("the record follows its schema", func(t *testing.T) {
		c := jsonschema.NewCompiler()
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(nest.Schema()))
		require.NoError(t, err)
		require.NoError(t, c.AddResource("layouts.schema.json", doc))
		schema, err := c.Compile("layouts.schema.json")
		require.NoError(t, err)
		data, err := os.ReadFile(filepath.Join(out, "layouts.json"))
		require.NoError(t, err)
		inst, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		require.NoError(t, err)
		require.NoError(t, schema.Validate(inst))
	})
	t.Run("the demo is worth nesting", func(t *testing.T) { demoFacts(t, rec) })
	t.Run("an outside library agrees", func(t *testing.T) {
		for i := range rec.Layouts {
			secondOpinion(t, rec, &rec.Layouts[i])
		}
	})
	t.Run("the books balance", func(t *testing.T) {
		led, err := account.Measure(rec)
		require.NoError(t, err)
		for _, l := range led.Layers {
			require.InDelta(t, 0, l.Books.Imbalance(), 1, l.Layout.ID)
		}
	})
	t.Run("all files are there", func(t *testing.T) {
		for _, name := range []string{"report.html", "labels.pdf", "summary.csv", "layouts.json"} {
			info, err := os.Stat(filepath.Join(out, name))
			require.NoError(t, err)
			require.NotZero(t, info.Size(), name)
		}
		units := 0
		for _, p := range rec.Parts {
			units += p.Units
		}
		require.Len(t, names(t, filepath.Join(out, "kits")), 2*units+4, "a list and a table per kit; overview, walk, timetable, cutting room")
		require.Len(t, names(t, filepath.Join(out, "cut")), 4*len(rec.Layouts)+1, "four formats, and the list of layouts")
		require.Equal(t, []string{"OUT"}, names(t, filepath.Dir(out)), "nothing is left beside the folder")
	})
	t.Run("an independent reader finds the plies in the DXF", func(t *testing.T) { readDXF(t, rec, filepath.Join(out, "cut")) })
	t.Run("an interrupted cut goes on", func(t *testing.T) { demoRestart(t, rec, out) })
	t.Run("the knife goes a short way", func(t *testing.T) { demoTravel(t, rec) })
	t.Run("documents can be made again", func(t *testing.T) {
		before := contents(t, out)
		status, _, said := command(t, "cut", out)
		require.Equal(t, 0, status, said)
		status, _, said = command(t, "kits", out)
		require.Equal(t, 0, status, said)
		require.Equal(t, before, contents(t, out), "from the record alone, byte for byte")
	})
}

// demoRestart goes on in every layout whose plies' cuts stand between those of
// others.
func demoRestart(t *testing.T, rec *nest.Record, out string) {
	paths, err := run.Paths(rec, toolpath.Machine{})
	require.NoError(t, err)
	id := ""
	for _, l := range rec.Layouts {
		if p := paths[l.ID]; len(p.Plies) >= 4 && len(p.Cuts) > len(p.Plies) {
			id = l.ID
		}
	}
	require.NotEmpty(t, id, "a layout with cut-outs")
	p := paths[id]
	for n := 2; n <= len(p.Plies); n++ {
		rest, err := p.FromPly(n)
		require.NoError(t, err)
		require.Equal(t, len(p.Plies)-n+1, rest.Stats.Plies)
	}
	before := contents(t, filepath.Join(out, "cut"))
	status, told, said := command(t, "cut", out, "--layout", id, "--from", "3", "--formats", "rs274")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "no cut of a ply before them")
	part := filepath.Join(out, "cut-"+id+"-from-3")
	files := names(t, part)
	require.Len(t, files, 2)
	require.True(t, strings.HasPrefix(files[0], id+"-from-3-"), files[0])
	require.NotContains(t, before, files[0], "the name of a whole layout")
	status, _, said = command(t, "cut", out, "--layout", id, "--from-cut", "2", "--formats", "hpgl")
	require.Equal(t, 0, status, said)
	again := filepath.Join(out, "cut-"+id+"-from-cut-2")
	list, err := os.ReadFile(filepath.Join(again, "layouts.txt"))
	require.NoError(t, err)
	require.Contains(t, string(list), "numbers 2 to")
	require.NoError(t, os.RemoveAll(part))
	require.NoError(t, os.RemoveAll(again))
}

func demoFacts(t *testing.T, rec *nest.Record) {
	outlines := map[string]bool{}
	holes, marks := 0, 0
	for _, s := range rec.Shapes {
		outlines[s.Name+s.Source] = true
		holes += len(s.Net.Holes)
		marks += len(s.Marks)
	}
	require.GreaterOrEqual(t, len(outlines), 45)
	require.NotZero(t, holes)
	require.NotZero(t, marks)
	require.GreaterOrEqual(t, len(rec.Demand), 250)
	opposite, constructions := 0, map[string]bool{}
	for _, d := range rec.Demand {
		if d.OppositeHand {
			opposite++
		}
	}
	for _, f := range rec.Fabrics {
		constructions[string(f.Construction)] = true
	}
	require.NotZero(t, opposite)
	for _, c := range []string{"mat", "plain", "biaxial", "unidirectional"} {
		require.True(t, constructions[c], c)
	}
	// Two plies of two units in two panels each, all laid, their seams a
	// stagger apart.
	seams, panels := map[string]float64{}, 0
	for _, d := range rec.Demand {
		if d.Panel != nil {
			panels++
			require.Len(t, d.Panel.Seams, 1)
			seams[d.Panel.Ply] = d.Panel.Seams[0]
		}
	}
	require.Equal(t, 8, panels)
	require.Len(t, seams, 2)
	require.InDelta(t, 100, math.Abs(seams["U25"]-seams["U26"]), 1e-6)
}

// secondOpinion asks simplefeatures, a general-purpose geometry library, for
// the distance of every pair of plies that come near each other.
func secondOpinion(t *testing.T, rec *nest.Record, l *nest.Layout) {
	gap := rec.Rules.Gap
	polys := make([]geom.Geometry, len(l.Placed))
	boxes := make([][4]float64, len(l.Placed))
	for i := range l.Placed {
		p := &l.Placed[i]
		polys[i] = outsidePolygon(t, p)
		boxes[i] = [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, v := range p.Outline {
			boxes[i] = [4]float64{min(boxes[i][0], v[0]), min(boxes[i][1], v[1]), max(boxes[i][2], v[0]), max(boxes[i][3], v[1])}
		}
		require.GreaterOrEqual(t, boxes[i][0], l.Usable[0][0]-1e-5, p.Key())
		require.GreaterOrEqual(t, boxes[i][1], l.Usable[0][1]-1e-5, p.Key())
		require.LessOrEqual(t, boxes[i][2], l.Usable[1][0]+1e-5, p.Key())
		require.LessOrEqual(t, boxes[i][3], l.Usable[1][1]+1e-5, p.Key())
	}
	for i := range polys {
		for j := range polys[:i] {
			if l.Placed[i].Layer != l.Placed[j].Layer || boxes[i][0] > boxes[j][2]+gap || boxes[j][0] > boxes[i][2]+gap ||
				boxes[i][1] > boxes[j][3]+gap || boxes[j][1] > boxes[i][3]+gap {
				continue
			}
			d, ok := geom.Distance(polys[i], polys[j])
			require.True(t, ok)
			require.GreaterOrEqual(t, d, gap-1e-3, "%s: %s and %s", l.ID, l.Placed[i].Key(), l.Placed[j].Key())
		}
	}
}

func outsidePolygon(t *testing.T, p *nest.Placed) geom.Geometry {
	rings := []geom.LineString{}
	for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
		var xy []float64
		for _, v := range append(r[:len(r):len(r)], r[0]) {
			xy = append(xy, v[0], v[1])
		}
		rings = append(rings, geom.NewLineString(geom.NewSequence(xy, geom.DimXY)))
	}
	poly := geom.NewPolygon(rings)
	require.NoError(t, poly.Validate(), p.Key())
	return poly.AsGeometry()
}

// readDXF opens the cut files with ezdxf, an independent reader, and compares
// the closed outlines with the plies of the record: how many there are, and
// their areas.
func readDXF(t *testing.T, rec *nest.Record, dir string) {
	const python = "/usr/bin/python3"
	if out, err := exec.Command(python, "-c", "import ezdxf").CombinedOutput(); err != nil {
		t.Skipf("SKIPPED: python3-ezdxf is not installed; no independent reader opened the cut files (%s)", out)
	}
	script := `
import ezdxf, glob, json, os, sys
out = {}
for name in glob.glob(os.path.join(sys.argv[1], "*.dxf")):
    doc = ezdxf.readfile(name)
    audit = doc.audit()
    loops = []
    for e in doc.modelspace().query("POLYLINE LWPOLYLINE"):
        if not e.is_closed:
            continue
        pts = [(v[0], v[1]) for v in (e.points() if e.dxftype() == "POLYLINE" else e.get_points("xy"))]
        area = sum(a[0]*b[1] - b[0]*a[1] for a, b in zip(pts, pts[1:] + pts[:1])) / 2
        loops.append([e.dxf.layer, abs(area)])
    out[os.path.basename(name)] = {"errors": len(audit.errors), "fixes": len(audit.fixes), "loops": loops}
print(json.dumps(out))`
	cmd := exec.Command(python, "-c", script, dir)
	var said bytes.Buffer
	cmd.Stderr = &said
	data, err := cmd.Output()
	require.NoError(t, err, said.String())
	var files map[string]struct {
		Errors, Fixes int
		Loops         [][2]any
	}
	require.NoError(t, json.Unmarshal(data, &files))
	require.Len(t, files, len(rec.Layouts))
	for name, f := range files {
		require.Zero(t, f.Errors+f.Fixes, name)
		var l *nest.Layout
		for i := range rec.Layouts {
			if strings.HasPrefix(name, rec.Layouts[i].ID+"-") {
				l = &rec.Layouts[i]
			}
		}
		require.NotNil(t, l, name)
		byLayer := map[string][]float64{}
		for _, loop := range f.Loops {
			byLayer[loop[0].(string)] = append(byLayer[loop[0].(string)], loop[1].(float64))
		}
		var want []float64
		for i := range l.Placed {
			if l.Placed[i].Layer == 1 { // one stroke cuts all layers
				want = append(want, math.Abs(signedArea(l.Placed[i].Outline)))
			}
		}
		found := false
		for _, areas := range byLayer {
			found = found || sameAreas(areas, want)
		}
		require.True(t, found, "%s: no layer holds exactly one closed outline per ply with its area", name)
	}
}

func signedArea(r nest.Ring) float64 {
	sum := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		sum += (a[0]-r[0][0])*(b[1]-r[0][1]) - (b[0]-r[0][0])*(a[1]-r[0][1])
	}
	return sum / 2
}

// sameAreas reports whether two lists hold the same areas in any order, to one
// part in ten thousand.
func sameAreas(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	used := make([]bool, len(b))
next:
	for _, x := range a {
		for i, y := range b {
			if !used[i] && math.Abs(x-y) <= 1e-4*y+1 {
				used[i] = true
				continue next
			}
		}
		return false
	}
	return true
}

// contents reads every file below a folder.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		rel, _ := filepath.Rel(dir, path)
		out[rel] = string(data)
		return err
	}))
	return out
}

// TestTooWideDemo shows the refusal of a ply that no roll can take.
func TestTooWideDemo(t *testing.T) {
	dir := t.TempDir()
	status, _, said := command(t, "nest", "../../testdata/too-wide/job.yaml", "-o", filepath.Join(dir, "OUT"), "--effort", "1")
	require.Equal(t, 1, status, said)
	require.Contains(t, said, "too wide for fabric")
	require.Contains(t, said, "1600.0 mm across the roll")
	require.Contains(t, said, "usable are 1240.0 mm")
	require.Empty(t, names(t, dir), "nothing is written")
}
