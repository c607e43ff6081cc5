package remnant

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
)

// A keeping is the note that the pieces of one run are put into the store. The
// first one, kept-RUN.1.json, says which pieces; a later one is made by whoever
// finishes for a process that ended. They are never removed.
type keeping struct {
	Format int       `json:"format"`
	Run    string    `json:"run"`
	By     owner     `json:"by"`
	Pieces []Remnant `json:"pieces"`
}

// ErrKept says that the pieces of a run are in the store already.
var ErrKept = errors.New("the pieces of this run are in the store already")

// Keep puts the pieces left over from a run into the store, once for each run
// however often it is called. Run is the digest of the run's record. Ended at
// any moment and called again, it puts in what is missing.
func (s *Store) Keep(run string, pieces []Remnant) ([]Remnant, error) {
	s.sweep()
	sum := sha256.Sum256([]byte(run))
	tag := hex.EncodeToString(sum[:8])
	done := fmt.Sprintf("kept-%s.done.json", tag)
	pieces = append([]Remnant{}, pieces...)
	for i := range pieces {
		sum := sha256.Sum256([]byte(fmt.Sprintf("%s %d", run, i)))
		pieces[i].ID = idOf(sum[:])
		pieces[i].normalise()
		if err := pieces[i].validate(); err != nil {
			return nil, err
		}
	}
	note := keeping{Format: Format, Run: run, By: s.owner, Pieces: pieces}
	for turn := 1; ; turn++ {
		file := fmt.Sprintf("kept-%s.%d.json", tag, turn)
		err := s.create(s.owner, file, note)
		if err == nil {
			break
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, fmt.Errorf("cannot write to the store: %w", err)
		}
		var earlier keeping
		if err := s.readJSON(file, &earlier); err != nil {
			return nil, err
		}
		var ended keeping
		if s.readJSON(done, &ended) == nil {
			return nil, ErrKept
		}
		if !earlier.By.dead() {
			return nil, fmt.Errorf("%s is putting the pieces of this run into the store just now", earlier.By.words())
		}
		// What the first one meant to keep is what is kept.
		note.Pieces = earlier.Pieces
	}
	var ended keeping
	if s.readJSON(done, &ended) == nil {
		return nil, ErrKept
	}
	for i := range note.Pieces {
		r := &note.Pieces[i]
		if _, err := s.read(r.ID); err == nil {
			continue // from the process that ended
		}
		if err := s.add(r); err != nil {
			return nil, err
		}
	}
	if err := s.create(s.owner, done, note); err != nil {
		return nil, err
	}
	return note.Pieces, nil
}
