package remnant

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// childEnv makes the test binary a run that works on a store until it is
// killed.
const childEnv = "PLYROOM_REMNANT_CHILD"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childEnv); dir != "" {
		if err := child(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// child does what runs do, over and over: it adds and keeps pieces, reserves
// some, and uses or frees them. A result is a file that lists the remnants it
// used; it appears whole, as an output folder does.
func child(dir string) error {
	s, err := Open(filepath.Join(dir, "store"))
	if err != nil {
		return err
	}
	for n := 0; ; n++ {
		if n%4 == 0 {
			if _, err := s.Add(piece("F", 500, 400)); err != nil {
				return err
			}
		}
		if _, err := s.Keep(fmt.Sprintf("run %d", n), []Remnant{piece("F", 300, 200), piece("F", 300, 100)}); err != nil &&
			!errors.Is(err, ErrKept) && n%2 == 0 && !bytes.Contains([]byte(err.Error()), []byte("just now")) {
			return err
		}
		x := s.Begin()
		got, err := x.ReserveFree(func(Remnant) bool { return rand.IntN(3) == 0 })
		if err != nil {
			return err
		}
		var use []string
		for _, r := range got {
			if rand.IntN(3) > 0 {
				use = append(use, r.ID)
			}
		}
		data, _ := json.Marshal(use)
		data = append(data, fmt.Sprintf("\n%s %d", x.owner, n)...)
		temp := filepath.Join(dir, fmt.Sprintf(".%s.%d", x.owner, n))
		result := filepath.Join(dir, fmt.Sprintf("result-%s.%d", x.owner, n))
		if err := os.WriteFile(temp, data, 0o644); err != nil {
			return err
		}
		digest, err := Digest(temp)
		if err != nil {
			return err
		}
		if err := x.Intend(use, End{Job: "J", Record: result, Digest: digest}); err != nil {
			return err
		}
		if rand.IntN(4) > 0 { // some runs fail here
			if err := os.Rename(temp, result); err != nil {
				return err
			}
			if err := x.Use(use); err != nil {
				return err
			}
		}
		if err := x.Close(); err != nil {
			return err
		}
		if rand.IntN(5) == 0 {
			list, err := s.List()
			if err != nil {
				return err
			}
			for _, e := range list {
				if e.State == Free && rand.IntN(10) == 0 {
					_ = s.Discard(e.ID, "", "")
				}
			}
		}
	}
}

// Runs that overlap are killed at random moments, 200 times. Whatever the
// moment, every remnant is there exactly once, none is shown by two results,
// and the ones shown by a result are never free.
func TestKilledAtAnyMoment(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Skipf("SKIPPED: the test binary cannot start itself: %v", err)
	}
	kills, abreast := 200, 8
	if testing.Short() {
		kills = 20
	}
	dir := t.TempDir()
	s, err := Create(filepath.Join(dir, "store"))
	require.NoError(t, err)
	known := map[string]bool{}
	for done := 0; done < kills; done += abreast {
		var said [8]bytes.Buffer
		var running []*exec.Cmd
		for i := range abreast {
			c := exec.Command(self)
			c.Env = append(os.Environ(), childEnv+"="+dir)
			c.Stderr = &said[i]
			require.NoError(t, c.Start())
			running = append(running, c)
		}
		for i, c := range running {
			time.Sleep(time.Duration(5+rand.IntN(25)) * time.Millisecond)
			_ = c.Process.Kill()
			_ = c.Wait()
			require.Empty(t, said[i].String())
		}
		checkStore(t, s, dir, known)
		// The store stays small, so that runs meet.
		list, err := s.List()
		require.NoError(t, err)
		for _, e := range list {
			if e.State == Free && len(list) > 60 && rand.IntN(2) == 0 {
				require.NoError(t, s.Discard(e.ID, "", ""))
			}
		}
	}
	t.Logf("%d remnants after %d kills", len(known), kills)
	require.NotEmpty(t, known)
}

func checkStore(t *testing.T, s *Store, dir string, known map[string]bool) {
	t.Helper()
	s.Recover()
	now := states(t, s)
	for id := range known {
		require.Contains(t, now, id, "a remnant is lost")
	}
	shown := map[string]string{}
	results, err := filepath.Glob(filepath.Join(dir, "result-*"))
	require.NoError(t, err)
	for _, r := range results {
		data, err := os.ReadFile(r)
		require.NoError(t, err)
		var ids []string
		require.NoError(t, json.NewDecoder(bytes.NewReader(data)).Decode(&ids))
		for _, id := range ids {
			require.Empty(t, shown[id], "used twice: %s", id)
			shown[id] = r
			require.Equal(t, Used, now[id], "shown by a result: %s", id)
		}
	}
	for id, st := range now {
		known[id] = true
		switch st {
		case Used:
			require.NotEmpty(t, shown[id], "used for nothing: %s", id)
		case Free, Discarded:
		case InDoubt:
			// Killed between the intention and the result.
			require.NoError(t, s.Release(id))
		default:
			t.Fatalf("%s is %s after every run has ended", id, st)
		}
	}
	entries, err := os.ReadDir(s.dir)
	require.NoError(t, err)
	for _, e := range entries {
		require.False(t, tempName.MatchString(e.Name()), "a leftover: %s", e.Name())
		info, err := e.Info()
		if !errors.Is(err, fs.ErrNotExist) {
			require.NoError(t, err)
			require.NotZero(t, info.Size(), e.Name())
		}
	}
}
