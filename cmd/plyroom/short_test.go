package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A roll that holds one unit of two: without --allow-short nothing is written;
// with it the folder holds unit 1, whole, and the record names the rest. The
// exit status is 1 both times.
func TestStockRunsShort(t *testing.T) {
	dir := goodFiles(t)
	path := filepath.Join(dir, "job.yaml")
	job, err := os.ReadFile(path)
	require.NoError(t, err)
	text := strings.Replace(string(job), "selvedge: 15}", "selvedge: 15, rolls: [{roll: R-1, length: 900}]}", 1)
	text = strings.Replace(text, "units: 1", "units: 3", 1)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	out := filepath.Join(dir, "out")

	status, _, stderr := command(t, "nest", path, "-o", out, "--effort", "1")
	require.Equal(t, 1, status)
	require.Contains(t, stderr, "Upper shell, ply U01: no room for 1 of it")
	require.Contains(t, stderr, "the kit of Upper shell, unit 3, lacks 1 piece")
	require.Contains(t, stderr, `"WR 600" is short by at least 0.4 m`)
	require.NoDirExists(t, out)

	status, stdout, stderr := command(t, "nest", path, "-o", out, "--effort", "1", "--allow-short")
	require.Equal(t, 1, status)
	require.Contains(t, stderr, "Upper shell, unit 3 lacks U01 copy 1 (WR 600)")
	require.Contains(t, stdout, "WR 600")
	rec, err := readRun(out)
	require.NoError(t, err)
	require.Len(t, rec.Layouts[0].Placed, 2)
	require.Len(t, rec.Short, 1)

	status, _, stderr = command(t, "check", out)
	require.Equal(t, 0, status, stderr)
}
