package drawing

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/text/encoding/unicode"
)

// Read reads the drawing at path. The kind of file is told from its contents.
//
// The drawing is never nil and holds whatever could be read. The error is its
// faults (shapes.Problems), or nil where there are none: an outline with a
// fault is left out of Outlines, so a caller may look at Problems and decide
// whether the others will do.
func Read(path string, opt Options) (*Drawing, error) {
	// Looking before opening keeps a pipe from being waited for.
	if st, err := os.Stat(path); err == nil && !st.Mode().IsRegular() && !st.IsDir() {
		return unreadable(path, opt, errors.New("is not a regular file"))
	}
	f, err := os.Open(path)
	if err != nil {
		return unreadable(path, opt, err)
	}
	defer f.Close()
	var size int64
	if st, err := f.Stat(); err == nil {
		size = st.Size()
		switch {
		case st.IsDir():
			return unreadable(path, opt, errors.New("is a folder"))
		case st.Size() > MaxFileBytes:
			return tooLarge(path, opt)
		}
	}
	return readSized(f, size, path, opt)
}

// ReadFrom reads a drawing; name stands for the file in messages.
func ReadFrom(r io.Reader, name string, opt Options) (*Drawing, error) {
	return readSized(r, 0, name, opt)
}

// readSized is ReadFrom where about size bytes are expected.
func readSized(r io.Reader, size int64, name string, opt Options) (*Drawing, error) {
	var b bytes.Buffer
	b.Grow(int(min(size, MaxFileBytes)) + bytes.MinRead)
	_, err := b.ReadFrom(io.LimitReader(r, MaxFileBytes+1))
	data := b.Bytes()
	switch {
	case err != nil:
		return unreadable(name, opt, err)
	case len(data) > MaxFileBytes:
		return tooLarge(name, opt)
	}
	s := newSheet(name, opt)
	if err := opt.check(); err != nil {
		s.halt(0, err.Error(), "")
		return s.done()
	}
	data = toUTF8(data)
	switch kind := sniff(data); kind {
	case "svg":
		s.Format = SVG
		s.readSVG(data)
	case "dxf":
		s.Format = DXF
		s.readDXF(data)
	case "":
		s.halt(0, "is empty", "export the drawing again")
	default:
		s.halt(0, "is "+kind+", not a DXF or SVG drawing", "save it as DXF (text or binary, any version from R12) or as plain SVG")
	}
	return s.done()
}

func (s *sheet) done() (*Drawing, error) {
	d := s.finish()
	return d, d.Problems.Err()
}

func unreadable(name string, opt Options, err error) (*Drawing, error) {
	s := newSheet(name, opt)
	var pe *os.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	s.halt(0, fmt.Sprintf("cannot be read: %v", err), "check the path and the permissions")
	return s.done()
}

func tooLarge(name string, opt Options) (*Drawing, error) {
	s := newSheet(name, opt)
	s.halt(0, fmt.Sprintf("is larger than %d MB", MaxFileBytes>>20), "export only the plies, without pictures and hatching")
	return s.done()
}

// toUTF8 turns UTF-16 with a byte order mark into UTF-8 and drops the mark of
// UTF-8.
func toUTF8(data []byte) []byte {
	switch {
	case bytes.HasPrefix(data, []byte{0xEF, 0xBB, 0xBF}):
		return data[3:]
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}), bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		dec := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder()
		if out, err := dec.Bytes(data); err == nil {
			return out
		}
	}
	return data
}

// sniff tells the kind of file: "svg", "dxf", "" where it is empty, or a
// description of what it is instead.
func sniff(data []byte) string {
	head := data[:min(len(data), 4096)]
	trimmed := bytes.TrimLeft(head, " \t\r\n")
	switch {
	case len(trimmed) == 0 && len(data) == len(head):
		return ""
	case isBinaryDXF(data):
		return "dxf"
	case bytes.HasPrefix(head, []byte("AC10")), bytes.HasPrefix(head, []byte("AC1.")):
		return "a drawing program's own binary file"
	case bytes.HasPrefix(head, []byte("%PDF")):
		return "a PDF document"
	case bytes.HasPrefix(head, []byte{0x1f, 0x8b}):
		return "a compressed file"
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return "an archive"
	case bytes.HasPrefix(head, []byte("\x89PNG")), bytes.HasPrefix(head, []byte("\xff\xd8\xff")):
		return "a picture made of pixels"
	case trimmed[0] == '<':
		lower := strings.ToLower(string(trimmed))
		if strings.HasPrefix(lower, "<!doctype html") || strings.HasPrefix(lower, "<html") {
			return "a web page"
		}
		return "svg"
	}
	line := trimmed
	if i := bytes.IndexAny(trimmed, "\r\n"); i >= 0 {
		line = bytes.TrimSpace(trimmed[:i])
	}
	if len(line) > 0 && len(line) <= 5 && isInteger(line) {
		return "dxf"
	}
	if bytes.IndexByte(head, 0) >= 0 {
		return "a binary file of an unknown kind"
	}
	return "a text of an unknown kind"
}

func isInteger(b []byte) bool {
	for i, c := range b {
		if (c < '0' || c > '9') && !(c == '-' && i == 0 && len(b) > 1) {
			return false
		}
	}
	return true
}
