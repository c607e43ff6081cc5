package remnant

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

func piece(fabric string, length, width float64) Remnant {
	return Remnant{Fabric: fabric, Face: FaceUp, Outline: Rectangle(length, width)}
}

func open(t *testing.T) *Store {
	t.Helper()
	s, err := Create(filepath.Join(t.TempDir(), "store"))
	require.NoError(t, err)
	return s
}

func states(t *testing.T, s *Store) map[string]State {
	t.Helper()
	list, err := s.List()
	require.NoError(t, err)
	out := map[string]State{}
	for _, e := range list {
		require.NotContains(t, out, e.ID, "one file per remnant")
		out[e.ID] = e.State
	}
	return out
}

func TestLifeOfARemnant(t *testing.T) {
	s := open(t)
	r, err := s.Add(Remnant{Fabric: "WR 600", Roll: "R-1", Lot: "A", Face: FaceUp, Cut: shapes.Date("2027-03-01"),
		Outline: nest.Ring{{10, 20}, {1010, 20}, {1010, 420}, {10, 420}, {10, 20}}})
	require.NoError(t, err)
	require.Equal(t, Rectangle(1000, 400), r.Outline, "moved to the origin, ring open")
	require.True(t, r.Rectangular())

	x := s.Begin()
	got, err := x.Reserve(r.ID)
	require.NoError(t, err)
	require.Equal(t, r, got)
	require.Equal(t, Reserved, states(t, s)[r.ID])

	_, err = s.Begin().Reserve(r.ID)
	require.ErrorIs(t, err, ErrTaken)
	require.Contains(t, err.Error(), r.ID)
	require.Contains(t, err.Error(), fmt.Sprint(os.Getpid()))
	require.Error(t, s.Discard(r.ID, "", ""), "what a run holds is not thrown away")

	require.NoError(t, x.Close())
	require.Equal(t, Free, states(t, s)[r.ID])

	_, err = x.Reserve(r.ID)
	require.NoError(t, err)
	require.Error(t, x.Use([]string{r.ID}), "no use without an intention")
	require.NoError(t, x.Intend([]string{r.ID}, End{Job: "J", Record: "r.json", Digest: "d", Date: "2027-03-02"}))
	require.NoError(t, x.Use([]string{r.ID}))
	require.NoError(t, x.Close())
	e, err := s.Find(r.ID)
	require.NoError(t, err)
	require.Equal(t, Used, e.State)
	require.Equal(t, "J", e.End.Job)
	_, err = x.Reserve(r.ID)
	require.ErrorIs(t, err, ErrTaken)

	other, err := s.Add(piece("CSM", 300, 300))
	require.NoError(t, err)
	require.NoError(t, s.Discard(other.ID, "2027-03-03", "wet"))
	e, err = s.Find(other.ID)
	require.NoError(t, err)
	require.Equal(t, Discarded, e.State)
	require.Equal(t, "wet", e.End.Why)
	require.Error(t, s.Discard(other.ID, "", ""))
	_, err = s.Find("RM-22222222")
	require.ErrorContains(t, err, "RM-22222222")
}

// A run whose remnant was released by hand must not write its result.
func TestReleasedWhileAtWork(t *testing.T) {
	s := open(t)
	r, err := s.Add(piece("F", 500, 500))
	require.NoError(t, err)
	x := s.Begin()
	_, err = x.Reserve(r.ID)
	require.NoError(t, err)
	require.NoError(t, s.Release(r.ID))
	y := s.Begin()
	_, err = y.Reserve(r.ID)
	require.NoError(t, err)
	require.ErrorIs(t, x.Intend([]string{r.ID}, End{}), ErrTaken)
	require.NoError(t, x.Close())
	require.Equal(t, Reserved, states(t, s)[r.ID], "the second run still holds it")
	require.NoError(t, y.Close())
}

