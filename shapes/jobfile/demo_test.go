package jobfile

import (
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
	"plyroom/shapes/drawing"
	"plyroom/shapes/geom"
)

const (
	demo    = "../../testdata/nacelle"
	refusal = "../../testdata/too-wide"
)

func readDemo(t *testing.T, folder string) *shapes.Job {
	t.Helper()
	job, problems := Read(filepath.Join(filepath.FromSlash(folder), "job.yaml"))
	require.NoError(t, problems.Err())
	assert.Empty(t, problems, "the demo has nothing to put right")
	return job
}

// The demo promises enough of everything that a layout of it is no trifle.
func TestDemo(t *testing.T) {
	job := readDemo(t, demo)
	outlines := map[string]bool{}
	angles := map[float64]bool{}
	pieces, opposite, marks := 0, 0, map[shapes.MarkKind]int{}
	perFabric := map[shapes.Construction]int{}
	for _, part := range job.Parts {
		assert.Equal(t, 2, part.Units, part.Name)
		for _, ply := range part.Plies {
			key := ply.Outline.Source + " " + ply.Outline.Name
			if !outlines[key] {
				for _, m := range ply.Outline.Marks {
					marks[m.Kind]++
				}
			}
			outlines[key] = true
			angles[ply.Direction] = true
			pieces += ply.Count * part.Units
			opposite += ply.OppositeHand * part.Units
			perFabric[ply.Fabric.Construction] += ply.Count * part.Units
			polygon := geom.PolygonArea(ply.Outline.Exterior, ply.Outline.Holes)
			assert.InEpsilon(t, ply.Outline.Area, polygon, 0.01, key)
		}
	}
	t.Logf("%d outlines, %d plies, %d of the opposite hand, marks %v, fabrics %v", len(outlines), pieces, opposite, marks, perFabric)
	assert.GreaterOrEqual(t, len(outlines), 45)
	assert.GreaterOrEqual(t, pieces, 250)
	assert.LessOrEqual(t, pieces, 400)
	assert.GreaterOrEqual(t, opposite, 10)
	for _, kind := range []shapes.MarkKind{shapes.MarkDatum, shapes.MarkSlit, shapes.MarkLine} {
		assert.NotZero(t, marks[kind], kind)
	}
	for _, a := range []float64{0, 30, -30, 45, -45, 90} {
		assert.True(t, angles[a], "no ply at %v degrees", a)
	}
	for _, c := range []shapes.Construction{shapes.Mat, shapes.Plain, shapes.Biaxial, shapes.Unidirectional} {
		assert.NotZero(t, perFabric[c], c)
	}
	assert.NotNil(t, job.Laminating)
	assert.NotNil(t, job.Cutting.Table)
}

// Every outline that is drawn is cut.
func TestDemoUsesEveryOutline(t *testing.T) {
	job := readDemo(t, demo)
	used := map[string]bool{}
	for _, part := range job.Parts {
		for _, ply := range part.Plies {
			used[ply.Outline.Name] = true
		}
	}
	files, err := filepath.Glob(filepath.Join(filepath.FromSlash(demo), "*.[ds][xv][fg]"))
	require.NoError(t, err)
	assert.Len(t, files, 8)
	for _, file := range files {
		outlines, problems, err := ReadDrawing(file, drawing.Options{})
		require.NoError(t, err)
		assert.Empty(t, problems)
		for _, o := range outlines {
			assert.True(t, used[o.Name], "%s of %s is not used", o.Name, file)
		}
	}
}

// leastWidth is the least width across the roll that a ply needs, over every
// way it may be laid.
func leastWidth(ply *shapes.Ply, spend float64) float64 {
	least := math.Inf(1)
	try := func(rotation float64, turned bool) {
		ring := geom.Transform{Mirror: turned, Rotation: rotation}.Ring(ply.Outline.Exterior)
		b := geom.Bound(ring)
		least = math.Min(least, b.Max[1]-b.Min[1]+2*ply.Trim)
	}
	for _, w := range ply.Fabric.WarpAngles(ply.Direction, false) {
		if w.Any {
			for a := 0.0; a < 180; a++ {
				try(a, w.TurnedOver)
			}
			continue
		}
		tolerance := math.Min(spend, ply.Tolerance)
		for _, d := range []float64{0, -tolerance, tolerance} {
			try(shapes.RotationFor(w.Angle+d, w.TurnedOver), w.TurnedOver)
		}
	}
	return least
}

// Every ply fits its roll, save the two that are there to be divided: they
// follow one another, from one outline.
func TestEveryPlyOfTheDemoFitsItsRollOrIsSplit(t *testing.T) {
	job := readDemo(t, demo)
	var split []*shapes.Ply
	for _, part := range job.Parts {
		for _, ply := range part.Plies {
			least := leastWidth(ply, job.Cutting.AngleTolerance)
			if ply.Split != nil {
				split = append(split, ply)
				assert.Greater(t, least, ply.Fabric.UsableWidth(), "%s, %s", part.Name, ply.Name)
				continue
			}
			assert.LessOrEqual(t, least, ply.Fabric.UsableWidth(), "%s, %s", part.Name, ply.Name)
		}
	}
	require.Len(t, split, 2)
	assert.Same(t, split[0].Outline, split[1].Outline)
	assert.Equal(t, split[0].Order+1, split[1].Order)
}

func TestTheTooWidePlyIsTooWide(t *testing.T) {
	job := readDemo(t, refusal)
	require.Len(t, job.Parts, 1)
	require.Len(t, job.Parts[0].Plies, 1)
	ply := job.Parts[0].Plies[0]
	assert.InDelta(t, 1600, leastWidth(ply, job.Cutting.AngleTolerance), 0.1)
	assert.Greater(t, 1600.0, ply.Fabric.UsableWidth())
}

// The generator writes the committed files again, byte for byte.
func TestDemoIsGenerated(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a program")
	}
	out := t.TempDir()
	cmd := exec.Command("go", "run", "./testdata/nacelle/generate", "-o", out)
	cmd.Dir = filepath.FromSlash("../..")
	text, err := cmd.CombinedOutput()
	require.NoError(t, err, string(text))

	committed := map[string]string{}
	for _, folder := range []string{demo, refusal} {
		files, err := os.ReadDir(filepath.FromSlash(folder))
		require.NoError(t, err)
		for _, f := range files {
			if f.IsDir() || f.Name() == "README.md" {
				continue
			}
			data, err := os.ReadFile(filepath.Join(filepath.FromSlash(folder), f.Name()))
			require.NoError(t, err)
			committed[filepath.Base(folder)+"/"+f.Name()] = string(data)
		}
	}
	written := 0
	require.NoError(t, filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		written++
		name, err := filepath.Rel(out, path)
		require.NoError(t, err)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		name = filepath.ToSlash(name)
		assert.Equal(t, committed[name], string(data), "%s: run go run ./testdata/nacelle/generate", name)
		return nil
	}))
	assert.Equal(t, len(committed), written, "files: %s", strings.TrimSpace(string(text)))
}
