package run_test

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
	"plyroom/export/run"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/shapes"
)

// A bench is a folder for cut files.
type bench struct{ dir string }

func (b bench) Create(name string) (io.WriteCloser, error) {
	return os.Create(filepath.Join(b.dir, name))
}

// write writes cut files and returns what they hold, by name.
func write(t *testing.T, p *toolpath.Path, formats ...string) map[string]string {
	t.Helper()
	b := bench{t.TempDir()}
	chosen, err := run.Choose(formats)
	require.NoError(t, err)
	require.NoError(t, run.WriteCuts(b, "", []*toolpath.Path{p}, chosen))
	files := map[string]string{}
	entries, err := os.ReadDir(b.dir)
	require.NoError(t, err)
	for _, e := range entries {
		raw, err := os.ReadFile(filepath.Join(b.dir, e.Name()))
		require.NoError(t, err)
		files[e.Name()] = string(raw)
	}
	return files
}

func plan(t *testing.T, rec *nest.Record, m toolpath.Machine) (map[string]*toolpath.Path, *toolpath.Path) {
	t.Helper()
	all, err := run.Paths(rec, m)
	require.NoError(t, err)
	return all, all["L1"]
}

var outline = regexp.MustCompile(`class="outline" data-ply="(\d+)"`)

// The file of a restart holds the outline of every ply from N on once, and of
// none below, and does not have the name of the whole file.
func TestRestartFile(t *testing.T) {
	_, whole := plan(t, cutcase.Random(3, 25), toolpath.Machine{})
	for n := 1; n <= len(whole.Plies); n++ {
		rest, err := whole.FromPly(n)
		require.NoError(t, err)
		require.NotEqual(t, run.Base(whole), run.Base(rest))
		var got []int
		for _, m := range outline.FindAllStringSubmatch(write(t, rest, "svg")[run.Base(rest)+".svg"], -1) {
			k, err := strconv.Atoi(m[1])
			require.NoError(t, err)
			got = append(got, k)
		}
		var want []int
		for k := n; k <= len(whole.Plies); k++ {
			want = append(want, k)
		}
		assert.Equal(t, want, got, "outlines come in the order plies come free")
	}
}

// Plain HP-GL says nothing of the job, so the list beside it does.
func TestListOfCutFiles(t *testing.T) {
	rec := cutcase.Spread()
	rec.Job, rec.Revision = "Nacelle\r\ncover", "C"
	_, whole := plan(t, rec, toolpath.Machine{})
	files := write(t, whole, "hpgl", "svg")
	require.Len(t, files, 3)
	list := files[run.ListName]
	for _, says := range []string{
		"L1-WR-600-WR-600", ".plt\n", ".svg\n", "    job: Nacelle  cover\n", "revision: C", "layout: L1", "fabric, layer 2: WR 600, roll R-2, lot L-2",
		"length: 1000.0 mm", "cuts: 2\n", toolpath.Safety[0],
	} {
		assert.Contains(t, list, says)
	}
}

// The list says where on the roll a layout starts, and names the ply where there
// is one alone.
func TestListSaysWhereALayoutStarts(t *testing.T) {
	rec := cutcase.Spread()
	rec.Layouts[0].Layers[0].RollFrom, rec.Layouts[0].Layers[1].RollFrom = 3713, 0
	_, whole := plan(t, rec, toolpath.Machine{})
	list := write(t, whole, "hpgl")[run.ListName]
	first := rec.Layouts[0].Layers[0].Roll
	assert.Contains(t, list, "    starts: roll "+first+" at 3.713 m\n")
	assert.Contains(t, list, "    starts: roll R-2 at 0.000 m\n")
	assert.NotContains(t, list, "    ply: ")
	_, one := plan(t, cutcase.Random(3, 1), toolpath.Machine{})
	require.Len(t, one.Plies, 1)
	assert.Contains(t, write(t, one, "hpgl")[run.ListName], "    ply: "+one.Plies[0].Label+"\n")
}

// A conveyor without advance lines gets a file per window; a restart has none
// for windows that are done.
func TestRestartByWindows(t *testing.T) {
	rec := cutcase.Random(2, 80)
	rec.Rules.Table = &shapes.Table{Length: 400, Width: 2000, Kind: shapes.Conveyor}
	_, whole := plan(t, rec, toolpath.Machine{})
	n := len(whole.Windows)
	require.Greater(t, n, 2)
	require.Len(t, write(t, whole, "hpgl"), n+1)
	for _, c := range whole.Cuts {
		if c.Window == 1 {
			rest, err := whole.FromCut(c.Number)
			require.NoError(t, err)
			files := write(t, rest, "hpgl")
			assert.Len(t, files, n)
			assert.NotContains(t, files, run.Base(rest)+".window1.plt")
			return
		}
	}
}

// Plies come off the table as their last cuts set them free, the upper layer of
// a spread first.
func TestCutOrder(t *testing.T) {
	for _, rec := range []*nest.Record{cutcase.Spread(), cutcase.Random(4, 30)} {
		all, whole := plan(t, rec, toolpath.Machine{})
		l := &rec.Layouts[0]
		order := run.CutOrder(all)(l)
		last := make([]int, len(l.Placed))
		for _, c := range whole.Cuts {
			for _, i := range c.Plies {
				last[i] = c.Number
			}
		}
		for k := 1; k < len(order); k++ {
			a, b := order[k-1], order[k]
			assert.True(t, last[a] < last[b] || last[a] == last[b] && l.Placed[a].Layer > l.Placed[b].Layer)
		}
		slices.Sort(order)
		for i := range l.Placed {
			assert.Equal(t, i, order[i])
		}
		assert.Len(t, order, len(l.Placed))
	}
}
