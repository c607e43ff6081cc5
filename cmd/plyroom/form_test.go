package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Wrong arguments are answered with the form that is meant.
func TestWrongArguments(t *testing.T) {
	for line, says := range map[string]string{
		"remnants list STORE":                  `plyroom remnants was given "list", "STORE"; the command is plyroom remnants DIR (or plyroom remnants with one of add, discard, keep, release)`,
		"remnants discard STORE":               `plyroom remnants discard was given "STORE"; the command is plyroom remnants discard DIR ID…`,
		"check":                                "plyroom check was given nothing; the command is plyroom check OUT",
		"compare A":                            "the command is plyroom compare OUT OUT…",
		"cut":                                  "the command is plyroom cut OUT",
		"nest":                                 "the command is plyroom nest JOB.yaml -o OUT",
		"outlines a.dxf b.svg --picture p.svg": "--picture draws one drawing, and 2 are given; draw them one at a time",
		"roll R-9":                             "(or plyroom roll with one of back, out, show)",
		`recut`:                                `the command is plyroom recut OUT --ply "Upper shell/1/U02"`,
		"trace --lot A":                        "the command is plyroom trace OUT…",
		"study a.yaml b.yaml -o x --relax":     "the command is plyroom study JOB.yaml -o DIR",
		"relay a b --job job.yaml --cut L1 -o elsewhere": "the command is plyroom relay OUT --job JOB.yaml",
	} {
		status, _, said := command(t, strings.Fields(line)...)
		require.Equal(t, 2, status, line)
		require.Contains(t, said, says, line)
	}
}

// The picture of a drawing is announced, also where the drawing has a fault.
func TestPictureIsAnnounced(t *testing.T) {
	dir := t.TempDir()
	drawing := filepath.Join(dir, "open.svg")
	require.NoError(t, os.WriteFile(drawing, []byte(strings.Replace(goodSheet, "PATH", `<path id="OPEN" d="M0 0 H600 V600 H0 V100"/>`, 1)), 0o644))
	picture := filepath.Join(dir, "p.svg")
	status, told, said := command(t, "outlines", drawing, "--picture", picture)
	require.Equal(t, 2, status, told+said)
	require.Contains(t, told, "drawn to "+picture)
	require.FileExists(t, picture)
	_, told, said = command(t, "outlines", drawing, "--picture", picture, "--force", "--json")
	require.NotContains(t, told, "drawn to")
	require.Contains(t, said, "drawn to "+picture)
}
