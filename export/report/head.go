package report

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"strings"

	_ "embed"

	"plyroom/export/markup"
	"plyroom/export/picture"
)

//go:embed style.css
var pageStyle string

//go:embed print.css
var printStyle string

//go:embed page.js
var pageScript string

// icon is three stacked plies.
const icon = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 16'%3E%3Crect width='16' height='16' rx='2' fill='%2315191c'/%3E%3Cpath d='M2 11l6 3 6-3M2 8l6 3 6-3M2 5l6 3 6-3-6-3z' fill='none' stroke='%23ffd60a' stroke-width='1.3'/%3E%3C/svg%3E"

// head writes the document's head. The policy admits the style sheets and the
// script given, by hash, and images in data: URLs; all else is refused, so
// that nothing that came in with a name could run even where an escape failed.
func head(w *markup.Writer, title, footer, script string) {
	styles := []string{picture.Style + pageStyle + printStyle, pageBoxes(footer)}
	policy := "default-src 'none'; img-src data:; style-src"
	for _, s := range styles {
		policy += " " + hash(s)
	}
	if script != "" {
		policy += "; script-src " + hash(script)
	}
	policy += "; base-uri 'none'; form-action 'none'"
	w.Start("head")
	w.Line()
	w.Empty("meta", "charset", "utf-8")
	w.Empty("meta", "http-equiv", "Content-Security-Policy", "content", policy)
	w.Empty("meta", "name", "viewport", "content", "width=device-width, initial-scale=1")
	w.Empty("meta", "name", "color-scheme", "content", "light dark")
	w.Empty("meta", "name", "referrer", "content", "no-referrer")
	w.Leaf("title", title)
	w.Empty("link", "rel", "icon", "href", icon)
	w.Line()
	for _, s := range styles {
		w.Raw("style", s)
	}
	w.End()
	w.Line()
}

func hash(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// pageBoxes is the style sheet that prints a text and the page number at the
// foot of every sheet of paper.
func pageBoxes(text string) string {
	return "@page{@bottom-left{content:" + cssString(text) + "}}\n"
}

// cssString writes a string for a style sheet: all but plain letters and digits
// as code points. A space after a code point would be taken as its end, so
// spaces are written the same way.
func cssString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case r < 0x20 || r == 0x7F:
			b.WriteString("\\000020")
		default:
			fmt.Fprintf(&b, "\\%06x", r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
