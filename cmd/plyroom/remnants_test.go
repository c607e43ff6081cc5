package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var idWord = regexp.MustCompile(`RM-[A-Z0-9]{8}`)

// rolledJob is the good job with a roll of known length and three plies, so
// that something is left over.
func rolledJob(t *testing.T) (dir, job string) {
	t.Helper()
	dir = goodFiles(t)
	text := strings.Replace(goodJob, "selvedge: 15}", "selvedge: 15, rolls: [{roll: R-1, lot: A, length: 6000}]}", 1)
	text = strings.Replace(text, "tolerance: 3}", "tolerance: 3, count: 3}", 1)
	job = filepath.Join(dir, "job.yaml")
	require.NoError(t, os.WriteFile(job, []byte(text), 0o644))
	return dir, job
}

func remnantList(t *testing.T, store string) map[string]map[string]any {
	t.Helper()
	status, told, said := command(t, "remnants", store, "--json")
	require.Equal(t, 0, status, said)
	var list []map[string]any
	require.NoError(t, json.Unmarshal([]byte(told), &list))
	out := map[string]map[string]any{}
	for _, r := range list {
		out[r["id"].(string)] = r
	}
	return out
}

func TestRemnantCommands(t *testing.T) {
	dir := goodFiles(t)
	store := filepath.Join(dir, "remnants")
	status, _, said := command(t, "remnants", store)
	require.Equal(t, 2, status)
	require.Contains(t, said, store)

	status, told, said := command(t, "remnants", "add", store, "--fabric", "WR 600", "--size", "1200x600", "--lot", "A", "--date", "2027-03-01")
	require.Equal(t, 0, status, said)
	first := idWord.FindString(told)
	require.NotEmpty(t, first)
	status, told, said = command(t, "remnants", "add", store, "--fabric", "WR 600", "--drawing", filepath.Join(dir, "shell.svg"), "--date", "2027-03-05", "--note", "shelf 2")
	require.Equal(t, 0, status, said)
	second := idWord.FindString(told)

	status, told, said = command(t, "remnants", store, "--date", "2027-03-11")
	require.Equal(t, 0, status, said)
	for _, w := range []string{first, second, "1200 × 600", "800 × 600", "free", "10", "shelf 2", "WR 600"} {
		require.Contains(t, told, w)
	}
	status, _, said = command(t, "remnants", "discard", store, first, "--why", "wet", "--date", "2027-03-12")
	require.Equal(t, 0, status, said)
	list := remnantList(t, store)
	require.Equal(t, "discarded", list[first]["state"])
	require.Equal(t, "free", list[second]["state"])
	status, _, said = command(t, "remnants", "discard", store, first)
	require.Equal(t, 1, status)
	require.Contains(t, said, "discarded")

	for _, args := range [][]string{
		{"add", store, "--fabric", "F"}, {"add", store, "--size", "10x10"}, {"add", store, "--fabric", "F", "--size", "tall"},
		{"add", store, "--fabric", "F", "--size", "10x10", "--drawing", "x.svg"}, {"add", store, "--fabric", "F", "--size", "10x10", "--date", "soon"},
		{"add", store, "--fabric", "F", "--drawing", filepath.Join(dir, "shell.svg"), "--outline", "KEEL"},
		{"add", store, "--fabric", "F", "--size", "10x10", "--face", "left"}, {"keep", store, "no-such-run"}, {"discard", store}, {"keep", store},
	} {
		status, _, said := command(t, append([]string{"remnants"}, args...)...)
		require.Equal(t, 2, status, "%v: %s", args, said)
	}
	require.Len(t, remnantList(t, store), 2)
	status, _, said = command(t, "remnants", "add", store, "--fabric", "F", "--size", "1.2x0.6")
	require.Equal(t, 2, status)
	require.Contains(t, said, "metres are written 1.2m x 0.6m")
	status, told, said = command(t, "remnants", "add", store, "--fabric", "F", "--size", "1.2 m × 60cm")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "1200 × 600 mm")
}

func TestKeepWhatIsLeft(t *testing.T) {
	dir, job := rolledJob(t)
	out, store := filepath.Join(dir, "OUT"), filepath.Join(dir, "remnants")
	status, _, said := command(t, "nest", job, "-o", out, "--effort", "1")
	require.Equal(t, 0, status, said)
	status, told, said := command(t, "remnants", "keep", store, out, "--dry-run")
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "offered")
	require.NoDirExists(t, store)
	status, told, said = command(t, "remnants", "keep", store, out, "--date", "2027-03-01")
	require.Equal(t, 0, status, said)
	require.NotContains(t, told, "1270", "the rest stays on its roll")
	list := remnantList(t, store)
	require.Len(t, list, strings.Count(told, "RM-"))
	for _, r := range list {
		require.Equal(t, "A", r["lot"])
		require.Equal(t, "2027-03-01", r["cut"])
	}
	status, _, said = command(t, "remnants", "keep", store, out)
	require.Equal(t, 1, status)
	require.Contains(t, said, "already")
	require.Len(t, remnantList(t, store), len(list))
}
