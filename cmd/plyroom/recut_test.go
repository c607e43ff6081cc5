package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/recut"
	"plyroom/nest/trace"
	"plyroom/nest/verify"
)

func readEntry(t *testing.T, path string) recut.Entry {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	var e recut.Entry
	require.NoError(t, json.Unmarshal(data, &e))
	return e
}

func TestRecut(t *testing.T) {
	dir, job := rolledJob(t)
	out, store := filepath.Join(dir, "OUT"), filepath.Join(dir, "remnants")
	status, _, said := command(t, "nest", job, "-o", out, "--effort", "1")
	require.Equal(t, 0, status, said)
	was := record(t, out)
	end := was.Layouts[0].Length
	require.Len(t, was.Layouts, 1)

	status, _, said = command(t, "recut", out, "--ply", "Upper shell/1/U01")
	require.Equal(t, 2, status)
	require.Contains(t, said, "3 copies")

	// From the roll, behind what is cut; the next one behind that.
	status, told, said := command(t, "recut", out, "--ply", "Upper shell/1/U01/2", "--why", "cut short", "--date", "2027-03-01")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "roll R-1")
	e := readEntry(t, filepath.Join(out, "recut-1", "recut.json"))
	require.Equal(t, 2, e.Copy)
	require.Equal(t, "cut short", e.Why)
	require.Equal(t, "L1", e.Spoiled.Layout)
	require.Equal(t, "R-1", e.Cut.Roll)
	require.InDelta(t, end, e.Cut.RollFrom, 1e-6)
	require.Len(t, e.Record.Layouts[0].Placed, 1)
	_, off, why := verify.Direction(e.Record.Fabric("WR 600"), 0, e.Record.Layouts[0].Placed[0].RotationDeg, e.Record.Layouts[0].Placed[0].TurnedOver, false, false)
	require.Empty(t, why)
	require.InDelta(t, 0, off, 1e-6)
	for _, name := range []string{"label.pdf", "trace.json", "cut/R1-WR-600.dxf", "cut/R1-WR-600.svg", "cut/R1-WR-600.plt", "cut/R1-WR-600.ngc"} {
		require.FileExists(t, filepath.Join(out, "recut-1", name))
	}
	status, _, said = command(t, "recut", out, "--ply", "Upper shell/1/U01/2", "-o", filepath.Join(dir, "AGAIN"))
	require.Equal(t, 0, status, said)
	require.Contains(t, said, "Upper shell, unit 1, ply U01, copy 2 was cut again before, as R1; from now on R2 counts")
	second := readEntry(t, filepath.Join(dir, "AGAIN", "recut.json"))
	require.InDelta(t, end+e.Cut.Length, second.Cut.RollFrom, 1e-6, "not twice from one stretch")
	listed, err := recut.List(out)
	require.NoError(t, err)
	require.Len(t, listed, 2)

	// From the smaller of two remnants, shaped as it is; the rest is kept.
	drawing := filepath.Join(dir, "offcut.svg")
	require.NoError(t, os.WriteFile(drawing, []byte(strings.Replace(goodSheet, "PATH", `<path id="PIECE" d="M0 0 H990 V990 H560 Z"/><path id="TRAPEZE" d="M0 300 L60 990 H990 V300 Z"/>`, 1)), 0o644))
	add := func(args ...string) string {
		status, told, said := command(t, append([]string{"remnants", "add", store, "--fabric", "WR 600"}, args...)...)
		require.Equal(t, 0, status, said)
		return idWord.FindString(told)
	}
	big := add("--size", "4000x1200")
	small := add("--drawing", drawing, "--outline", "TRAPEZE", "--lot", "Z")
	add("--drawing", drawing, "--outline", "PIECE") // holds no such ply
	status, told, said = command(t, "recut", out, "--ply", "Upper shell/1/U01/3", "--remnants", store)
	require.Equal(t, 0, status, said)
	require.Contains(t, told, small)
	third := readEntry(t, filepath.Join(out, "recut-3", "recut.json"))
	require.Equal(t, "Z", third.Cut.Lot)
	require.NotNil(t, third.Remnant)
	status, told, said = command(t, "check", filepath.Join(out, "recut-3"))
	require.Equal(t, 0, status, told+said)
	t.Run("a damaged recut is told", func(t *testing.T) {
		data, err := os.ReadFile(filepath.Join(out, "recut-3", "recut.json"))
		require.NoError(t, err)
		bad := filepath.Join(dir, "bad", "recut.json")
		require.NoError(t, os.Mkdir(filepath.Dir(bad), 0o755))
		// A ply moved out of its remnant, and half a file.
		require.NoError(t, os.WriteFile(bad, []byte(strings.Replace(string(data), `"x": `, `"x": 9`, 1)), 0o644))
		status, _, said := command(t, "check", bad)
		require.Equal(t, 1, status)
		require.Contains(t, said, "do not cut from it")
		require.NoError(t, os.WriteFile(bad, data[:len(data)/2], 0o644))
		status, _, said = command(t, "check", filepath.Dir(bad))
		require.Equal(t, 2, status)
		require.Contains(t, said, "recut.json")
	})
	status, told, said = command(t, "trace", out, "--lot", "Z", "--plies")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, small, "the trail shows it")
	status, told, said = command(t, "trace", out, "--lot", "A", "--plies")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "R2", "the last of two recuts of one ply")
	require.NotContains(t, told, "R1 ", "no spoiled ply is in a kit")
	list := remnantList(t, store)
	require.Equal(t, "used", list[small]["state"])
	require.Equal(t, "free", list[big]["state"])

	status, told, said = command(t, "recut", out, "--ply", "Upper shell/1/U01/3", "--remnants", store, "--min-length", "300")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, big)
	require.Contains(t, told, "are left of it")
	require.Greater(t, len(remnantList(t, store)), 3)
}

