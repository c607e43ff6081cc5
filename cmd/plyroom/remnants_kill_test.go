package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// TestNestKilled kills runs that use remnants at random moments, two at a time.
// Whatever the moment: an output folder is whole or not there, and no remnant is
// lost, shown by two runs, or free though a run shows it. PLYROOM_KILLS sets how
// many; .ci and impatient people are content with a few.
func TestNestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: builds the command")
	}
	kills, _ := strconv.Atoi(os.Getenv("PLYROOM_KILLS"))
	if kills == 0 {
		kills = 6
	}
	dir, job := tableJob(t)
	bin := filepath.Join(t.TempDir(), "plyroom")
	if msg, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		t.Skipf("SKIPPED: the command does not build here: %s", msg)
	}
	store := filepath.Join(dir, "remnants")
	add := func() {
		status, _, said := command(t, "remnants", "add", store, "--fabric", "WR 600", "--size", "900x700")
		require.Equal(t, 0, status, said)
	}
	add()
	add()
	started := time.Now()
	whole := exec.Command(bin, "nest", job, "-o", filepath.Join(dir, "WHOLE"), "--effort", "1", "--remnants", store)
	msg, err := whole.CombinedOutput()
	require.NoError(t, err, string(msg))
	takes := time.Since(started)
	outs := []string{filepath.Join(dir, "WHOLE")}
	known := 0
	for done := 0; done < kills; done += 2 {
		for len(freeIn(t, store)) < 3 {
			add()
		}
		var running []*exec.Cmd
		for i := range 2 {
			out := filepath.Join(dir, fmt.Sprintf("OUT-%d", done+i))
			outs = append(outs, out)
			c := exec.Command(bin, "nest", job, "-o", out, "--effort", "1", "--remnants", store)
			require.NoError(t, c.Start())
			running = append(running, c)
		}
		// Most of them in the second half, where things are written.
		time.Sleep(time.Duration(float64(takes) * (0.4 + rand.Float64())))
		for _, c := range running {
			_ = c.Process.Kill()
			_ = c.Wait()
		}
		known = checkRuns(t, store, outs, known)
	}
	finished := 0
	for _, out := range outs {
		if _, err := os.Stat(out); err == nil {
			finished++
		}
	}
	t.Logf("%d kills; %d runs were done before; %d remnants", kills, finished-1, known)
}

func freeIn(t *testing.T, store string) []string {
	var out []string
	for id, r := range remnantList(t, store) {
		if r["state"] == "free" || r["stale"] == true {
			out = append(out, id)
		}
	}
	return out
}

// checkRuns checks store and runs after every process has ended.
func checkRuns(t *testing.T, store string, outs []string, atLeast int) int {
	t.Helper()
	list := remnantList(t, store)
	require.GreaterOrEqual(t, len(list), atLeast, "a remnant is lost")
	shown := map[string]string{}
	for _, out := range outs {
		if _, err := os.Stat(out); err != nil {
			continue
		}
		status, told, said := command(t, "check", out)
		require.Equal(t, 0, status, told+said)
		for _, l := range record(t, out).Layouts {
			for _, ly := range l.Layers {
				if strings.HasPrefix(ly.Roll, "RM-") {
					require.Empty(t, shown[ly.Roll], "%s is used twice", ly.Roll)
					shown[ly.Roll] = out
				}
			}
		}
	}
	for id := range shown {
		require.Contains(t, list, id)
		require.NotEqual(t, "free", list[id]["state"], id)
	}
	for id, r := range list {
		if r["state"] == "used" {
			require.NotEmpty(t, shown[id], "%s is used for nothing", id)
		}
		if r["state"] == "in doubt" {
			require.Empty(t, shown[id], "the run stands, so there is no doubt")
			status, _, said := command(t, "remnants", "release", store, id)
			require.Equal(t, 0, status, said)
		}
	}
	return len(list)
}
