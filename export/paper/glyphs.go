package paper

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// Substitute is printed for a character that the fonts lack.
const Substitute = '□'

// glyphs is the set of characters the fonts hold. Both weights hold the same.
var glyphs = sync.OnceValue(func() map[rune]bool {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic(err) // the font is part of the program
	}
	set := map[rune]bool{}
	var buf sfnt.Buffer
	for r := rune(' '); r <= 0xFFFF; r++ {
		if g, err := f.GlyphIndex(&buf, r); err == nil && g != 0 {
			set[r] = true
		}
	}
	return set
})

// Printable returns text as it can be printed on one line, and the characters
// that had to be substituted. Accents are composed with their letters first;
// line breaks and tabs become spaces; invisible formatting characters vanish.
func Printable(s string) (string, []rune) {
	plain := true
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] > '~' {
			plain = false
			break
		}
	}
	if plain {
		return s, nil
	}
	have := glyphs()
	var b strings.Builder
	var missing []rune
	for _, r := range norm.NFC.String(strings.ToValidUTF8(s, string(utf8.RuneError))) {
		switch {
		case unicode.IsSpace(r), r == '\u2028', r == '\u2029':
			b.WriteByte(' ')
		case unicode.Is(unicode.Cf, r), unicode.Is(unicode.Variation_Selector, r):
		case have[r] && r != utf8.RuneError:
			b.WriteRune(r)
		default:
			b.WriteRune(Substitute)
			missing = append(missing, r)
		}
	}
	return b.String(), missing
}

// clean is Printable, remembering what was missing.
func (d *Doc) clean(s string) string {
	s, missing := Printable(s)
	for _, r := range missing {
		d.missing[r] = true
	}
	return s
}