// spoiltKit lays two units of six pieces in two bags, and cuts piece 3 of the
// fifth order of the second unit again.
func spoiltKit(t *testing.T) (out string) {
	t.Helper()
	const plies = `      - {order: 1, ply: U01, outline: SKIN, fabric: WR 600, direction: 0}
      - {order: 2, ply: U02, outline: SKIN, fabric: PP 300}
`
	dir, status, said := kitRun(t, plies, plies+`      - {order: 5, ply: U05, outline: SKIN, fabric: PP 300, count: 4, bag: LATE}
      - {order: 6, ply: U06, outline: SKIN, fabric: PP 300, bag: LATE}
`)
	require.Equal(t, 0, status, said)
	out = filepath.Join(dir, "OUT")
	status, _, said = command(t, "recut", out, "--ply", "Upper shell/2/U05/3", "--date", "2026-12-01")
	require.Equal(t, 0, status, said)
	return out
}

// The tag of a ply cut again, and its trail, tell order, piece and bag of the
// kit it belongs to, as the first tag did.
func TestRecutTag(t *testing.T) {
	out := spoiltKit(t)
	var own trace.Trail
	require.NoError(t, json.Unmarshal([]byte(readText(t, out, "recut-1", "trace.json")), &own))
	require.Len(t, own.Pieces, 1)
	require.Empty(t, own.Missing)
	p := own.Pieces[0]
	require.Equal(t, []any{2, 2, "LATE", 5, "U05", 3, "R1"}, []any{p.Kit, p.Bag, p.BagName, p.Order, p.Ply, p.Copy, p.Layout})

	list := readText(t, out, "recut-1", "cut", "layouts.txt")
	require.Regexp(t, `starts: roll R-9 at [1-9]\d*\.\d{3} m\n    ply: .*U05`, list)

	text := pdfText(t, filepath.Join(out, "recut-1", "label.pdf"))
	require.Equal(t, 1, strings.Count(text, "REMOVE BEFORE WET-OUT"), "one tag")
	for _, says := range []string{"order 5 of 6 · piece 3 of 4", "bag LATE", "unit 2 of 2"} {
		require.Contains(t, text, says)
	}
}

