package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCompare(t *testing.T) {
	dir := studyFiles(t)
	job := filepath.Join(dir, "job.yaml")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "wide.yaml"), []byte(strings.Replace(read(t, job), "width: 1270, selvedge", "width: 1000, selvedge", 1)), 0o644))
	a, b := filepath.Join(dir, "A"), filepath.Join(dir, "B")
	for job, out := range map[string]string{job: a, filepath.Join(dir, "wide.yaml"): b} {
		status, _, said := command(t, "nest", job, "-o", out, "--effort", "1", "--formats", "svg")
		require.Equal(t, 0, status, said)
	}
	page := filepath.Join(dir, "page.html")
	status, told, said := command(t, "compare", a, b, "--moves", "-o", page)
	require.Equal(t, 0, status, said)
	for _, s := range []string{"knife up m", "kit walk m", "plies elsewhere than", "For the operator", "For purchasing", "For the engineer", "shift mm"} {
		require.Contains(t, told, s)
	}
	require.Contains(t, read(t, page), "For purchasing")
	status, told, said = command(t, "compare", a, b, "--json")
	require.Equal(t, 0, status, said)
	var doc struct {
		Runs []struct {
			Moved   int      `json:"moved"`
			Moves   []string `json:"moves"`
			Minutes float64  `json:"minutes"`
			Work    struct {
				Knife struct {
					Minutes float64 `json:"minutes"`
					Down    float64 `json:"down_m"`
				} `json:"knife"`
			} `json:"work"`
		} `json:"runs"`
		Advice []struct {
			For string `json:"for"`
		} `json:"advice"`
	}
	require.NoError(t, json.Unmarshal([]byte(told), &doc))
	require.Len(t, doc.Advice, 3)
	require.Len(t, doc.Runs[1].Moves, doc.Runs[1].Moved)
	require.Positive(t, doc.Runs[1].Moved)
	// The same outlines are cut: the knife is down about as far.
	require.InEpsilon(t, doc.Runs[0].Work.Knife.Down, doc.Runs[1].Work.Knife.Down, 0.05)
	require.Greater(t, doc.Runs[0].Minutes, doc.Runs[0].Work.Knife.Minutes)
	status, _, said = command(t, "compare", a, b, "--machine", filepath.Join(dir, "no.yaml"))
	require.Equal(t, 2, status)
	require.Contains(t, said, "no.yaml")
}
