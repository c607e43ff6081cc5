package jobfile

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/shapes"
	"plyroom/shapes/drawing"
)

// written reads a job that New wrote from the sheets it was written from.
func written(job string, sheets []Sheet) (*shapes.Job, shapes.Problems) {
	byPath := map[string]Sheet{}
	for _, s := range sheets {
		byPath[filepath.ToSlash(filepath.Clean(s.Path))] = s
	}
	return read("job.yaml", memory{"job.yaml": job}, func(path string, opt drawing.Options) ([]*shapes.Outline, shapes.Problems, error) {
		s, ok := byPath[filepath.ToSlash(path)]
		if !ok {
			return nil, nil, os.ErrNotExist
		}
		return s.Outlines, nil, nil
	})
}

func TestNew(t *testing.T) {
	sheets := []Sheet{
		{Path: "shell.dxf", Outlines: []*shapes.Outline{outlineL("SKIN", ""), outlineL("A", ""), outlineL("A", ""), outlineL("Größe: \"3\"", ""), outlineL("true", ""), outlineL("x\x01", "")}},
		{Path: "sub/shell.dxf", Options: drawing.Options{Unit: "in", PxPerInch: 90, Join: 0.1, Gap: -1, Names: []drawing.NameSource{drawing.NameLayer}, PerLayer: true}, Outlines: []*shapes.Outline{outlineL("B", "")}},
	}
	var b bytes.Buffer
	require.NoError(t, New(&b, "Hull: no. 1", sheets))
	assert.Contains(t, b.String(), `
parts:
  - part: shell # CHANGE
    units: 1
    outlines: shell.dxf
    plies: # CHANGE fabrics and directions; 1 is laid first, against the tool
      - {order: 1, ply: P01, outline: SKIN, fabric: FABRIC 1, direction: 0}
      - {order: 2, ply: P02, outline: "Größe: \"3\"", fabric: FABRIC 1, direction: 0}
      - {order: 3, ply: P03, outline: "true", fabric: FABRIC 1, direction: 0}
      # not listed: "A", which is drawn 2 times
      # not listed: "x\x01", a name that cannot be used
  - part: shell 2 # CHANGE
    units: 1
    outlines: {file: sub/shell.dxf, units: in, px_per_inch: 90, join: 0.1, close_gaps: 0, names: [layer], per_layer: true}
    plies: # CHANGE fabrics and directions; 1 is laid first, against the tool
      - {order: 1, ply: P01, outline: B, fabric: FABRIC 1, direction: 0}
`)
	job, problems := written(b.String(), sheets)
	require.NoError(t, problems.Err())
	assert.Equal(t, "Hull: no. 1", job.Name)
	assert.NoError(t, validate(t, b.String()))
}

func TestNewWithoutOutlines(t *testing.T) {
	var b bytes.Buffer
	assert.EqualError(t, New(&b, "J", nil), "a job starts from at least one drawing")
	assert.EqualError(t, New(&b, "J", []Sheet{{Path: "a.svg"}}), `drawing "a.svg" holds no outline to list`)
	assert.Empty(t, b.String(), "nothing is written in vain")
}

// A job started from the demo's own drawings can be read at once.
func TestNewFromTheDemo(t *testing.T) {
	folder := filepath.FromSlash(demo)
	files, err := filepath.Glob(filepath.Join(folder, "*.[ds][xv][fg]"))
	require.NoError(t, err)
	var sheets []Sheet
	want := 0
	for _, file := range files {
		outlines, problems, err := ReadDrawing(file, drawing.Options{})
		require.NoError(t, err)
		require.Empty(t, problems)
		want += len(outlines)
		abs, err := filepath.Abs(file)
		require.NoError(t, err)
		sheets = append(sheets, Sheet{Path: abs, Outlines: outlines})
	}
	var b bytes.Buffer
	require.NoError(t, New(&b, "Demo", sheets))
	path := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	job, problems := Read(path)
	require.NoError(t, problems.Err())
	got := 0
	for _, part := range job.Parts {
		got += len(part.Plies)
	}
	assert.Equal(t, want, got)
}

// Whatever outlines are called, the job is valid and lists each of them.
func TestNewTakesAnyName(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfNDistinct(rapid.OneOf(
			rapid.String(),
			rapid.StringMatching(`[-?:,\[\]{}#&*!|>'"%@ ~a1.\n\t]{1,5}`),
			rapid.SampledFrom([]string{"null", "~", "1e3", "0x1F", "2026-01-01", "<<", "=", "yes", "No", "'", `\`, "---", "...", "\u0085", "\u2028", "\u202e", "\ufeff"}),
		), 1, 4, rapid.ID).Draw(t, "names")
		title := rapid.String().Draw(t, "title")
		s := Sheet{Path: rapid.StringMatching(`[a-zäö#: '"]{0,5}[a-z]\.(dxf|svg)`).Draw(t, "path")}
		usable := 0
		for _, n := range names {
			s.Outlines = append(s.Outlines, outlineL(n, ""))
			if nameable(n) {
				usable++
			}
		}
		var b bytes.Buffer
		err := New(&b, title, []Sheet{s})
		if usable == 0 {
			if err == nil || b.Len() > 0 {
				t.Fatalf("no usable name, and yet no error")
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		// The reader trims paths; a drawing that begins with a space is another.
		s.Path = strings.TrimSpace(s.Path)
		job, problems := written(b.String(), []Sheet{s})
		if problems.Err() != nil {
			t.Fatalf("%v\n%s", problems, b.String())
		}
		if got := len(job.Parts[0].Plies); got != usable {
			t.Fatalf("%d plies, want %d\n%s", got, usable, b.String())
		}
	})
}
