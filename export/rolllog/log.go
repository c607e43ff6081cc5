package rolllog

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Layout is how times are written.
const Layout = "2006-01-02T15:04"

// A Kind is what was done with a roll.
type Kind string

// Out of the freezer, and back into it.
const (
	Out  Kind = "out"
	Back Kind = "back"
)

// A Move is one line of a log.
type Move struct {
	At   time.Time
	Roll string
	Kind Kind
	Note string
}

// A Log is every move, oldest first.
type Log struct{ Moves []Move }

var header = []string{"at", "roll", "move", "note"}

// maxLog bounds what Read takes in.
const maxLog = 64 << 20

// Load reads a log file. A file that does not exist is an empty log.
func Load(path string) (*Log, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &Log{}, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	l, err := Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return l, nil
}

// Read reads a log and checks that its moves can have happened: times rise,
// what goes back was out, what goes out was not.
func Read(r io.Reader) (*Log, error) {
	in := csv.NewReader(io.LimitReader(r, maxLog))
	in.FieldsPerRecord = len(header)
	l := &Log{}
	for n := 0; ; n++ {
		rec, err := in.Read()
		if err == io.EOF {
			return l, nil
		}
		if err != nil {
			return nil, fmt.Errorf("not a log of rolls: %w", err)
		}
		line, _ := in.FieldPos(0)
		if n == 0 {
			if !slices.Equal(rec, header) {
				return nil, fmt.Errorf("not a log of rolls: the first line is not %q", strings.Join(header, ","))
			}
			continue
		}
		at, err := time.Parse(Layout, rec[0])
		if err != nil {
			return nil, fmt.Errorf("line %d: %q is no time; times are written %s", line, rec[0], Layout)
		}
		if err := l.add(Move{At: at, Roll: plain(rec[1]), Kind: Kind(rec[2]), Note: plain(rec[3])}); err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
	}
}

// plain takes the mark off that keeps a spreadsheet from reading a formula.
func plain(s string) string {
	if len(s) > 1 && s[0] == '\'' {
		return s[1:]
	}
	return s
}

// longest is how long a roll's name or a note may be, bytes.
const longest = 500

// add appends a move if it can have happened.
func (l *Log) add(m Move) error {
	m.At = m.At.Truncate(time.Minute)
	switch {
	case m.Kind != Out && m.Kind != Back:
		return fmt.Errorf("unknown move %q; known are out and back", m.Kind)
	case strings.TrimSpace(m.Roll) == "":
		return errors.New("the move names no roll")
	case len(m.Roll) > longest || len(m.Note) > longest:
		return fmt.Errorf("roll and note may have %d bytes each", longest)
	case strings.ContainsFunc(m.Roll+m.Note, unicode.IsControl) || !utf8.ValidString(m.Roll+m.Note):
		return errors.New("roll and note may not hold control characters")
	case m.At.Year() < 1970 || m.At.Year() > 9999:
		return fmt.Errorf("%s is no time of a move", m.At.Format(Layout))
	}
	if n := len(l.Moves); n > 0 && m.At.Before(l.Moves[n-1].At) {
		return fmt.Errorf("the move at %s is before the last one at %s", m.At.Format(Layout), l.Moves[n-1].At.Format(Layout))
	}
	last := l.last(m.Roll)
	switch {
	case m.Kind == Out && last != nil && last.Kind == Out:
		return fmt.Errorf("roll %q is out already, since %s", m.Roll, last.At.Format(Layout))
	case m.Kind == Back && (last == nil || last.Kind == Back):
		return fmt.Errorf("roll %q is not out, so it cannot go back", m.Roll)
	}
	l.Moves = append(l.Moves, m)
	return nil
}

func (l *Log) last(roll string) *Move {
	for i := len(l.Moves) - 1; i >= 0; i-- {
		if l.Moves[i].Roll == roll {
			return &l.Moves[i]
		}
	}
	return nil
}

// OutTime is how long a roll has been out until a moment, minutes; moves after
// it do not count. out says that it is out at that moment.
func (l *Log) OutTime(roll string, until time.Time) (minutes float64, out bool) {
	var since time.Time
	for _, m := range l.Moves {
		if m.Roll != roll || m.At.After(until) {
			continue
		}
		if m.Kind == Out {
			since, out = m.At, true
		} else {
			minutes += m.At.Sub(since).Minutes()
			out = false
		}
	}
	if out {
		minutes += until.Sub(since).Minutes()
	}
	return minutes, out
}

// Rolls lists the rolls of the log in the order of their first move.
func (l *Log) Rolls() []string {
	var out []string
	for _, m := range l.Moves {
		if !slices.Contains(out, m.Roll) {
			out = append(out, m.Roll)
		}
	}
	return out
}
