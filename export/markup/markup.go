// Package markup writes HTML and SVG so that it is always well formed and
// names from files are always data.
//
// There is no way to write text past the escape: element content, attribute
// values and comments do not mix, tags close in the order they were opened,
// and the only text taken as it stands is the content of a style or script
// element, which is refused where it could end that element.
package markup

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// A Writer writes elements. The first error is kept and returned by Flush; all
// calls after it do nothing.
type Writer struct {
	w    *bufio.Writer
	open []string
	err  error
}

// New returns a Writer on w.
func New(w io.Writer) *Writer { return &Writer{w: bufio.NewWriterSize(w, 1<<16)} }

// Doctype writes the HTML document type.
func (w *Writer) Doctype() { w.put("<!DOCTYPE html>\n") }

// Start opens an element. Attributes are pairs of name and value; a value is
// escaped, and a pair whose name is empty is left out, so that a condition can
// choose (see If).
func (w *Writer) Start(tag string, attrs ...string) {
	w.tag(tag, attrs)
	w.put(">")
	w.open = append(w.open, tag)
}

// End closes the element opened last.
func (w *Writer) End() {
	if len(w.open) == 0 {
		w.fail("nothing is open")
		return
	}
	tag := w.open[len(w.open)-1]
	w.open = w.open[:len(w.open)-1]
	w.put("</")
	w.put(tag)
	w.put(">")
}

// Empty writes an element without content: an HTML void element such as meta,
// or an SVG shape.
func (w *Writer) Empty(tag string, attrs ...string) {
	w.tag(tag, attrs)
	w.put("/>")
}

// Leaf writes an element with nothing but text in it.
func (w *Writer) Leaf(tag, text string, attrs ...string) {
	w.Start(tag, attrs...)
	w.Text(text)
	w.End()
}

// Text writes text.
func (w *Writer) Text(s string) { w.escape(s, false) }

// Line ends a line, for those who read the source.
func (w *Writer) Line() { w.put("\n") }

// Raw writes a style or script element with the content as it stands. The
// content comes from the program, never from a file it was given; it is refused
// where it holds "</" or "<!--".
func (w *Writer) Raw(tag, content string, attrs ...string) {
	if tag != "style" && tag != "script" {
		w.fail("raw content in a %s element", tag)
		return
	}
	if strings.Contains(content, "</") || strings.Contains(content, "<!--") {
		w.fail("raw content that could end its element")
		return
	}
	w.tag(tag, attrs)
	w.put(">")
	w.put(content)
	w.put("</" + tag + ">\n")
}

// Flush writes what is buffered and returns the first error met. Elements left
// open are an error.
func (w *Writer) Flush() error {
	if w.err == nil && len(w.open) > 0 {
		w.fail("elements left open: %s", strings.Join(w.open, " "))
	}
	if w.err == nil {
		w.err = w.w.Flush()
	}
	return w.err
}

// If returns the attribute's name where the condition holds and an empty one
// otherwise, which Start leaves out.
func If(cond bool, name string) string {
	if cond {
		return name
	}
	return ""
}

func (w *Writer) tag(tag string, attrs []string) {
	if !isName(tag) || len(attrs)%2 != 0 {
		w.fail("bad element %q or odd attributes", tag)
		return
	}
	w.put("<")
	w.put(tag)
	for i := 0; i < len(attrs); i += 2 {
		if attrs[i] == "" {
			continue
		}
		if !isName(attrs[i]) {
			w.fail("bad attribute name %q", attrs[i])
			return
		}
		w.put(" ")
		w.put(attrs[i])
		w.put(`="`)
		w.escape(attrs[i+1], true)
		w.put(`"`)
	}
}

func isName(s string) bool {
	for _, r := range s {
		if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == ':') {
			return false
		}
	}
	return s != ""
}

func (w *Writer) put(s string) {
	if w.err == nil {
		_, w.err = w.w.WriteString(s)
	}
}

func (w *Writer) fail(format string, args ...any) {
	if w.err == nil {
		w.err = fmt.Errorf("markup: "+format, args...)
	}
}

// escape writes s so that neither HTML nor XML takes any of it for markup.
// What XML cannot hold at all becomes U+FFFD, and so do the signs that turn
// the direction of writing: they would reorder the figures beside a name.
func (w *Writer) escape(s string, attr bool) {
	from := 0
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		if esc := entity(r, size, attr); esc != "" {
			w.put(s[from:i])
			w.put(esc)
			from = i + size
		}
		i += size
	}
	w.put(s[from:])
}

func entity(r rune, size int, attr bool) string {
	switch r {
	case '&':
		return "&amp;"
	case '<':
		return "&lt;"
	case '>':
		return "&gt;"
	case '"':
		return "&#34;"
	case '\'':
		return "&#39;"
	case '\n', '\t', '\r':
		if attr || r == '\r' {
			return fmt.Sprintf("&#%d;", r)
		}
		return ""
	case utf8.RuneError:
		if size <= 1 {
			return "\uFFFD"
		}
		return ""
	}
	if r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069 {
		return "\uFFFD"
	}
	if r < 0x20 || r == 0x7F || r >= 0x80 && r < 0xA0 || r == 0xFFFE || r == 0xFFFF {
		return "\uFFFD"
	}
	return ""
}
