package drawing

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// codePages are the values of $DWGCODEPAGE, in lower case without separators.
var codePages = map[string]encoding.Encoding{
	"ansi874": charmap.Windows874, "ansi932": japanese.ShiftJIS, "ansi936": simplifiedchinese.GBK,
	"ansi949": korean.EUCKR, "ansi950": traditionalchinese.Big5,
	"ansi1250": charmap.Windows1250, "ansi1251": charmap.Windows1251, "ansi1252": charmap.Windows1252,
	"ansi1253": charmap.Windows1253, "ansi1254": charmap.Windows1254, "ansi1255": charmap.Windows1255,
	"ansi1256": charmap.Windows1256, "ansi1257": charmap.Windows1257, "ansi1258": charmap.Windows1258,
	"dos437": charmap.CodePage437, "dos850": charmap.CodePage850, "dos852": charmap.CodePage852,
	"dos855": charmap.CodePage855, "dos860": charmap.CodePage860, "dos862": charmap.CodePage862,
	"dos863": charmap.CodePage863, "dos865": charmap.CodePage865, "dos866": charmap.CodePage866,
	"dos932": japanese.ShiftJIS, "gb2312": simplifiedchinese.GBK, "big5": traditionalchinese.Big5,
	"ksc5601": korean.EUCKR, "macroman": charmap.Macintosh, "mac": charmap.Macintosh,
	"iso88591": charmap.ISO8859_1, "iso88592": charmap.ISO8859_2, "iso88595": charmap.ISO8859_5,
	"iso88599": charmap.ISO8859_9,
}

// textDecoder turns the bytes of a DXF text into a string.
type textDecoder struct {
	page encoding.Encoding // nil: UTF-8
	// stated says that the file names its code page.
	stated bool
}

// codePage finds a code page by the name a file gives it.
func codePage(name string) (encoding.Encoding, bool) {
	name = strings.NewReplacer("_", "", "-", "", " ", "").Replace(strings.ToLower(name))
	e, ok := codePages[name]
	return e, ok
}

func (d textDecoder) decode(b []byte) string {
	var s string
	switch {
	case isASCII(b):
		s = string(b)
	case d.page == nil || !d.stated && utf8.Valid(b):
		s = strings.ToValidUTF8(string(b), "\uFFFD")
	default:
		out, err := d.page.NewDecoder().Bytes(b)
		if err != nil {
			out = b
		}
		s = strings.ToValidUTF8(string(out), "\uFFFD")
	}
	return unescapeText(s)
}

func isASCII(b []byte) bool {
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// multiByte are the code pages of \M+n escapes by their digit.
var multiByte = map[byte]encoding.Encoding{
	'1': japanese.ShiftJIS, '2': traditionalchinese.Big5, '3': korean.EUCKR, '5': simplifiedchinese.GBK,
}

// unescapeText resolves \U+XXXX and \M+nXXXX.
func unescapeText(s string) string {
	if !strings.Contains(s, `\U+`) && !strings.Contains(s, `\M+`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		if strings.HasPrefix(s[i:], `\U+`) && i+7 <= len(s) {
			if v, err := strconv.ParseUint(s[i+3:i+7], 16, 32); err == nil {
				b.WriteRune(rune(v))
				i += 7
				continue
			}
		}
		if strings.HasPrefix(s[i:], `\M+`) && i+8 <= len(s) {
			v, err := strconv.ParseUint(s[i+4:i+8], 16, 32)
			if e, ok := multiByte[s[i+3]]; ok && err == nil {
				if out, err := e.NewDecoder().Bytes([]byte{byte(v >> 8), byte(v)}); err == nil {
					b.Write(out)
					i += 8
					continue
				}
			}
		}
		b.WriteByte(s[i])
		i++
	}
	return b.String()
}

// plainText resolves the %% codes of single-line text.
func plainText(s string) string {
	if !strings.Contains(s, "%%") {
		return strings.TrimSpace(s)
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		if !strings.HasPrefix(s[i:], "%%") || i+2 >= len(s) {
			b.WriteByte(s[i])
			i++
			continue
		}
		c := s[i+2]
		i += 3
		switch c {
		case 'd', 'D':
			b.WriteString("°")
		case 'c', 'C':
			b.WriteString("⌀")
		case 'p', 'P':
			b.WriteString("±")
		case 'u', 'U', 'o', 'O', 'k', 'K':
		case '%':
			b.WriteByte('%')
		default:
			if v, err := strconv.Atoi(s[i-1 : min(i+2, len(s))]); err == nil && i+2 <= len(s) && v > 0 && v < 256 {
				b.WriteRune(rune(v))
				i += 2
			} else {
				b.WriteString("%%")
				i--
			}
		}
	}
	return strings.TrimSpace(b.String())
}

// plainMText drops the formatting of multi-line text; lines are separated by
// \n.
func plainMText(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		switch c := s[i]; c {
		case '{', '}':
		case '^':
			// ^I is a tab, ^J a line end; "^ " a caret.
			if i+1 < len(s) {
				i++
				switch s[i] {
				case 'I':
					b.WriteByte(' ')
				case 'J':
					b.WriteByte('\n')
				case ' ':
					b.WriteByte('^')
				}
			}
		case '\\':
			if i+1 >= len(s) {
				break
			}
			i++
			switch s[i] {
			case 'P', 'N', 'X':
				b.WriteByte('\n')
			case '~':
				b.WriteByte(' ')
			case '\\', '{', '}':
				b.WriteByte(s[i])
			case 'L', 'l', 'O', 'o', 'K', 'k':
			case 'S':
				// Stacked text keeps its words: 1/2, 1#2, 1^ 2.
				end := strings.IndexByte(s[i:], ';')
				if end < 0 {
					end = len(s) - i
				}
				b.WriteString(strings.NewReplacer("#", "/", "^ ", "/", "^", "/").Replace(s[i+1 : i+end]))
				i += end
			case 'A', 'C', 'c', 'F', 'f', 'H', 'Q', 'T', 'W', 'p':
				end := strings.IndexByte(s[i:], ';')
				if end < 0 {
					end = len(s) - i
				}
				i += end
			default:
				b.WriteByte(s[i])
			}
		default:
			b.WriteByte(c)
		}
	}
	lines := strings.Split(plainText(b.String()), "\n")
	kept := lines[:0]
	for _, l := range lines {
		if l = strings.TrimSpace(l); l != "" {
			kept = append(kept, l)
		}
	}
	return strings.Join(kept, "\n")
}
