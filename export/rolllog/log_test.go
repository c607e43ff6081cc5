package rolllog

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func at(t testing.TB, s string) time.Time {
	t.Helper()
	v, err := time.Parse(Layout, s)
	require.NoError(t, err)
	return v
}

// R-9 is out from 7:10 to 15:40, 510 min, and again from 8:00 the next day.
func TestOutTime(t *testing.T) {
	path := filepath.Join(t.TempDir(), "rolls.csv")
	for _, m := range []Move{
		{at(t, "2026-11-25T07:10"), "R-9", Out, ""},
		{at(t, "2026-11-25T08:00"), "=R, \"10\"", Out, "a\"b,c"},
		{at(t, "2026-11-25T15:40"), "R-9", Back, "tube resealed"},
		{at(t, "2026-11-26T08:00"), "R-9", Out, "'quoted"},
	} {
		require.NoError(t, Append(path, m))
	}
	l, err := Load(path)
	require.NoError(t, err)
	assert.Equal(t, []string{"R-9", "=R, \"10\""}, l.Rolls())
	assert.Equal(t, "'quoted", l.Moves[3].Note)
	for _, c := range []struct {
		until string
		want  float64
		out   bool
	}{
		{"2026-11-25T07:00", 0, false}, {"2026-11-25T07:10", 0, true}, {"2026-11-25T08:10", 60, true},
		{"2026-11-25T15:40", 510, false}, {"2026-11-26T07:59", 510, false}, {"2026-11-26T09:30", 600, true},
	} {
		got, out := l.OutTime("R-9", at(t, c.until))
		assert.Equal(t, c.want, got, c.until)
		assert.Equal(t, c.out, out, c.until)
	}
	got, out := l.OutTime("R-8", at(t, "2026-11-26T09:30"))
	assert.Zero(t, got)
	assert.False(t, out)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(data), "'=R", "no formula for a spreadsheet")
}

func TestImpossibleMoves(t *testing.T) {
	path := filepath.Join(t.TempDir(), "rolls.csv")
	require.NoError(t, Append(path, Move{at(t, "2026-11-25T07:10"), "R-9", Out, ""}))
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, c := range []struct {
		move Move
		want string
	}{
		{Move{at(t, "2026-11-25T08:00"), "R-9", Out, ""}, `roll "R-9" is out already, since 2026-11-25T07:10`},
		{Move{at(t, "2026-11-25T08:00"), "R-8", Back, ""}, `roll "R-8" is not out`},
		{Move{at(t, "2026-11-25T07:00"), "R-9", Back, ""}, "before the last one"},
		{Move{at(t, "2026-11-25T08:00"), " ", Out, ""}, "names no roll"},
		{Move{at(t, "2026-11-25T08:00"), "R-8", "thaw", ""}, `unknown move "thaw"`},
		{Move{at(t, "2026-11-25T08:00"), "R\n8", Out, ""}, "control characters"},
		{Move{time.Time{}, "R-8", Out, ""}, "is no time"},
	} {
		assert.ErrorContains(t, Append(path, c.move), c.want)
	}
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
	entries, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Len(t, entries, 1, "no lock and no half file stays")
}

func TestReadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"when,who,what,why\n":                              "the first line",
		"at,roll,move,note\n25.11.2026,R,out,\n":           `line 2: "25.11.2026" is no time`,
		"at,roll,move,note\n2026-11-25T07:10,R,back,\n":    "line 2: roll \"R\" is not out",
		"at,roll,move,note\n2026-11-25T07:10,R\n":          "wrong number of fields",
		"at,roll,move,note\n2026-11-25T07:10,R,out,\"x\n":  "not a log of rolls",
		"at,roll,move,note\n2026-11-25T07:10,R,upwards,\n": "unknown move",
	} {
		_, err := Read(strings.NewReader(text))
		assert.ErrorContains(t, err, want, text)
	}
	l, err := Read(strings.NewReader(""))
	assert.NoError(t, err)
	assert.Empty(t, l.Moves)
}

// A writer that finds the lock taken says so and changes nothing.
func TestLocked(t *testing.T) {
	path := filepath.Join(t.TempDir(), "rolls.csv")
	require.NoError(t, os.WriteFile(path+".lock", []byte("1\n"), 0o644))
	err := appendWithin(path, Move{at(t, "2026-11-25T07:10"), "R-9", Out, ""}, 50*time.Millisecond)
	assert.ErrorContains(t, err, "another writer holds")
	assert.ErrorContains(t, err, "rolls.csv.lock")
	_, err = os.Stat(path)
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// Of many writers at once none loses a line.
func TestManyWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "rolls.csv")
	const writers = 20
	var wg sync.WaitGroup
	errs := make([]error, writers)
	for i := range writers {
		wg.Go(func() {
			errs[i] = appendWithin(path, Move{at(t, "2026-11-25T07:10"), fmt.Sprint("R-", i), Out, ""}, time.Minute)
		})
	}
	wg.Wait()
	for _, err := range errs {
		require.NoError(t, err)
	}
	l, err := Load(path)
	require.NoError(t, err)
	assert.Len(t, l.Moves, writers)
}

func FuzzRead(f *testing.F) {
	f.Add("at,roll,move,note\n2026-11-25T07:10,R-9,out,\n2026-11-25T08:10,R-9,back,\"x,y\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		var b strings.Builder
		require.NoError(t, l.write(&b))
		again, err := Read(strings.NewReader(b.String()))
		require.NoError(t, err)
		require.Equal(t, l, again)
	})
}
