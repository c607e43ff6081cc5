package remnant

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
)

// ErrTaken says that another run holds a remnant or has used it. It comes
// wrapped with the remnant's ID and state.
var ErrTaken = errors.New("the remnant is not free")

// A Session is one run's hold on remnants. It belongs to one goroutine.
//
// The order of a run is Reserve, work, Intend, write the result, Use, and in
// the end Close, which frees what was not used. Ended at any moment, the store
// knows what to do with each remnant.
type Session struct {
	store *Store
	owner owner
	held  map[string]name
}

// Begin starts a session.
func (s *Store) Begin() *Session {
	return &Session{store: s, owner: newOwner(), held: map[string]name{}}
}

// Reserve takes a free remnant for this run.
func (x *Session) Reserve(id string) (Remnant, error) {
	r, err := x.store.read(id)
	if errors.Is(err, fs.ErrNotExist) {
		return Remnant{}, fmt.Errorf("%s has no remnant %q", x.store.dir, id)
	}
	if err != nil {
		return Remnant{}, err
	}
	free := name{id: id, word: string(Free)}
	mine := free.with(string(Reserved), x.owner)
	err = x.store.move(free, mine)
	if errors.Is(err, fs.ErrNotExist) {
		e, found := x.store.Find(id)
		if found != nil {
			return Remnant{}, found
		}
		by := ""
		if e.Holder != "" {
			by = " by " + e.Holder + "; wait for it, or release the remnant by hand if that run is no more"
		}
		return Remnant{}, fmt.Errorf("%w: %s is %s%s", ErrTaken, id, e.State, by)
	}
	if err != nil {
		return Remnant{}, fmt.Errorf("cannot reserve remnant %s: %w", id, err)
	}
	x.held[id] = mine
	return r, nil
}

// ReserveFree takes every free remnant that a function wants, by ID, after
// settling what ended runs left. Remnants that another run takes meanwhile are
// passed over.
func (x *Session) ReserveFree(want func(Remnant) bool) ([]Remnant, error) {
	x.store.Recover()
	entries, err := x.store.List()
	if err != nil {
		return nil, err
	}
	var out []Remnant
	for _, e := range entries {
		if e.State != Free || !want(e.Remnant) {
			continue
		}
		r, err := x.Reserve(e.ID)
		if errors.Is(err, ErrTaken) {
			continue
		}
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// Intend says, before a run writes its result, that these remnants are used by
// it: end names the file that will show it and its digest. It fails where a
// remnant was taken away by hand; then nothing may be written.
func (x *Session) Intend(ids []string, end End) error {
	for _, id := range ids {
		at, ok := x.held[id]
		if !ok {
			return fmt.Errorf("remnant %s is not held by this run", id)
		}
		mine := at.with(settling, x.owner)
		if at.word != settling {
			if err := x.store.move(at, mine); err != nil {
				delete(x.held, id)
				return fmt.Errorf("%w: %s was released by hand while this run was at work", ErrTaken, id)
			}
			x.held[id] = mine
		}
		if err := x.store.replace(x.owner, mine.file(), mark{&end}); err != nil {
			return fmt.Errorf("cannot write remnant %s: %w", id, err)
		}
	}
	return nil
}

// Use says that the result stands: remnants that Intend named are used.
func (x *Session) Use(ids []string) error {
	for _, id := range ids {
		at, ok := x.held[id]
		if !ok || at.word != settling {
			return fmt.Errorf("remnant %s is used without an intention", id)
		}
		if err := x.store.move(at, at.with(string(Used), "")); err != nil {
			return fmt.Errorf("cannot mark remnant %s used: %w", id, err)
		}
		delete(x.held, id)
	}
	return nil
}

// Close frees everything still held. It may stand in a defer and be called
// again.
func (x *Session) Close() error {
	var ids []string
	for id := range x.held {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	var first error
	for _, id := range ids {
		if err := x.free(x.held[id]); err != nil && first == nil {
			first = fmt.Errorf("cannot release remnant %s: %w", id, err)
		}
		delete(x.held, id)
	}
	return first
}

func (x *Session) free(at name) error {
	if at.word == settling {
		if err := x.store.replace(x.owner, at.file(), mark{}); err != nil {
			return err
		}
	}
	err := x.store.move(at, at.with(string(Free), ""))
	if errors.Is(err, fs.ErrNotExist) {
		return nil // released by hand
	}
	return err
}
