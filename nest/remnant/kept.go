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
//
// A layout may stand in two records: a plan laid again holds what was cut before.
// So a piece that the store has from the same place of the same roll, of the
// same job and date, is passed over; what is returned are the pieces put in.
func (s *Store) Keep(run string, pieces []Remnant) ([]Remnant, error) {
	s.sweep()
	sum := sha256.Sum256([]byte(run))
	tag := hex.EncodeToString(sum[:8])
	done := fmt.Sprintf("kept-%s.done.json", tag)
	pieces, err := s.unlike(pieces)
	if err != nil {
		return nil, err
	}
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
		err = s.create(s.owner, file, note)
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

// unlike leaves out pieces that the store has already from another record.
func (s *Store) unlike(pieces []Remnant) ([]Remnant, error) {
	list, err := s.List()
	if err != nil {
		return nil, err
	}
	there := map[string]bool{}
	for i := range list {
		there[list[i].place()] = true
	}
	out := []Remnant{}
	for _, r := range pieces {
		r.normalise()
		if p := r.place(); p == "" || !there[p] {
			out = append(out, r)
		}
	}
	return out, nil
}

// place tells pieces from one place of one roll from all others; empty where it
// is not known where a piece came from.
func (r *Remnant) place() string {
	if r.From == nil {
		return ""
	}
	return fmt.Sprintf("%q %q %q %q %q %q %q %v %v %v %q", r.From.Job, r.From.Revision, r.From.Date,
		r.Fabric, r.Roll, r.Lot, r.Face, r.From.RollAt, r.From.Corner[1], r.Outline, r.Note)
}
