package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// No document is made from a record that breaks a rule.
func TestUnsoundRunsAreRefused(t *testing.T) {
	dir := goodFiles(t)
	out := filepath.Join(dir, "OUT")
	status, _, said := command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", out, "--effort", "1")
	require.Equal(t, 0, status, said)
	path := filepath.Join(out, "layouts.json")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	spoilt := bytes.Replace(data, []byte(`"turned_over": false`), []byte(`"turned_over": true`), 1)
	if bytes.Equal(spoilt, data) {
		spoilt = bytes.Replace(data, []byte(`"turned_over": true`), []byte(`"turned_over": false`), 1)
	}
	require.NotEqual(t, data, spoilt)
	require.NoError(t, os.WriteFile(path, spoilt, 0o644))
	before := contents(t, out)
	for _, args := range [][]string{{"cut", out}, {"kits", out}, {"compare", out, out}} {
		status, _, said := command(t, args...)
		require.Equal(t, 1, status, "%v: %s", args, said)
		require.Contains(t, said, "do not cut from it")
		require.Contains(t, said, "U01")
	}
	require.Equal(t, before, contents(t, out), "nothing is written")
}

// The record says nothing of where the job lies.
func TestRecordDoesNotDependOnThePath(t *testing.T) {
	dir := goodFiles(t)
	for _, name := range []string{"A", "B"} {
		job := filepath.Join(dir, "job.yaml")
		if name == "B" {
			t.Chdir(dir)
			job = "job.yaml"
		}
		status, _, said := command(t, "nest", job, "-o", filepath.Join(dir, name), "--effort", "1")
		require.Equal(t, 0, status, said)
	}
	require.Equal(t, contents(t, filepath.Join(dir, "A")), contents(t, filepath.Join(dir, "B")))
}

// A picture never takes the place of the drawing, nor of a file that is there.
func TestPictureReplacesNothing(t *testing.T) {
	dir := goodFiles(t)
	drawing := filepath.Join(dir, "shell.svg")
	before, err := os.ReadFile(drawing)
	require.NoError(t, err)
	for _, args := range [][]string{{"--picture", drawing}, {"--picture", drawing, "--force"}} {
		status, _, said := command(t, append([]string{"outlines", drawing}, args...)...)
		require.Equal(t, 2, status, said)
	}
	after, err := os.ReadFile(drawing)
	require.NoError(t, err)
	require.Equal(t, before, after)
	picture := filepath.Join(dir, "picture.svg")
	status, _, said := command(t, "outlines", drawing, "--picture", picture)
	require.Equal(t, 0, status, said)
	status, _, said = command(t, "outlines", drawing, "--picture", picture)
	require.Equal(t, 2, status)
	require.Contains(t, said, "--force")
}
