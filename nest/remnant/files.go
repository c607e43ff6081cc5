package remnant

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
)

// maxFile bounds what is read of one file, so that a wrong one is no burden.
const maxFile = 16 << 20

var tempName = regexp.MustCompile(`^\.([0-9a-f]{8}-[0-9]+-[0-9a-f]{12})\.[0-9a-f]{12}\.tmp$`)

// looks is how often a folder is read for the mark of a remnant. A folder is
// not read in one instant: a mark that is renamed meanwhile may be missed, or be
// seen under both names.
const looks = 20

// marks lists the remnants of the store by ID with their marks. A remnant whose
// mark was not seen, since other runs keep moving it, has a mark without word.
func (s *Store) marks() ([]name, error) {
	var ids []string
	at := map[string]name{}
	for look := range looks {
		entries, err := os.ReadDir(s.dir)
		if err != nil {
			return nil, fmt.Errorf("cannot read the remnants: %w", err)
		}
		for _, e := range entries {
			n, ok := parse(e.Name())
			switch {
			case !ok || !e.Type().IsRegular():
			case n.word != itself:
				if at[n.id].word == "" {
					at[n.id] = n
				}
			case look == 0:
				ids = append(ids, n.id)
			}
		}
		missing := slices.ContainsFunc(ids, func(id string) bool { return at[id].word == "" })
		if !missing {
			break
		}
	}
	out := []name{}
	for _, id := range ids {
		n := at[id]
		n.id = id
		out = append(out, n)
	}
	return out, nil
}

// read reads one remnant.
func (s *Store) read(id string) (Remnant, error) {
	var r Remnant
	file := name{id: id, word: itself}.file()
	if err := s.readJSON(file, &r); err != nil {
		return r, err
	}
	if err := r.validate(); err != nil {
		return r, fmt.Errorf("%s: %w", s.path(file), err)
	}
	if r.ID != id {
		return r, fmt.Errorf("%s says that it is remnant %q", s.path(file), r.ID)
	}
	return r, nil
}

// readEnd reads what a mark says; nil where it says nothing.
func (s *Store) readEnd(n name) (*End, error) {
	var m mark
	if err := s.readJSON(n.file(), &m); err != nil {
		return nil, err
	}
	return m.End, nil
}

// A mark is what stands in the file whose name carries the state.
type mark struct {
	// End says what became of the remnant, or what a run is about to make of
	// it; nil while it is free.
	End *End `json:"end,omitempty"`
}

func (s *Store) readJSON(file string, v any) error {
	f, err := os.Open(s.path(file))
	if err != nil {
		return err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.Size() > maxFile {
		return fmt.Errorf("%s: %d bytes are too many", s.path(file), info.Size())
	}
	dec := json.NewDecoder(f)
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return fmt.Errorf("%s: %w", s.path(file), err)
	}
	return nil
}

func (s *Store) path(file string) string { return filepath.Join(s.dir, file) }

// temp writes a value whole under a hidden name and returns that name.
func (s *Store) temp(o owner, v any) (string, error) {
	var data bytes.Buffer
	enc := json.NewEncoder(&data)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(v); err != nil {
		return "", err
	}
	var r [6]byte
	_, _ = rand.Read(r[:]) // never fails
	file := fmt.Sprintf(".%s.%s.tmp", string(o), hex.EncodeToString(r[:]))
	f, err := os.OpenFile(s.path(file), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return "", err
	}
	_, err = f.Write(data.Bytes())
	if e := f.Sync(); err == nil {
		err = e
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		os.Remove(s.path(file))
		return "", err
	}
	return file, nil
}

// replace writes a value over a file that only the owner may touch.
func (s *Store) replace(o owner, file string, v any) error {
	temp, err := s.temp(o, v)
	if err != nil {
		return err
	}
	if err := os.Rename(s.path(temp), s.path(file)); err != nil {
		os.Remove(s.path(temp))
		return err
	}
	s.sync()
	return nil
}

// create writes a value to a file that must not be there yet; fs.ErrExist where
// it is. The file appears whole: as a second name of one that is, or, where the
// file system has no second names, by O_EXCL.
func (s *Store) create(o owner, file string, v any) error {
	temp, err := s.temp(o, v)
	if err != nil {
		return err
	}
	defer os.Remove(s.path(temp))
	err = os.Link(s.path(temp), s.path(file))
	if err == nil || errors.Is(err, fs.ErrExist) {
		s.sync()
		return err
	}
	f, err := os.OpenFile(s.path(file), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	f.Close()
	return s.replace(o, file, v)
}

// move renames a remnant's mark. Of several that try, one succeeds; the others
// get fs.ErrNotExist.
func (s *Store) move(from, to name) error {
	if err := os.Rename(s.path(from.file()), s.path(to.file())); err != nil {
		return err
	}
	s.sync()
	return nil
}

// sync makes names durable. Where the system cannot, the store is still whole;
// only the last moments before a power cut may be undone.
func (s *Store) sync() {
	if d, err := os.Open(s.dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}

// sweep takes away the hidden files of processes that have ended.
func (s *Store) sweep() {
	entries, err := os.ReadDir(s.dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		if m := tempName.FindStringSubmatch(e.Name()); m != nil && owner(m[1]).dead() {
			_ = os.Remove(s.path(e.Name()))
		}
	}
}