// Once a ply is cut again, kit lists, labels and trace name its new place, as
// plyroom trace does; check says that there is a recut.
func TestKitsAfterARecut(t *testing.T) {
	out := spoiltKit(t)
	line := func(text, ply string) string {
		for _, l := range strings.Split(text, "\n") {
			if strings.Contains(l, ply) && strings.Contains(l, ",R1,") {
				return l
			}
		}
		return ""
	}
	require.Empty(t, line(readText(t, out, "trace.csv"), ",U05,3,"))
	status, told, said := command(t, "kits", out)
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "ply U05, copy 3 was cut again, as R1, from roll R-9 at ")
	require.Contains(t, told, "report.html and the layouts show the run as it was laid")
	require.Contains(t, line(readText(t, out, "trace.csv"), ",U05,3,"), "cut again,PP 300,R-9,LOT-P,")
	require.Contains(t, line(readText(t, out, "kits", "kit-2-Upper-shell-unit-2.csv"), ",U05,3,"), ",cut again,")
	require.NotContains(t, readText(t, out, "kits", "kit-1-Upper-shell-unit-1.csv"), "cut again")
	require.Contains(t, readText(t, out, "kits", "off-the-table.csv"), "\nR1,1,1,PP 300,R-9,LOT-P,Upper shell,2,2,2,LATE,5,U05,3,")
	status, asked, said := command(t, "trace", out, "--unit", "Upper shell/2", "--plies")
	require.Equal(t, 0, status, said)
	require.Contains(t, asked, "R1")
	status, told, said = command(t, "check", out)
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "1 recut lies beside the record")
	require.Contains(t, told, filepath.Join(out, "recut-1"))

	require.Contains(t, pdfText(t, filepath.Join(out, "labels.pdf")), "cut again R1")
	require.Contains(t, pdfText(t, filepath.Join(out, "kits", "kit-2-Upper-shell-unit-2.pdf")), "cut again R1")
	require.Contains(t, pdfText(t, filepath.Join(out, "kits", "cutting-room.pdf")), "Cut again R1")

	// A list without plans: they are looked for in the recuts' own folders.
	listed := filepath.Join(out, "recuts", "0001.json")
	var e recut.Entry
	require.NoError(t, json.Unmarshal([]byte(readText(t, listed)), &e))
	e.Record = nil
	data, err := json.Marshal(e)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(listed, data, 0o644))
	status, again, said := command(t, "trace", out, "--unit", "Upper shell/2", "--plies")
	require.Equal(t, 0, status, said)
	require.Equal(t, asked, again)
	require.NoError(t, os.Remove(filepath.Join(out, "recut-1", "recut.json")))
	status, _, said = command(t, "kits", out)
	require.Equal(t, 1, status)
	require.Contains(t, said, "recut R1: how its ply lies is not known")
}

// pdfText is the text of a PDF, read with a program of the system.
func pdfText(t *testing.T, path string) string {
	t.Helper()
	read, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("SKIPPED: pdftotext is not installed (Debian package poppler-utils)")
	}
	text, err := exec.Command(read, "-layout", path, "-").Output()
	require.NoError(t, err)
	return string(text)
}

func TestRecutHasNoPlace(t *testing.T) {
	dir, job := rolledJob(t)
	data, err := os.ReadFile(job)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(job, []byte(strings.Replace(string(data), "length: 6000", "length: 2000", 1)), 0o644))
	out := filepath.Join(dir, "OUT")
	status, _, said := command(t, "nest", job, "-o", out, "--effort", "1")
	require.Equal(t, 0, status, said)
	before := names(t, out)
	status, _, said = command(t, "recut", out, "--ply", "Upper shell/1/U01/1")
	require.Equal(t, 1, status)
	require.Contains(t, said, "the end of roll R-1")
	require.Equal(t, before, names(t, out), "nothing is written")
	for says, args := range map[string][]string{
		"it has Upper shell/1/U01": {"--ply", "Upper shell/1/U99"},
		"no piece \"Upper shell/9/U01\"; part \"Upper shell\" has unit 1 alone": {"--ply", "Upper shell/9/U01"},
		"the parts Upper shell": {"--ply", "Keel/1/K1"},
		"none.yaml":             {"--ply", "Upper shell/1/U01/1", "--job", "none.yaml"},
		"no folder of remnants": {"--ply", "Upper shell/1/U01/1", "--remnants", "none"},
	} {
		status, _, said := command(t, append([]string{"recut", out}, args...)...)
		require.Equal(t, 2, status, said)
		require.Contains(t, said, says)
	}
	// A new roll on the rack.
	require.NoError(t, os.WriteFile(job, []byte(strings.Replace(string(data), "{roll: R-1, lot: A, length: 6000}", "{roll: R-7, lot: B, length: 3 m}", 1)), 0o644))
	status, told, said := command(t, "recut", out, "--ply", "Upper shell/1/U01/1", "--job", job)
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "roll R-7 at 0.000 m")
}
