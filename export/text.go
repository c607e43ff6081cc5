package export

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"

	"golang.org/x/text/unicode/norm"
)

// MaxText is the longest text a cut file carries in one entity, label or
// comment, bytes as written: drawing readers stop at 255 and controllers at
// 256 characters a line.
const MaxText = 200

// DXFText escapes text for a text group of an ASCII drawing up to release
// 2004: control characters become spaces, '%' and '^' are set apart so that no
// %% or ^ code begins, the degree sign is %%d, and the backslash and whatever
// is not ASCII are written \U+XXXX. The result is one line of at most MaxText
// bytes.
func DXFText(s string) string { return dxfText(s, unicode.MaxASCII) }

// DXFTextUTF8 is DXFText for drawings since release 2007, whose files are in
// UTF-8: letters stay as they are.
func DXFTextUTF8(s string) string { return dxfText(s, unicode.MaxRune) }

func dxfText(s string, last rune) string {
	var b strings.Builder
	before := rune(0)
	for _, r := range OneLine(s) {
		var esc string
		switch {
		case r == '%' && before == '%':
			esc = " %" // readers disagree on how to write two
		case r == '^':
			esc = "^ "
		case r == '°' && before == '%':
			esc = " %%d"
		case r == '°':
			esc = "%%d"
		case r == '\\' || r > last:
			for _, u := range utf16.Encode([]rune{r}) {
				esc += fmt.Sprintf(`\U+%04X`, u)
			}
		default:
			esc = string(r)
		}
		if b.Len()+len(esc) > MaxText {
			break
		}
		b.WriteString(esc)
		before = r
	}
	return strings.TrimRight(b.String(), " ")
}

// SVGText escapes text for element content and for attribute values in either
// quotes. What XML cannot hold becomes U+FFFD.
func SVGText(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(OneLine(s))) // a Buffer does not fail
	return b.String()
}

// HPGLText makes text that may stand between LB and its end character:
// printable ASCII without the double quote, so that neither the end character
// nor an escape sequence can hide in it. At most MaxText bytes.
func HPGLText(s string) string {
	return asciiOnly(s, func(r rune) rune {
		if r == '"' {
			return '\''
		}
		return r
	})
}

// HPGLComment makes text that may stand in the quotes of a CO comment: HPGLText
// without the semicolon, at which plotters that do not know CO, and pass over
// what they do not know, would begin to read instructions again.
func HPGLComment(s string) string { return strings.ReplaceAll(HPGLText(s), ";", ".") }

// CommentText makes text that may stand inside the parentheses of an RS-274
// comment after a word of our own: printable ASCII; parentheses become square
// brackets, and the semicolon and percent sign, which begin a comment or end a
// program on some controllers, become '.' and '_'. At most MaxText bytes.
func CommentText(s string) string {
	return asciiOnly(s, func(r rune) rune {
		switch r {
		case '(':
			return '['
		case ')':
			return ']'
		case ';':
			return '.'
		case '%':
			return '_'
		}
		return r
	})
}

// asciiOnly spells text in printable ASCII as far as it can be spelt so.
func asciiOnly(s string, swap func(rune) rune) string {
	s = strings.NewReplacer("°", " deg", "±", "+-", "×", "x", "·", ".", "–", "-", "—", "-", "ß", "ss", "’", "'", "²", "2", "³", "3").Replace(s)
	var b strings.Builder
	for _, r := range norm.NFKD.String(OneLine(s)) {
		switch {
		case r >= ' ' && r <= '~':
			b.WriteRune(swap(r))
		case unicode.Is(unicode.Mn, r):
			// The accent of a letter that stays.
		default:
			b.WriteByte('?')
		}
		if b.Len() >= MaxText {
			break
		}
	}
	return strings.TrimRight(b.String(), " ")
}

// OneLine makes text valid UTF-8 on one line: every control character becomes
// a space, and what steers the direction of writing goes.
func OneLine(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r), r == '\u2028', r == '\u2029':
			return ' '
		case unicode.Is(unicode.Bidi_Control, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}
