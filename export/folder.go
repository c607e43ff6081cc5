package export

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"
)

// RecordName is the file that marks a folder as a finished run.
const RecordName = "layouts.json"

// Errors that say why a folder may not be written. They come wrapped with the
// path concerned.
var (
	// ErrExists: an earlier run stands there and replacing was not asked for.
	ErrExists = errors.New("already holds an earlier run")
	// ErrForeign: what stands there is not an earlier run and is never
	// replaced.
	ErrForeign = errors.New("is not an earlier run (no " + RecordName + " inside) and is left alone")
	// ErrStrangers: an earlier run stands there, and in it what no command
	// wrote.
	ErrStrangers = errors.New("holds files that are not of the run")
	// ErrNotFolder: a file stands there.
	ErrNotFolder = errors.New("is a file, not a folder")
	// ErrDone: the Folder was committed or given up before.
	ErrDone = errors.New("the output folder was committed or given up before")
)

// A Folder is an output folder in the making. Files are written to a hidden
// folder beside the target; Commit puts the whole in place, Abort takes it
// away again. Until Commit returns without error the target is as it was.
//
// The methods of a Folder may be called from several goroutines.
type Folder struct {
	target string // resolved, absolute
	shown  string // as the caller gave it, for messages
	temp   string
	force  bool
	// earlier reports why an existing target may not be replaced.
	earlier func(path string) error
	// only reports what else than an earlier run the target holds.
	only func(path string) error
	sys  system

	mu    sync.Mutex
	names map[string]string // lower case -> as created
	open  map[*file]bool
	err   error // the first failure of any file
	done  bool
}

// NewFolder begins an output folder at target. Its parent must exist. With
// force, an earlier run that stands there is replaced by Commit, unless it holds
// what no command of plyroom wrote; anything else but an empty folder is
// refused. Leftovers that a killed run of the same
// target left beside it are taken away first, and an earlier run that such a
// run had moved aside is put back.
func NewFolder(target string, force bool) (*Folder, error) {
	return newFolder(target, force, earlierRun, noStrangers, osSystem{})
}

// NewPart begins a folder inside a finished run, such as its cut files made
// again. The name is one path element. An existing part is replaced as a
// whole; run must be a finished run.
func NewPart(run, name string) (*Folder, error) {
	if SafeFileName(name) != name {
		return nil, fmt.Errorf("%q is not a portable name for a folder", name)
	}
	if err := earlierRun(run); err != nil {
		return nil, fmt.Errorf("%s %w", run, err)
	}
	return newFolder(filepath.Join(run, name), true, anyFolder, anyFolder, osSystem{})
}

func newFolder(target string, force bool, earlier, only func(string) error, sys system) (*Folder, error) {
	abs, err := resolve(target)
	if err != nil {
		return nil, err
	}
	f := &Folder{
		target: abs, shown: target, force: force, earlier: earlier, only: only, sys: sys,
		names: map[string]string{}, open: map[*file]bool{},
	}
	cleanUp(abs)
	if err := f.mayReplace(); err != nil {
		return nil, err
	}
	f.temp = beside(abs, newSuffix)
	if err := sys.Mkdir(f.temp); err != nil {
		return nil, fmt.Errorf("cannot write beside %s: %w", target, plainCause(err))
	}
	return f, nil
}

// resolve makes the target absolute, follows a symbolic link to a folder, and
// checks that a folder can be renamed to it.
func resolve(target string) (string, error) {
	if strings.TrimSpace(target) == "" {
		return "", errors.New("the output folder has no name")
	}
	abs, err := filepath.Abs(target)
	if err != nil {
		return "", err
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		abs = real
	}
	parent := filepath.Dir(abs)
	if parent == abs {
		return "", fmt.Errorf("%s cannot be an output folder; name a new folder", target)
	}
	if wd, err := os.Getwd(); err == nil {
		if wd, err := filepath.EvalSymlinks(wd); err == nil && wd == abs {
			return "", fmt.Errorf("%s is the folder you are in; name a new folder", target)
		}
	}
	info, err := os.Stat(parent)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", fmt.Errorf("cannot write %s: folder %s does not exist", target, filepath.Dir(target))
	case err != nil:
		return "", fmt.Errorf("cannot write %s: %w", target, plainCause(err))
	case !info.IsDir():
		return "", fmt.Errorf("cannot write %s: %s %w", target, filepath.Dir(target), ErrNotFolder)
	}
	return abs, nil
}

// mayReplace reports why the target must be left as it is, or nil.
func (f *Folder) mayReplace() error {
	info, err := os.Lstat(f.target)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", f.shown, plainCause(err))
	}
	if !info.IsDir() {
		return fmt.Errorf("%s %w", f.shown, ErrNotFolder)
	}
	entries, err := os.ReadDir(f.target)
	if err != nil {
		return fmt.Errorf("cannot read %s: %w", f.shown, plainCause(err))
	}
	if len(entries) == 0 {
		return nil
	}
	if err := f.earlier(f.target); err != nil {
		return fmt.Errorf("%s %w", f.shown, err)
	}
	if !f.force {
		return fmt.Errorf("%s %w", f.shown, ErrExists)
	}
	if err := f.only(f.target); err != nil {
		return fmt.Errorf("%s %w", f.shown, err)
	}
	return nil
}

// earlierRun accepts a folder that holds a record.
func earlierRun(path string) error {
	info, err := os.Lstat(filepath.Join(path, RecordName))
	if err != nil || !info.Mode().IsRegular() {
		return ErrForeign
	}
	return nil
}

