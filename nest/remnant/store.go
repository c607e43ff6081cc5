package remnant

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"plyroom/shapes"
)

// A Store is a folder of remnants. Its methods may be called from several
// goroutines and processes at once.
type Store struct {
	dir   string
	owner owner // of this store's own short operations
}

// Open opens a store that is there.
func Open(dir string) (*Store, error) {
	info, err := os.Stat(dir)
	if err != nil {
		return nil, fmt.Errorf("no folder of remnants: %w", err)
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("%s is a file, not a folder of remnants", dir)
	}
	return &Store{dir: dir, owner: newOwner()}, nil
}

// Create opens a store and makes its folder where there is none. Its parent
// must be there.
func Create(dir string) (*Store, error) {
	if err := os.Mkdir(dir, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, fmt.Errorf("cannot make the folder of remnants: %w", err)
	}
	return Open(dir)
}

// An Entry is a remnant and its state.
type Entry struct {
	Remnant
	State State
	// Holder says who holds a remnant that is reserved or in doubt.
	Holder string
	// Stale tells that the holder has ended.
	Stale bool
	// End says what became of it; nil while it is free.
	End *End
	at  name
}

// List lists every remnant, by ID. It changes nothing.
func (s *Store) List() ([]Entry, error) {
	ns, err := s.marks()
	if err != nil {
		return nil, err
	}
	out := []Entry{}
	for _, n := range ns {
		e, err := s.entry(n)
		if errors.Is(err, fs.ErrNotExist) {
			e, err = s.Find(n.id) // moved since
		}
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}

// entry reads a remnant and its mark; fs.ErrNotExist where the mark was moved.
func (s *Store) entry(n name) (Entry, error) {
	r, err := s.read(n.id)
	if err != nil {
		return Entry{}, err
	}
	e := Entry{Remnant: r, at: n}
	if n.word == "" {
		e.State, e.Holder = Reserved, "other runs, which change it all the time"
		return e, nil
	}
	if e.End, err = s.readEnd(n); err != nil {
		return Entry{}, err
	}
	e.State = State(n.word)
	if n.owner == "" {
		return e, nil
	}
	e.State, e.Holder, e.Stale = Reserved, n.owner.words(), n.owner.dead()
	if e.Stale && n.word == settling && e.End != nil && !e.End.Discarded && !e.End.shown() {
		e.State = InDoubt
	}
	return e, nil
}

// Find finds one remnant.
func (s *Store) Find(id string) (Entry, error) {
	if _, ok := parse(id + "." + itself); ok {
		if _, err := s.read(id); !errors.Is(err, fs.ErrNotExist) {
			return s.find(id)
		}
	}
	return Entry{}, fmt.Errorf("%s has no remnant %q", s.dir, id)
}

func (s *Store) find(id string) (Entry, error) {
	for range looks {
		ns, err := s.marks()
		if err != nil {
			return Entry{}, err
		}
		for _, n := range ns {
			if n.id != id {
				continue
			}
			e, err := s.entry(n)
			if !errors.Is(err, fs.ErrNotExist) {
				return e, err
			}
		}
	}
	return s.entry(name{id: id})
}

// Add puts a remnant into the store, free, and returns it with its ID. The
// outline is moved to the origin; an ID given is not used.
func (s *Store) Add(r Remnant) (Remnant, error) {
	r.ID = newID()
	return r, s.add(&r)
}

func (s *Store) add(r *Remnant) error {
	r.normalise()
	if err := r.validate(); err != nil {
		return err
	}
	// A mark without a remnant is one that was not finished; nobody moves it.
	err := s.create(s.owner, name{id: r.ID, word: string(Free)}.file(), mark{})
	if err == nil || errors.Is(err, fs.ErrExist) {
		err = s.create(s.owner, name{id: r.ID, word: itself}.file(), r)
	}
	if err != nil {
		return fmt.Errorf("cannot add a remnant: %w", err)
	}
	return nil
}

// letters leave out what is misread on a label: 0 and O, 1 and I.
const letters = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"

func newID() string {
	var r [8]byte
	_, _ = rand.Read(r[:]) // never fails
	return idOf(r[:])
}

// idOf makes an ID of eight bytes.
func idOf(b []byte) string {
	out := []byte("RM-")
	for _, v := range b[:8] {
		out = append(out, letters[int(v)%len(letters)])
	}
	return string(out)
}

// Discard says that a remnant was thrown away. It must be free or in doubt.
func (s *Store) Discard(id string, date shapes.Date, why string) error {
	s.Recover()
	mine, err := s.claim(id, "discard")
	if err != nil {
		return err
	}
	if err := s.replace(s.owner, mine.file(), mark{&End{Date: date, Why: why, Discarded: true}}); err != nil {
		return err
	}
	return s.move(mine, mine.with(string(Discarded), ""))
}

// Release frees a remnant by hand: one that is in doubt, or that is held by a
// run which cannot be asked. A run that still holds it will find that it was
// taken away and fail before it writes anything.
func (s *Store) Release(id string) error {
	e, err := s.Find(id)
	if err != nil {
		return err
	}
	switch {
	case e.at.word == string(Reserved):
		err = s.move(e.at, e.at.with(string(Free), ""))
	case e.at.word == settling:
		// A run of this host that is settling is in its last moments.
		if _, here := e.at.owner.pid(); here && !e.Stale {
			return fmt.Errorf("remnant %s is being settled by %s; let it end", id, e.at.owner.words())
		}
		mine := e.at.with(settling, s.owner)
		if err = s.move(e.at, mine); err != nil {
			break
		}
		if err = s.replace(s.owner, mine.file(), mark{}); err == nil {
			err = s.move(mine, mine.with(string(Free), ""))
		}
	default:
		return fmt.Errorf("remnant %s is %s; there is nothing to release", id, e.State)
	}
	if err != nil {
		return fmt.Errorf("remnant %s was changed by another run just now: %w", id, err)
	}
	return nil
}

// claim takes a remnant that is free or in doubt for a short operation.
func (s *Store) claim(id, what string) (name, error) {
	e, err := s.Find(id)
	if err != nil {
		return name{}, err
	}
	if e.State != Free && e.State != InDoubt {
		held := ""
		if e.Holder != "" {
			held = " by " + e.Holder
		}
		return name{}, fmt.Errorf("cannot %s remnant %s: it is %s%s", what, id, e.State, held)
	}
	mine := e.at.with(settling, s.owner)
	if err := s.move(e.at, mine); err != nil {
		return name{}, fmt.Errorf("cannot %s remnant %s: another run took it just now", what, id)
	}
	return mine, nil
}
