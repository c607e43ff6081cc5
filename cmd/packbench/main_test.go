package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/shapes/strip"
)

const tiny = `{"name":"tiny","strip_width":10,"items":[
	{"quantity":3,"rotations_deg":[0,90],"outline":[[0,0],[6,0],[6,4],[0,4]]},
	{"quantity":2,"outline":[[0,0],[5,0],[0,5]]}]}`

func TestBenchWritesWhatItMeasures(t *testing.T) {
	dir := t.TempDir()
	file, lines := filepath.Join(dir, "tiny.json"), filepath.Join(dir, "out.jsonl")
	require.NoError(t, os.WriteFile(file, []byte(tiny), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "published.csv"), []byte("instance,pieces,width,a_avg\ntiny,5,10,80.00\n"), 0o644))
	var out, errs bytes.Buffer
	require.NoError(t, run(context.Background(), []string{"-effort", "2", "-o", lines, file}, &out, &errs))
	require.Contains(t, out.String(), "tiny")
	require.Contains(t, out.String(), "a_avg")
	require.Contains(t, out.String(), "80.00")
	require.NotContains(t, out.String(), "INVALID")
	text, err := os.ReadFile(lines)
	require.NoError(t, err)
	var r result
	require.NoError(t, json.Unmarshal(text, &r))
	require.Len(t, r.Placements, 5)
	in, err := strip.ReadFile(file)
	require.NoError(t, err)
	require.Empty(t, r.check(in))

	// The check sees what it is there for.
	r.Placements[1].Outline = r.Placements[0].Outline
	r.Placements[2].Copy = 1
	r.Placements[3].Outline[0][1] = -1
	r.Placements[0].Rotation = 45
	faults := r.check(in)
	for _, word := range []string{"overlaps", "twice", "edge", "turned"} {
		require.Containsf(t, faults, firstWith(faults, word), "no fault says %q: %v", word, faults)
	}
}

func firstWith(lines []string, word string) string {
	for _, l := range lines {
		if bytes.Contains([]byte(l), []byte(word)) {
			return l
		}
	}
	return "nothing about " + word
}

// Published figures a folder up are found also from inside the folder.
func TestPublishedFiguresAboveTheWorkingFolder(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "published.csv"), []byte("instance,pieces,width,a_avg\ntiny,5,10,80.00\n"), 0o644))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "instances"), 0o755))
	t.Chdir(filepath.Join(dir, "instances"))
	known, err := published(".", "tiny")
	require.NoError(t, err)
	require.Equal(t, figures{names: []string{"a_avg"}, values: []float64{80}}, known)
	known, err = published(".", "unheard of")
	require.NoError(t, err)
	require.Empty(t, known)
}

func TestNoFilesIsAnError(t *testing.T) {
	var out, errs bytes.Buffer
	require.Error(t, run(context.Background(), nil, &out, &errs))
}
