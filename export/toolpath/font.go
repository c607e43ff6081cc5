package toolpath

import (
	"strings"
	"unicode"

	"github.com/paulmach/orb"
	"golang.org/x/text/unicode/norm"

	"plyroom/shapes/steady"
)

// glyphs are letters of single strokes on a grid 4 wide and 6 high, base line
// at 0: two digits a vertex, a space between vertices, '|' between strokes.
// Small letters are drawn as capitals.
var glyphs = map[rune]string{
	'0': "10 30 41 45 36 16 05 01 10|01 45", '1': "14 26 20|10 30", '2': "05 16 36 45 44 00 40",
	'3': "05 16 36 45 44 33 42 41 30 10 01|13 33", '4': "30 36 02 42", '5': "46 06 04 34 43 41 30 10 01",
	'6': "46 26 04 01 10 30 41 42 33 03", '7': "06 46 10", '8': "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
	'9': "00 20 42 45 36 16 05 04 13 43",
	'A': "00 26 40|12 32", 'B': "00 06 36 45 44 33 03|33 42 41 30 00", 'C': "45 36 16 05 01 10 30 41",
	'D': "00 06 26 44 42 20 00", 'E': "46 06 00 40|03 33", 'F': "46 06 00|03 33",
	'G': "45 36 16 05 01 10 30 41 43 23", 'H': "00 06|40 46|03 43", 'I': "10 30|20 26|16 36",
	'J': "01 10 30 41 46", 'K': "00 06|46 03 40", 'L': "06 00 40", 'M': "00 06 23 46 40",
	'N': "00 06 40 46", 'O': "10 30 41 45 36 16 05 01 10", 'P': "00 06 36 45 44 33 03",
	'Q': "10 30 41 45 36 16 05 01 10|22 40", 'R': "00 06 36 45 44 33 03|23 40",
	'S': "01 10 30 41 42 33 13 04 05 16 36 45", 'T': "06 46|26 20", 'U': "06 01 10 30 41 46",
	'V': "06 20 46", 'W': "06 10 23 30 46", 'X': "00 46|06 40", 'Y': "06 23 46|23 20", 'Z': "06 46 00 40",
	'-': "13 33", '_': "00 40", '/': "00 46", '\\': "06 40", '.': "20 21", ',': "10 21", ':': "21 22|24 25", ';': "10 21|24 25",
	'+': "13 33|22 24", '=': "12 32|14 34", '(': "30 21 25 36", ')': "10 21 25 16", '[': "30 10 16 36", ']': "10 30 36 16",
	'<': "31 13 35", '>': "11 33 15", '\'': "25 26", '"': "15 16|35 36", '#': "11 15|31 35|02 42|04 44", '*': "12 34|14 32|13 33",
	'?': "05 16 36 45 44 23 22|20 21", '!': "26 22|20 21", '&': "40 05 16 25 02 01 10 20 42", '%': "00 46|05 16|30 41",
	'°': "14 16 36 34 14", '|': "20 26", '^': "14 26 34", '~': "03 14 32 43", '@': "32 22 24 34 31 41 45 36 16 05 01 10 40", '$': "01 30 42 33 13 04 16 45|20 26",
}

// Strokes are the lines of the label's text, centred at its place. Letters
// without a drawing are shown as '?'.
func (l *Label) Strokes() []orb.LineString {
	if l.Text == "" {
		return nil
	}
	text := []rune(strings.ToUpper(plain(l.Text)))
	unit := l.Height / 6
	narrow := 0.8 * unit // so that letters stand apart
	step := float64(l.Height * textAdvance)
	sin, cos := steady.SincosDegrees(l.Angle)
	left := float64(-(float64(step*float64(len(text))) - (step - float64(4*narrow))) / 2)
	var out []orb.LineString
	for i, r := range text {
		g, ok := glyphs[r]
		if !ok {
			if r == ' ' {
				continue
			}
			g = glyphs['?']
		}
		for _, stroke := range strings.Split(g, "|") {
			var line orb.LineString
			for _, v := range strings.Fields(stroke) {
				x := left + float64(step*float64(i)) + float64(narrow*float64(v[0]-'0'))
				y := float64(unit*float64(v[1]-'0')) - l.Height/2
				line = append(line, orb.Point{l.At[0] + float64(x*cos) - float64(y*sin), l.At[1] + float64(x*sin) + float64(y*cos)})
			}
			out = append(out, line)
		}
	}
	return out
}

// plain drops accents and makes every control character a space.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r):
			return -1
		case unicode.IsControl(r):
			return ' '
		}
		return r
	}, norm.NFKD.String(s))
}
