package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// The example of a profile can be written to a file and used as it is; a slip
// in it is told in plain words, with file, line and the nearest field.
func TestProfileExample(t *testing.T) {
	dir := goodFiles(t)
	profile, out := filepath.Join(dir, "cutter.yaml"), filepath.Join(dir, "out")
	status, example, said := command(t, "cut", "--profile-example")
	require.Equal(t, 0, status, said)
	require.Contains(t, example, "knife_down:")
	require.NoError(t, os.WriteFile(profile, []byte(example), 0o644))
	status, _, said = command(t, "nest", filepath.Join(dir, "job.yaml"), "-o", out, "--effort", "1", "--machine", profile)
	require.Equal(t, 0, status, said)

	require.NoError(t, os.WriteFile(profile, []byte("name: Bench\nfeeed: 1000\n"), 0o644))
	status, _, said = command(t, "cut", out, "--machine", profile)
	require.Equal(t, 2, status)
	require.Contains(t, said, `cutter.yaml: machine profile: line 2: there is no field "feeed"; did you mean "feed"?`)
}