// What ended runs held: reserved is free again, an intention is settled by the
// record, and without the record it stays in doubt until somebody says.
func TestRunsThatEnded(t *testing.T) {
	s := open(t)
	gone := owner(hostTag() + "-999999999-000000000000")
	record := filepath.Join(t.TempDir(), "layouts.json")
	require.NoError(t, os.WriteFile(record, []byte("{}"), 0o644))
	digest, err := Digest(record)
	require.NoError(t, err)
	make := func(word string, end *End) string {
		r, err := s.Add(piece("F", 500, 500))
		require.NoError(t, err)
		n := name{id: r.ID, word: string(Free)}
		require.NoError(t, s.move(n, n.with(word, gone)))
		require.NoError(t, s.replace(s.owner, n.with(word, gone).file(), mark{end}))
		return r.ID
	}
	held := make("reserved", nil)
	begun := make(settling, nil)
	shown := make(settling, &End{Record: record, Digest: digest})
	doubt := make(settling, &End{Record: record + ".gone", Digest: digest})
	other := make(settling, &End{Record: record, Digest: "of another run"})
	thrown := make(settling, &End{Discarded: true})
	temp := "." + string(gone) + ".000000000000.tmp"
	require.NoError(t, os.WriteFile(s.path(temp), nil, 0o644))
	s.Recover()
	require.Equal(t, map[string]State{held: Free, begun: Free, shown: Used, doubt: InDoubt, other: InDoubt, thrown: Discarded}, states(t, s))
	require.NoFileExists(t, s.path(temp))
	_, err = s.Begin().Reserve(doubt)
	require.ErrorIs(t, err, ErrTaken)
	require.NoError(t, s.Release(doubt))
	require.NoError(t, s.Discard(other, "", "not found"))
	require.Equal(t, map[string]State{held: Free, begun: Free, shown: Used, doubt: Free, other: Discarded, thrown: Discarded}, states(t, s))
	e, err := s.Find(doubt)
	require.NoError(t, err)
	require.Nil(t, e.End)
}

// What a run of another host holds is held until it is released by hand.
func TestOtherHost(t *testing.T) {
	s := open(t)
	r, err := s.Add(piece("F", 500, 500))
	require.NoError(t, err)
	n := name{id: r.ID, word: string(Free)}
	require.NoError(t, s.move(n, n.with("reserved", "00000000-1-000000000000")))
	s.Recover()
	require.Equal(t, Reserved, states(t, s)[r.ID])
	require.NoError(t, s.Release(r.ID))
	require.Equal(t, Free, states(t, s)[r.ID])
}

func TestKeepOnce(t *testing.T) {
	s := open(t)
	pieces := []Remnant{piece("F", 500, 400), piece("F", 600, 300)}
	kept, err := s.Keep("digest-1", pieces)
	require.NoError(t, err)
	require.Len(t, kept, 2)
	_, err = s.Keep("digest-1", pieces)
	require.ErrorIs(t, err, ErrKept)
	require.Len(t, states(t, s), 2)
	again, err := s.Keep("digest-2", pieces)
	require.NoError(t, err)
	require.NotEqual(t, kept[0].ID, again[0].ID)
	require.Len(t, states(t, s), 4)
}

// A layout that stands in two records, since the rest was laid again, gives its
// pieces once.
func TestKeepOncePerPlace(t *testing.T) {
	s := open(t)
	got, err := Offers(offcuts(), OfferSettings{Run: "first"})
	require.NoError(t, err)
	pieces := []Remnant{got[0].Remnant, got[1].Remnant}
	kept, err := s.Keep("first", pieces[:1])
	require.NoError(t, err)
	require.Len(t, kept, 1)
	again := offcuts()
	again.Layouts[0].ID = "L7"
	got, err = Offers(again, OfferSettings{Run: "second", Date: "2027-04-01"})
	require.NoError(t, err)
	kept, err = s.Keep("second", []Remnant{got[0].Remnant, got[1].Remnant})
	require.NoError(t, err)
	require.Len(t, kept, 1)
	length, _ := kept[0].Size()
	require.Equal(t, 400.0, length)
	again.Date = "2027-05-01" // the job cut another day
	got, err = Offers(again, OfferSettings{Run: "third"})
	require.NoError(t, err)
	kept, err = s.Keep("third", []Remnant{got[0].Remnant})
	require.NoError(t, err)
	require.Len(t, kept, 1)
}

