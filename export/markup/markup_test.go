package markup

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func render(t testing.TB, f func(*Writer)) string {
	t.Helper()
	var b strings.Builder
	w := New(&b)
	f(w)
	require.NoError(t, w.Flush())
	return b.String()
}

func TestEscape(t *testing.T) {
	got := render(t, func(w *Writer) {
		w.Leaf("p", "a<b>&\"'\x00\xff", "title", "x\">\n<script>")
	})
	require.Equal(t, `<p title="x&#34;&gt;&#10;&lt;script&gt;">a&lt;b&gt;&amp;&#34;&#39;`+"\uFFFD\uFFFD</p>", got)
}

func TestConditionalAttribute(t *testing.T) {
	got := render(t, func(w *Writer) { w.Empty("input", If(true, "checked"), "", If(false, "disabled"), "") })
	require.Equal(t, `<input checked=""/>`, got)
}

// Whatever the text, an XML reader gets it back, apart from what XML cannot
// hold.
func TestTextComesBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.String().Draw(rt, "s")
		var b strings.Builder
		w := New(&b)
		w.Leaf("t", s, "a", s)
		if err := w.Flush(); err != nil {
			rt.Fatal(err)
		}
		d := xml.NewDecoder(strings.NewReader(b.String()))
		var text, attr string
		for {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				rt.Fatalf("%q does not parse: %v", b.String(), err)
			}
			switch tok := tok.(type) {
			case xml.StartElement:
				attr = tok.Attr[0].Value
			case xml.CharData:
				text += string(tok)
			}
		}
		want := strings.Map(func(r rune) rune {
			if r != '\n' && r != '\t' && r != '\r' && (r < 0x20 || r >= 0x7F && r < 0xA0) || r == 0xFFFE || r == 0xFFFF || r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069 {
				return 0xFFFD
			}
			return r
		}, s)
		if text != want || attr != want {
			rt.Fatalf("got text %q, attribute %q, want %q", text, attr, want)
		}
	})
}

func TestMisuse(t *testing.T) {
	for name, f := range map[string]func(*Writer){
		"left open":            func(w *Writer) { w.Start("p") },
		"nothing open":         func(w *Writer) { w.End() },
		"odd attributes":       func(w *Writer) { w.Start("p", "class"); w.End() },
		"bad attribute name":   func(w *Writer) { w.Empty("p", `x" onload="`, "") },
		"bad tag":              func(w *Writer) { w.Empty("p onload", "a", "b") },
		"raw ends its element": func(w *Writer) { w.Raw("script", "x</script>") },
		"raw in a paragraph":   func(w *Writer) { w.Raw("p", "x") },
	} {
		t.Run(name, func(t *testing.T) {
			w := New(io.Discard)
			f(w)
			require.Error(t, w.Flush())
		})
	}
}