func anyFolder(string) error { return nil }

// Create begins a file of the folder. The name may hold folders, divided by
// '/'; every element must be portable (SafeFileName returns it unchanged). A
// second file of the same name, or of a name that differs only in case, is an
// error. The file is buffered and counts as written once Close has returned
// nil.
func (f *Folder) Create(name string) (io.WriteCloser, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.done {
		return nil, ErrDone
	}
	elems := strings.Split(name, "/")
	for _, e := range elems {
		if e == "" || e != SafeFileName(e) {
			return nil, fmt.Errorf("%q is not a portable file name", name)
		}
	}
	key := strings.ToLower(name)
	if was, ok := f.names[key]; ok {
		return nil, fmt.Errorf("%s is written twice (%s and %s)", f.path(name), was, name)
	}
	path := filepath.Join(f.temp, filepath.Join(elems...))
	if len(elems) > 1 {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			return nil, f.fail(name, err)
		}
	}
	raw, err := f.sys.Create(path)
	if err != nil {
		return nil, f.fail(name, err)
	}
	f.names[key] = name
	out := &file{folder: f, name: name, raw: raw, buf: bufio.NewWriterSize(raw, 1<<16)}
	f.open[out] = true
	return out, nil
}

// path is where a file will be, as messages name it.
func (f *Folder) path(name string) string {
	return filepath.Join(f.shown, filepath.FromSlash(name))
}

// fail keeps the first failure, so that Commit refuses even where a writer
// passed over an error. The caller holds the lock.
func (f *Folder) fail(name string, err error) error {
	err = fmt.Errorf("cannot write %s: %w", f.path(name), plainCause(err))
	if f.err == nil {
		f.err = err
	}
	return err
}

// Commit makes every file durable and puts the folder in place. It fails, and
// leaves the target as it was, where a file is still open or could not be
// written, or where the target changed meanwhile. An earlier run is moved
// aside, the new one moved in, and the earlier one then removed; where moving
// in fails it is put back. After Commit, whatever it returned, the Folder can
// not be used again.
func (f *Folder) Commit() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.done {
		return ErrDone
	}
	err := f.commit()
	if err != nil {
		f.discard()
	}
	f.done = true
	return err
}

func (f *Folder) commit() error {
	if f.err != nil {
		return f.err
	}
	if len(f.open) > 0 {
		return fmt.Errorf("%s is still being written", f.path(f.firstOpen()))
	}
	if err := f.syncFolders(); err != nil {
		return fmt.Errorf("cannot write %s: %w", f.shown, plainCause(err))
	}
	if err := f.mayReplace(); err != nil {
		return err
	}
	aside := ""
	if _, err := os.Lstat(f.target); err == nil {
		aside = beside(f.target, oldSuffix)
		if err := f.sys.Rename(f.target, aside); err != nil {
			return fmt.Errorf("cannot replace %s: %w", f.shown, plainCause(err))
		}
	}
	if err := f.sys.Rename(f.temp, f.target); err != nil {
		err = fmt.Errorf("cannot write %s: %w", f.shown, plainCause(err))
		if aside != "" {
			if back := f.sys.Rename(aside, f.target); back != nil {
				err = fmt.Errorf("%w; the earlier run is kept in %s", err, aside)
			}
		}
		return err
	}
	// In place. What follows can no longer undo that, so failures here are
	// not errors: a folder that stays aside is found by the next run.
	_ = f.sys.SyncDir(filepath.Dir(f.target))
	if aside != "" {
		_ = os.RemoveAll(aside)
	}
	return nil
}

func (f *Folder) firstOpen() string {
	var names []string
	for o := range f.open {
		names = append(names, o.name)
	}
	sort.Strings(names)
	return names[0]
}

// syncFolders makes the entries of every folder durable.
func (f *Folder) syncFolders() error {
	return filepath.WalkDir(f.temp, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		return f.sys.SyncDir(path)
	})
}

// Abort takes away everything written so far and leaves the target as it was.
// After Commit, or called again, it does nothing: it may stand in a defer.
func (f *Folder) Abort() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.done {
		return nil
	}
	f.done = true
	return f.discard()
}

func (f *Folder) discard() error {
	for o := range f.open {
		_ = o.raw.Close()
		o.closed = true
	}
	if err := os.RemoveAll(f.temp); err != nil {
		return fmt.Errorf("cannot take away %s: %w", f.temp, plainCause(err))
	}
	return nil
}

// A file is one file of a Folder.
type file struct {
	folder *Folder
	name   string
	raw    rawFile
	buf    *bufio.Writer
	closed bool
}

func (o *file) Write(p []byte) (int, error) {
	o.folder.mu.Lock()
	defer o.folder.mu.Unlock()
	if o.closed {
		return 0, fmt.Errorf("%s: %w", o.folder.path(o.name), fs.ErrClosed)
	}
	n, err := o.buf.Write(p)
	if err != nil {
		err = o.folder.fail(o.name, err)
	}
	return n, err
}

// Close flushes and makes the file durable.
func (o *file) Close() error {
	o.folder.mu.Lock()
	defer o.folder.mu.Unlock()
	if o.closed {
		return fmt.Errorf("%s: %w", o.folder.path(o.name), fs.ErrClosed)
	}
	o.closed = true
	delete(o.folder.open, o)
	err := o.buf.Flush()
	if e := o.raw.Sync(); err == nil {
		err = e
	}
	if e := o.raw.Close(); err == nil {
		err = e
	}
	if err != nil {
		return o.folder.fail(o.name, err)
	}
	return nil
}
