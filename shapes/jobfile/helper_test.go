package jobfile

import (
	"errors"
	"io/fs"
	"path"
	"sort"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/shapes"
	"plyroom/shapes/drawing"
)

// memory is a file system in memory.
type memory map[string]string

func (m memory) read(name string, limit int64) ([]byte, error) {
	data, ok := m[path.Clean(name)]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	if int64(len(data)) > limit {
		return nil, errors.New("it is larger than allowed")
	}
	return []byte(data), nil
}

func (m memory) names(folder string) []string {
	var out []string
	for name := range m {
		if path.Dir(name) == path.Clean(folder) {
			out = append(out, path.Base(name))
		}
	}
	sort.Strings(out)
	return out
}

// drawings is a reader of drawings that lie in memory as lists of names: each
// gives an L-shaped outline with a cut-out and a mark.
func (m memory) drawings(name string, opt drawing.Options) ([]*shapes.Outline, shapes.Problems, error) {
	data, err := m.read(name, 1<<20)
	if err != nil {
		return nil, nil, err
	}
	var out []*shapes.Outline
	for _, word := range strings.Fields(string(data)) {
		if word == "!" {
			return nil, shapes.Problems{{Severity: shapes.Fault, Line: 7, Entity: "LINE 2F", Message: "the outline is open by 12 mm"}}, nil
		}
		out = append(out, outlineL(word, path.Base(name)))
	}
	return out, nil, nil
}

func outlineL(name, source string) *shapes.Outline {
	return &shapes.Outline{
		Name:      name,
		Exterior:  orb.Ring{{0, 0}, {400, 0}, {400, 100}, {100, 100}, {100, 300}, {0, 300}},
		Holes:     []orb.Ring{{{20, 20}, {20, 40}, {40, 40}, {40, 20}}},
		Marks:     []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{10, 10}, {30, 12}}}},
		Area:      59600,
		Perimeter: 1480,
		Source:    source,
	}
}

// readText reads a job written in the test, with two drawings beside it.
func readText(job string, more ...string) (*shapes.Job, shapes.Problems) {
	m := memory{
		"job.yaml":        job,
		"upper-shell.dxf": "SKIN CHEEK",
		"tapes.svg":       "TAPE-1 TAPE-2",
	}
	for i := 0; i+1 < len(more); i += 2 {
		m[more[i]] = more[i+1]
	}
	return read("job.yaml", m, m.drawings)
}
