package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The parts of a small good job; each case below spoils one of them.
const (
	goodJob = `job: Nacelle cover
revision: A
units: mm
fabrics:
  - {name: WR 600, construction: plain, areal_mass: 600 g/m2, width: 1270, selvedge: 15}
parts:
  - part: Upper shell
    units: 1
    outlines: shell.svg
    plies:
      - {order: 1, ply: U01, outline: SKIN, fabric: WR 600, direction: 0, tolerance: 3}
cutting:
  gap: 3
  end_allowance: 20
`
	goodPath  = `<path id="SKIN" d="M0 0 H800 V600 H0 Z"/>`
	goodSheet = `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">PATH</svg>`
)

// dxf wraps entities in a minimal drawing in millimetres.
func dxf(entities string) string {
	return "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + entities + "0\nENDSEC\n0\nEOF\n"
}

func polyline(closed bool, xy ...string) string {
	flag := "0"
	if closed {
		flag = "1"
	}
	s := "0\nLWPOLYLINE\n5\n2F\n8\nSKIN\n90\n" + string(rune('0'+len(xy)/2)) + "\n70\n" + flag + "\n"
	for i := 0; i < len(xy); i += 2 {
		s += "10\n" + xy[i] + "\n20\n" + xy[i+1] + "\n"
	}
	return s
}

func TestBadInput(t *testing.T) {
	replace := func(old, with string) func(map[string]string) {
		return func(files map[string]string) {
			if !strings.Contains(files["job.yaml"], old) {
				panic("the good job has no " + old)
			}
			files["job.yaml"] = strings.Replace(files["job.yaml"], old, with, 1)
		}
	}
	path := func(p string) func(map[string]string) {
		return func(files map[string]string) { files["shell.svg"] = strings.Replace(goodSheet, "PATH", p, 1) }
	}
	drawn := func(entities string) func(map[string]string) {
		return func(files map[string]string) {
			files["shell.dxf"] = dxf(entities)
			files["job.yaml"] = strings.Replace(files["job.yaml"], "shell.svg", "shell.dxf", 1)
		}
	}
	tests := []struct {
		name  string
		spoil func(files map[string]string)
		// status and parts of the message that must all be there.
		status int
		says   []string
	}{
		{"missing job", func(f map[string]string) { delete(f, "job.yaml") }, 2, []string{"job.yaml", "no such file"}},
		{"missing drawing", func(f map[string]string) { delete(f, "shell.svg") }, 2, []string{"job.yaml:9", "shell.svg"}},
		{"unknown outline", replace("outline: SKIN", "outline: SKIM"), 2, []string{"job.yaml:11", `"SKIM"`, `"SKIN"`}},
		{"unknown fabric", replace("fabric: WR 600, direction", "fabric: WR 60, direction"), 2, []string{"job.yaml:11", `"WR 60"`, `"WR 600"`}},
		{"unknown key", replace("end_allowance", "end_alowance"), 2, []string{"job.yaml:14", "end_alowance", "end_allowance"}},
		{"unknown construction", replace("construction: plain", "construction: plane"), 2, []string{"job.yaml:5", `"plane"`, `"plain"`}},
		{"unreadable YAML", replace("fabrics:", "fabrics: ["), 2, []string{"job.yaml:"}},
		{"empty job", func(f map[string]string) { f["job.yaml"] = "" }, 2, []string{"job.yaml"}},
		{"job without parts", replace("parts:\n", "parts: []\nx-parts:\n"), 2, []string{"job.yaml", "parts"}},
		{"duplicate ply", replace("cutting:", "      - {order: 2, ply: U01, outline: SKIN, fabric: WR 600}\ncutting:"), 2, []string{"job.yaml:12", "U01"}},
		{"two mistakes told at once", func(f map[string]string) {
			replace("outline: SKIN", "outline: SKIM")(f)
			replace("end_allowance: 20", "end_allowance: -20")(f)
		}, 2, []string{"2 mistakes", "job.yaml:11", "job.yaml:14"}},
		{"NaN in the job", replace("gap: 3", "gap: .nan"), 2, []string{"job.yaml:13", "gap"}},
		{"no number", replace("gap: 3", "gap: three"), 2, []string{"job.yaml:13", "three"}},

		{"open contour", path(`<path id="SKIN" d="M0 0 H800 V600 H0"/>`), 2, []string{"SKIN", "open"}},
		{"open contour, DXF", drawn(polyline(false, "0", "0", "800", "0", "800", "600", "0", "600")), 2, []string{"2F", "open"}},
		{"self-crossing", path(`<path id="SKIN" d="M0 0 L800 600 H0 L800 0 Z"/>`), 2, []string{"SKIN", "cross", "(400, 300)"}},
		{"zero area", path(`<path id="SKIN" d="M0 0 H800 H0 Z"/>`), 2, []string{"SKIN"}},
		{"NaN in a drawing", drawn(polyline(true, "0", "0", "nan", "0", "800", "600")), 2, []string{"shell.dxf"}},
		{"coordinates of 1e9", drawn(polyline(true, "0", "0", "1e9", "0", "800", "600")), 2, []string{"2F", "1e+09"}},
		{"no drawing at all", func(f map[string]string) { f["shell.svg"] = "hello" }, 2, []string{"shell.svg"}},
		{"empty drawing", path(""), 2, []string{"shell.svg"}},
		{"unit not known", func(f map[string]string) {
			f["shell.svg"] = strings.Replace(f["shell.svg"], ` width="1000mm" height="1000mm"`, ` width="1000" height="1000"`, 1)
		}, 2, []string{"shell.svg", "unit"}},

		{"too wide", path(`<path id="SKIN" d="M0 0 H2000 V1600 H0 Z"/>`), 1, []string{"job.yaml:11", "Upper shell, ply U01", "1600.0 mm", "1240.0 mm"}},
		{"roll too short", replace("selvedge: 15}", "selvedge: 15, rolls: [{roll: R-1, length: 500}]}"), 1, []string{"U01", "800.0 mm", "460.0 mm"}},
		{"stock short", func(f map[string]string) {
			replace("selvedge: 15}", "selvedge: 15, rolls: [{roll: R-1, length: 1000}]}")(f)
			replace("units: 1", "units: 3")(f)
		}, 1, []string{"U01", "short by at least"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			files := map[string]string{"job.yaml": goodJob, "shell.svg": strings.Replace(goodSheet, "PATH", goodPath, 1)}
			tt.spoil(files)
			for name, text := range files {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
			}
			before := names(t, dir)
			status, out, said := command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", filepath.Join(dir, "OUT"), "--effort", "1")
			require.Equal(t, tt.status, status, said)
			require.Empty(t, out)
			for _, s := range tt.says {
				require.Contains(t, said, s)
			}
			require.NotContains(t, said, "goroutine")
			require.Equal(t, before, names(t, dir), "nothing may be written")
		})
	}
}

