package rolllog

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"plyroom/export"
	"plyroom/export/table"
)

// How long Append waits for another writer, and how often it looks.
const (
	lockWait = 5 * time.Second
	lockLook = 20 * time.Millisecond
)

// Append adds a move to a log file, which is begun where there is none. It
// fails, and leaves the log as it was, where the move cannot have happened or
// another writer holds the log.
func Append(path string, m Move) error { return appendWithin(path, m, lockWait) }

func appendWithin(path string, m Move, wait time.Duration) error {
	unlock, err := lock(path, wait)
	if err != nil {
		return err
	}
	defer unlock()
	l, err := Load(path)
	if err != nil {
		return err
	}
	if err := l.add(m); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return export.WriteFile(path, l.write)
}

// write writes the whole log.
func (l *Log) write(w io.Writer) error {
	out := csv.NewWriter(w)
	if err := out.Write(header); err != nil {
		return err
	}
	for _, m := range l.Moves {
		if err := out.Write([]string{m.At.Format(Layout), guard(m.Roll), string(m.Kind), guard(m.Note)}); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// guard keeps a spreadsheet from reading a formula, so that plain gives the
// text back.
func guard(s string) string {
	if len(s) > 0 && s[0] == '\'' {
		return "'" + s
	}
	return table.Harmless(s)
}

// lock takes the log's lock: a file beside it that only one writer can make.
func lock(path string, wait time.Duration) (unlock func(), err error) {
	name := path + ".lock"
	for until := time.Now().Add(wait); ; {
		f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
		if err == nil {
			fmt.Fprintf(f, "%d\n", os.Getpid())
			f.Close()
			return func() { os.Remove(name) }, nil
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, fmt.Errorf("cannot lock %s: %w", path, err)
		}
		if time.Now().After(until) {
			return nil, fmt.Errorf("another writer holds %s; where none is at work, take away %s", path, name)
		}
		time.Sleep(lockLook)
	}
}