// A keeping whose process ended after the first piece, which has been used
// meanwhile, is finished by the next one, with no piece twice.
func TestKeepFinished(t *testing.T) {
	s := open(t)
	pieces := []Remnant{piece("F", 500, 400), piece("F", 600, 300)}
	kept, err := s.Keep("run", pieces)
	require.NoError(t, err)
	files, err := filepath.Glob(s.path("kept-*.json"))
	require.NoError(t, err)
	require.Len(t, files, 2)
	for _, f := range files {
		if strings.HasSuffix(f, ".done.json") {
			require.NoError(t, os.Remove(f))
			continue
		}
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(f, []byte(strings.ReplaceAll(string(data), string(s.owner), hostTag()+"-999999999-000000000000")), 0o644))
	}
	require.NoError(t, os.Remove(s.path(name{id: kept[1].ID, word: itself}.file())))
	require.NoError(t, s.Discard(kept[0].ID, "", "used up"))
	_, err = s.Keep("run", pieces[:1])
	require.NoError(t, err)
	require.Equal(t, map[string]State{kept[0].ID: Discarded, kept[1].ID: Free}, states(t, s))
	_, err = s.Keep("run", pieces)
	require.ErrorIs(t, err, ErrKept)
}

func TestBadRemnants(t *testing.T) {
	s := open(t)
	for why, r := range map[string]Remnant{
		"fabric":  {Face: FaceUp, Outline: Rectangle(100, 100)},
		"face":    {Fabric: "F", Face: "left", Outline: Rectangle(100, 100)},
		"corners": {Fabric: "F", Face: FaceUp, Outline: nest.Ring{{0, 0}, {1, 1}}},
		"crosses": {Fabric: "F", Face: FaceUp, Outline: nest.Ring{{0, 0}, {100, 100}, {100, 0}, {0, 90}}},
		"place":   {Fabric: "F", Face: FaceUp, Outline: Rectangle(1e9, 100)},
		"date":    {Fabric: "F", Face: FaceUp, Outline: Rectangle(100, 100), Cut: "yesterday"},
	} {
		_, err := s.Add(r)
		require.ErrorContains(t, err, why)
	}
	require.Empty(t, states(t, s))

	r, err := s.Add(piece("F", 10, 10))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(s.path(name{id: r.ID, word: itself}.file()), []byte(`{"format": 1`), 0o644))
	_, err = s.List()
	require.ErrorContains(t, err, r.ID)
	_, err = Open(filepath.Join(s.dir, "none"))
	require.Error(t, err)
	_, err = Open(s.path(name{id: r.ID, word: itself}.file()))
	require.ErrorContains(t, err, "not a folder")
}

// Many runs of one process reach for few remnants: each is used exactly once.
func TestManyReserveAtOnce(t *testing.T) {
	s := open(t)
	const pieces, runs = 30, 16
	for range pieces {
		_, err := s.Add(piece("F", 500, 500))
		require.NoError(t, err)
	}
	var mu sync.Mutex
	usedBy := map[string]int{}
	var wg sync.WaitGroup
	for run := range runs {
		wg.Go(func() {
			x := s.Begin()
			defer x.Close()
			for {
				left := false
				for id, st := range mustStates(t, s) {
					if st != Free && st != Reserved {
						continue
					}
					left = true
					if _, err := x.Reserve(id); err != nil {
						if !errors.Is(err, ErrTaken) {
							t.Errorf("%v", err)
						}
						continue
					}
					if (len(id)+run+int(id[5]))%3 == 0 { // some change their mind
						_ = x.Close()
						run++
						continue
					}
					if err := errors.Join(x.Intend([]string{id}, End{Job: fmt.Sprint(run)}), x.Use([]string{id})); err != nil {
						t.Errorf("%v", err)
					}
					mu.Lock()
					usedBy[id]++
					mu.Unlock()
				}
				if !left {
					return
				}
			}
		})
	}
	wg.Wait()
	require.Len(t, usedBy, pieces)
	for id, n := range usedBy {
		require.Equal(t, 1, n, id)
	}
	for id, st := range states(t, s) {
		require.Equal(t, Used, st, id)
	}
}

func mustStates(t *testing.T, s *Store) map[string]State {
	list, err := s.List()
	if err != nil {
		t.Errorf("%v", err)
	}
	out := map[string]State{}
	for _, e := range list {
		out[e.ID] = e.State
	}
	return out
}