// The job that the cases above spoil is itself good.
func TestGoodInput(t *testing.T) {
	dir := goodFiles(t)
	out := filepath.Join(dir, "OUT")
	status, told, said := command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", out, "--effort", "1")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "WR 600")
	require.Equal(t, []string{"OUT", "job.yaml", "shell.svg"}, names(t, dir))

	t.Run("an earlier run is kept", func(t *testing.T) {
		before, err := os.ReadFile(filepath.Join(out, "layouts.json"))
		require.NoError(t, err)
		status, _, said := command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", out, "--effort", "1")
		require.Equal(t, 2, status)
		require.Contains(t, said, "--force")
		after, err := os.ReadFile(filepath.Join(out, "layouts.json"))
		require.NoError(t, err)
		require.Equal(t, before, after)
		status, _, said = command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", out, "--effort", "1", "--force")
		require.Equal(t, 0, status, said)
		require.Equal(t, []string{"OUT", "job.yaml", "shell.svg"}, names(t, dir))
	})
	t.Run("somebody's file in a run is kept", func(t *testing.T) {
		mine := filepath.Join(out, "mine.txt")
		require.NoError(t, os.WriteFile(mine, nil, 0o644))
		status, _, said := command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", out, "--effort", "1", "--force")
		require.Equal(t, 2, status)
		require.Contains(t, said, "mine.txt")
		require.FileExists(t, mine)
		require.NoError(t, os.Remove(mine))
	})
	t.Run("somebody's folder is kept", func(t *testing.T) {
		theirs := filepath.Join(dir, "photos")
		require.NoError(t, os.Mkdir(theirs, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(theirs, "a.jpg"), nil, 0o644))
		status, _, said := command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", theirs, "--effort", "1", "--force")
		require.Equal(t, 2, status)
		require.Contains(t, said, "photos")
		require.Equal(t, []string{"a.jpg"}, names(t, theirs))
	})
	t.Run("no such parent folder", func(t *testing.T) {
		status, _, said := command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", filepath.Join(dir, "no", "OUT"), "--effort", "1")
		require.Equal(t, 2, status)
		require.Contains(t, said, filepath.Join("no", "OUT"))
	})
	t.Run("a damaged record is told", func(t *testing.T) {
		data, err := os.ReadFile(filepath.Join(out, "layouts.json"))
		require.NoError(t, err)
		bad := filepath.Join(dir, "bad")
		require.NoError(t, os.Mkdir(bad, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(bad, "layouts.json"), data[:len(data)/2], 0o644))
		status, _, said := command(t, "check", bad)
		require.Equal(t, 2, status)
		require.Contains(t, said, "layouts.json")

		moved := bytes.Replace(data, []byte(`"x": `), []byte(`"x": 1`), 1)
		require.NotEqual(t, data, moved)
		require.NoError(t, os.WriteFile(filepath.Join(bad, "layouts.json"), moved, 0o644))
		status, told, said := command(t, "check", bad)
		require.Equal(t, 1, status, said)
		require.Contains(t, told, "U01")
		require.Contains(t, said, "do not cut from it")
	})
}

func TestUsage(t *testing.T) {
	for _, args := range [][]string{
		{"nest"}, {"nest", "job.yaml"}, {"nest", "job.yaml", "-o", "x", "--time", "-3s"},
		{"nest", "job.yaml", "-o", "x", "--time", "3s", "--effort", "2"},
		{"nest", "job.yaml", "-o", "x", "--formats", "docx"}, {"frobnicate"}, {"check"},
		{"check", "no-such-run"}, {"cut", "no-such-run"}, {"kits", "no-such-run"}, {"buy", "no-such.yaml"},
		{"cut", "x", "--from", "3"},
		{"cut", "x", "--from-cut", "3"}, {"cut", "x", "--layout", "L1", "--from", "0"}, {"cut", "x", "--layout", "L1", "--from", "2", "--from-cut", "3"},
		{"cut", "x", "--profile-example"}, {"outlines"}, {"outlines", "no-such.dxf"}, {"new", "a.dxf"},
	} {
		status, _, said := command(t, args...)
		require.Equal(t, 2, status, "%v: %s", args, said)
		require.True(t, strings.HasPrefix(said, "plyroom: "), "%v: %s", args, said)
	}
}

// command runs one command line as main does.
func command(t *testing.T, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, said bytes.Buffer
	status = execute(context.Background(), args, &out, &said)
	return status, out.String(), said.String()
}

func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}
