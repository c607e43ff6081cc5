package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestStoppedEarly asks for an hour, stops after a moment, and expects a whole
// run that says so.
func TestStoppedEarly(t *testing.T) {
	dir := goodFiles(t)
	out := filepath.Join(dir, "OUT")
	ctx, cancel := context.WithTimeout(context.Background(), 500*time.Millisecond)
	defer cancel()
	// A deadline of the caller stops as a signal does.
	var stdout, stderr bytes.Buffer
	status := execute(ctx, []string{"nest", filepath.Join(dir, "job.yaml"), "-o", out, "--time", "1h"}, &stdout, &stderr)
	require.Equal(t, 0, status, stderr.String())
	status, told, said := command(t, "check", out)
	require.Equal(t, 0, status, told+said)
}

// TestSignal builds the command and sends it the signals an operator's Ctrl-C
// and a shutdown send.
func TestSignal(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: builds the command")
	}
	dir := goodFiles(t)
	// A job that no bound settles at once, so that the search is under way.
	job := strings.Replace(goodJob, "tolerance: 3}", "tolerance: 3, count: 9}", 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(job), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "shell.svg"),
		[]byte(strings.Replace(goodSheet, "PATH", `<path id="SKIN" d="M0 0 H400 L300 350 L120 420 Z"/>`, 1)), 0o644))
	bin := filepath.Join(t.TempDir(), "plyroom")
	build := exec.Command("go", "build", "-o", bin, ".")
	if msg, err := build.CombinedOutput(); err != nil {
		t.Skipf("SKIPPED: the command does not build here: %s", msg)
	}
	for name, sig := range map[string]syscall.Signal{"interrupt": syscall.SIGINT, "terminate": syscall.SIGTERM} {
		out := filepath.Join(dir, name)
		cmd := exec.Command(bin, "nest", filepath.Join(dir, "job.yaml"), "-o", out, "--time", "1h")
		var said bytes.Buffer
		cmd.Stderr = &said
		require.NoError(t, cmd.Start())
		done := make(chan error, 1)
		go func() { done <- cmd.Wait() }()
		time.Sleep(2 * time.Second)
		require.NoError(t, cmd.Process.Signal(sig))
		select {
		case err := <-done:
			require.NoError(t, err, said.String())
		case <-time.After(60 * time.Second):
			require.NoError(t, cmd.Process.Kill())
			t.Fatalf("%s: still running a minute after the signal", name)
		}
		require.Contains(t, said.String(), "stopped early")
		status, told, complaint := command(t, "check", out)
		require.Equal(t, 0, status, told+complaint)
		rec, err := readRun(out)
		require.NoError(t, err)
		require.Contains(t, rec.Search.Status, "stopped early")
	}
}

// goodFiles writes the good job into a folder of its own.
func goodFiles(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(goodJob), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "shell.svg"), []byte(strings.Replace(goodSheet, "PATH", goodPath, 1)), 0o644))
	return dir
}
