package remnant

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
)

// Recover settles what runs that have ended left held: remnants that were only
// reserved are free again, remnants whose use or end is shown are used or
// discarded, and the rest stays in doubt. It also takes away hidden files such
// runs left. Several processes may do so at once.
func (s *Store) Recover() {
	s.sweep()
	ns, err := s.marks()
	if err != nil {
		return
	}
	for _, n := range ns {
		if n.owner == "" || !n.owner.dead() {
			continue
		}
		if n.word == string(Reserved) {
			_ = s.move(n, n.with(string(Free), ""))
			continue
		}
		end, err := s.readEnd(n)
		switch {
		case err != nil:
			// Left for a person to look at.
		case end == nil:
			_ = s.move(n, n.with(string(Free), ""))
		case end.Discarded:
			_ = s.move(n, n.with(string(Discarded), ""))
		case end.shown():
			_ = s.move(n, n.with(string(Used), ""))
		}
	}
}

// shown reports whether the record that shows the use is there.
func (e *End) shown() bool {
	digest, err := Digest(e.Record)
	return err == nil && digest == e.Digest
}

// Digest is the SHA-256 of a file's bytes, in hexadecimal.
func Digest(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
