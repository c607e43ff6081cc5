package study

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
)

// errNotOurs marks a result of another study of the same job.
var errNotOurs = errors.New("is of no nest of this study")

// Names in the folder of a study.
const (
	specName   = "study.json"
	shardsName = "shards.json"
	nestsName  = "nests"
	ending     = ".json"
)

// A Store is the folder of a study.
type Store struct {
	dir  string
	plan *Plan
	// quick leaves out waiting for the disk, for tests.
	quick bool
}

// OtherStudy says that a folder holds another study.
type OtherStudy struct{ Dir, Why string }

// Error says what stands there.
func (e *OtherStudy) Error() string {
	return fmt.Sprintf("%s holds another study: %s", e.Dir, e.Why)
}

// ReadSpec reads what the study in a folder varies. It fails with
// fs.ErrNotExist where there is none.
func ReadSpec(dir string) (*Spec, error) {
	path := filepath.Join(dir, specName)
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var s Spec
	if err := strict(data, &s); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if s.Format != Format {
		return nil, fmt.Errorf("%s is of format %d, this program reads %d", path, s.Format, Format)
	}
	return &s, nil
}

func strict(data []byte, v any) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	return dec.Decode(v)
}

// Open opens a folder for a plan, and makes it where it does not exist. A
// folder of another job, revision or way of varying gives *OtherStudy; with
// extend, another way of varying the same job takes its place, and the results
// they have in common are kept.
func Open(dir string, p *Plan, extend bool) (*Store, error) {
	s := &Store{dir: dir, plan: p}
	there, err := ReadSpec(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := foreign(dir); err != nil {
			return nil, err
		}
	case err != nil:
		return nil, err
	case there.Fingerprint != p.Spec.Fingerprint:
		why := fmt.Sprintf("of %s", (&Plan{Spec: *there}).title())
		if there.Job == p.Spec.Job && there.Revision == p.Spec.Revision {
			why = fmt.Sprintf("%s has changed since", p.title())
		}
		return nil, &OtherStudy{dir, why + "; choose another folder"}
	case reflect.DeepEqual(*there, p.Spec):
		return s, nil
	case !extend:
		return nil, &OtherStudy{dir, "it varies " + differ(there, &p.Spec)}
	}
	if err := os.MkdirAll(filepath.Join(dir, nestsName), 0o755); err != nil {
		return nil, err
	}
	return s, s.write(specName, p.Spec)
}

// foreign refuses a folder that holds something else.
func foreign(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for _, e := range entries {
		// A shard that starts at the same time may have made its folder and
		// files in the making already.
		if e.Name() != nestsName && e.Name() != specName && e.Name() != shardsName && !strings.HasPrefix(e.Name(), ".") {
			return fmt.Errorf("%s is no study (no %s inside) and is left alone", dir, specName)
		}
	}
	return nil
}

// differ words how two studies of one job differ.
func differ(a, b *Spec) string {
	switch {
	case a.Effort != b.Effort:
		return fmt.Sprintf("with effort %d, not %d", a.Effort, b.Effort)
	case a.Seeds != b.Seeds || a.Seed != b.Seed:
		return fmt.Sprintf("%d seeds from %d, not %d from %d", a.Seeds, a.Seed, b.Seeds, b.Seed)
	case !reflect.DeepEqual(a.Relax, b.Relax):
		return fmt.Sprintf("rules %q, not %q", a.Relax, b.Relax)
	}
	return "other axes or values"
}

// write writes one file beside its place and renames it there, so that a
// reader finds it whole or not at all, and the last of several writers wins.
func (s *Store) write(name string, v any) (err error) {
	data, err := json.Marshal(v)
	if err != nil {
		return err
	}
	path := filepath.Join(s.dir, name)
	f, err := os.CreateTemp(filepath.Dir(path), ".new-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if _, err = f.Write(append(data, '\n')); err != nil {
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		return err
	}
	if !s.quick {
		if err = f.Sync(); err != nil {
			return err
		}
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// Put keeps an outcome.
func (s *Store) Put(o *Outcome) error {
	return s.write(filepath.Join(nestsName, o.ID+ending), o)
}

// maxOutcome bounds a file of the folder, bytes.
const maxOutcome = 1 << 28

// Get reads the outcome of a nest; nil where there is none yet. A file that
// does not hold it gives an error that names it.
func (s *Store) Get(id string) (*Outcome, error) {
	return s.read(filepath.Join(s.dir, nestsName, id+ending), id)
}

func (s *Store) read(path, id string) (*Outcome, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if info.Size() > maxOutcome {
		return nil, fmt.Errorf("%s: %d bytes are too many for a result", path, info.Size())
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var o Outcome
	if err := strict(data, &o); err != nil {
		return nil, fmt.Errorf("%s is damaged: %w; take it away, and its nest is laid again", path, err)
	}
	if err := s.plan.accept(&o); err != nil {
		return nil, fmt.Errorf("%s %w", path, err)
	}
	if o.ID != id {
		return nil, fmt.Errorf("%s holds the result of nest %s", path, o.ID)
	}
	return &o, nil
}

// Read reads every result of this study that the folder holds. Results of
// other studies of the same job are left alone; anything else that looks like
// a result is an error.
func (s *Store) Read() (map[string]*Outcome, error) {
	out := map[string]*Outcome{}
	return out, s.ReadInto(s.dir, out)
}

// ReadInto adds the results of this study that another folder holds. Where
// both hold one, they must be equal: results of one nest always are.
func (s *Store) ReadInto(dir string, out map[string]*Outcome) error {
	entries, err := os.ReadDir(filepath.Join(dir, nestsName))
	if errors.Is(err, fs.ErrNotExist) {
		if dir == s.dir {
			return nil
		}
		return fmt.Errorf("%s holds no results of a study", dir)
	}
	if err != nil {
		return err
	}
	for _, e := range entries {
		id, ok := strings.CutSuffix(e.Name(), ending)
		if !ok || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		o, err := s.read(filepath.Join(dir, nestsName, e.Name()), id)
		if errors.Is(err, errNotOurs) {
			continue
		}
		if err != nil {
			return err
		}
		if o == nil {
			continue // taken away since
		}
		if have := out[id]; have != nil && !reflect.DeepEqual(have, o) {
			return fmt.Errorf("%s does not agree with another result of the same nest: the machines or versions differ", filepath.Join(dir, nestsName, e.Name()))
		}
		out[id] = o
	}
	return nil
}

// Shards tells how many shards the study was last cut into; 0 unknown.
func (s *Store) Shards() int {
	var n struct {
		Shards int `json:"shards"`
	}
	data, err := os.ReadFile(filepath.Join(s.dir, shardsName))
	if err != nil || json.Unmarshal(data, &n) != nil || n.Shards < 0 {
		return 0
	}
	return n.Shards
}

// SetShards remembers into how many shards the study is cut.
func (s *Store) SetShards(n int) error {
	return s.write(shardsName, map[string]int{"shards": n})
}
