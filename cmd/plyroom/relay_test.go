package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export"
	"plyroom/nest"
)

func record(t *testing.T, out string) *nest.Record {
	t.Helper()
	rec, err := export.ReadRecord(out)
	require.NoError(t, err)
	return rec
}

// tableJob is rolledJob on a table that holds two plies at once, so that there
// are several layouts.
func tableJob(t *testing.T) (dir, job string) {
	t.Helper()
	dir, job = rolledJob(t)
	data, err := os.ReadFile(job)
	require.NoError(t, err)
	text := strings.Replace(string(data), "count: 3}", "count: 5}", 1) + "  min_remnant: 500\n  table: {length: 900, width: 1600, kind: static}\n"
	require.NoError(t, os.WriteFile(job, []byte(text), 0o644))
	return dir, job
}

func TestRelay(t *testing.T) {
	dir, job := tableJob(t)
	out := filepath.Join(dir, "OUT")
	status, _, said := command(t, "nest", job, "-o", out, "--effort", "1")
	require.Equal(t, 0, status, said)
	was := record(t, out)
	require.Len(t, was.Layouts, 3)

	narrower := filepath.Join(dir, "narrower.yaml")
	data, err := os.ReadFile(job)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(narrower, []byte(strings.Replace(string(data), "length: 6000}", "length: 6000, width: 900}", 1)), 0o644))
	again := filepath.Join(dir, "AGAIN")
	status, told, said := command(t, "relay", out, "--job", narrower, "--cut", "L1", "-o", again, "--effort", "1")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "L1: cut already")
	require.Contains(t, told, "L2: to cut")
	status, told, said = command(t, "check", again)
	require.Equal(t, 0, status, told+said)
	now := record(t, again)
	require.Equal(t, was.Layouts[0].Placed, now.Layouts[0].Placed)
	require.Greater(t, len(now.Layouts), 3, "the rest is narrower")
	require.Equal(t, "R-1 (rest)", now.Layouts[1].Layers[0].Roll)
	require.Contains(t, strings.Join(now.Notes, "\n"), "L1 was cut as L1")
	require.FileExists(t, filepath.Join(again, "labels.pdf"))

	t.Run("half a layout, then a flaw", func(t *testing.T) {
		flawed := filepath.Join(dir, "flawed.yaml")
		require.NoError(t, os.WriteFile(flawed, []byte(strings.Replace(string(data), "length: 6000}", "length: 6000, flaws: [{from: 1500, to: 1600}]}", 1)), 0o644))
		third := filepath.Join(dir, "THIRD")
		status, _, said := command(t, "relay", out, "--job", flawed, "--cut", "L2:1", "-o", third, "--effort", "1")
		require.Equal(t, 0, status, said)
		status, told, said := command(t, "check", third)
		require.Equal(t, 0, status, told+said)
		now := record(t, third)
		require.Len(t, now.Layouts[0].Placed, 1)
		require.Equal(t, was.Layouts[1].Layers, now.Layouts[0].Layers)
	})
	t.Run("bad usage", func(t *testing.T) {
		for says, args := range map[string][]string{
			"it has L1":     {"--cut", "L9", "--job", job},
			"after the col": {"--cut", "L1:x", "--job", job},
			"cutting order": {"--cut", "L1:99", "--job", job},
			"named twice":   {"--cut", "L1,L1:1", "--job", job},
			"no such file":  {"--cut", "L1", "--job", "none.yaml"},
			`"job" not set`: {"--cut", "L1"},
		} {
			status, _, said := command(t, append([]string{"relay", out, "-o", filepath.Join(dir, "X"), "--effort", "1"}, args...)...)
			require.Equal(t, 2, status, said)
			require.Contains(t, said, says)
			require.NoDirExists(t, filepath.Join(dir, "X"))
		}
	})
}

func TestNestOnRemnants(t *testing.T) {
	dir, job := tableJob(t)
	store := filepath.Join(dir, "remnants")
	var ids []string
	for _, args := range [][]string{
		{"--size", "870x660", "--lot", "Z", "--date", "2027-01-01"}, // holds one ply, 630 usable across
		{"--size", "300x300", "--date", "2027-01-01"},               // holds none
		{"--size", "3000x1270", "--date", "2027-02-01", "--selvedge", "15"},
	} {
		status, told, said := command(t, append([]string{"remnants", "add", store, "--fabric", "WR 600"}, args...)...)
		require.Equal(t, 0, status, said)
		ids = append(ids, idWord.FindString(told))
	}
	out := filepath.Join(dir, "OUT")
	status, _, said := command(t, "nest", job, "-o", out, "--effort", "1", "--remnants", store)
	require.Equal(t, 0, status, said)
	require.Contains(t, said, ids[0]+" is used")
	require.Contains(t, said, "plyroom remnants keep "+store)
	status, told, said := command(t, "check", out)
	require.Equal(t, 0, status, told+said)
	list := remnantList(t, store)
	require.Equal(t, "used", list[ids[0]]["state"])
	require.Equal(t, "free", list[ids[1]]["state"], "not used, so released")
	require.Equal(t, "used", list[ids[2]]["state"])
	end := list[ids[0]]["end"].(map[string]any)
	require.Equal(t, "Nacelle cover", end["job"])
	require.Equal(t, filepath.Join(out, "layouts.json"), end["record"])

	// The rest of a remnant may be kept again, once.
	status, told, said = command(t, "remnants", "keep", store, out)
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "1270")

	// A job that fails gives everything back.
	data, err := os.ReadFile(job)
	require.NoError(t, err)
	short := filepath.Join(dir, "short.yaml")
	require.NoError(t, os.WriteFile(short, []byte(strings.Replace(string(data), "count: 5}", "count: 50}", 1)), 0o644))
	before := remnantList(t, store)
	status, _, said = command(t, "nest", short, "-o", filepath.Join(dir, "SHORT"), "--effort", "1", "--remnants", store)
	require.Equal(t, 1, status, said)
	require.Equal(t, before, remnantList(t, store))
	require.NoDirExists(t, filepath.Join(dir, "SHORT"))
}
