package table

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Cell is one field of a table.
type Cell struct {
	text   string
	figure bool
}

// Text is a cell of text, whatever it holds.
func Text(s string) Cell { return Cell{text: s} }

// Blank is an empty cell: nothing known, nothing there.
func Blank() Cell { return Cell{} }

// Int is a whole figure.
func Int(v int) Cell { return Cell{text: strconv.Itoa(v), figure: true} }

// Number is a figure with a fixed number of decimals, rounded half away from
// zero. What is not finite is blank, and there is no -0.
func Number(v float64, decimals int) Cell {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Blank()
	}
	s := strconv.FormatFloat(roundTo(v, decimals), 'f', decimals, 64)
	if strings.HasPrefix(s, "-") && strings.Trim(s, "-0.") == "" {
		s = s[1:]
	}
	return Cell{text: s, figure: true}
}

// roundTo rounds half away from zero where v, as written in the shortest way,
// ends in a five: 1.005 is 1.01 with two decimals.
func roundTo(v float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	r := math.Round(v*scale*(1+4e-16)) / scale
	if math.IsInf(r, 0) || math.IsNaN(r) {
		return v
	}
	return r
}

// String is the cell as it is shown to people.
func (c Cell) String() string { return c.text }

// csv is the cell as it stands in a CSV file.
func (c Cell) csv() string {
	if c.figure {
		return c.text
	}
	return Harmless(c.text)
}

// Harmless returns text that no spreadsheet takes for a formula: where the
// first visible character is one that starts a formula (= + - @, or their
// full-width forms) or the text begins with a tab or line break, an apostrophe
// is put in front. NUL and bytes that are not UTF-8 are replaced.
func Harmless(s string) string {
	s = strings.ToValidUTF8(s, string(utf8.RuneError))
	s = strings.ReplaceAll(s, "\x00", string(utf8.RuneError))
	if s == "" {
		return s
	}
	if strings.ContainsRune("\t\r\n", rune(s[0])) {
		return "'" + s
	}
	// Space and invisible characters are skipped by some programs.
	seen := strings.TrimLeftFunc(s, func(r rune) bool {
		return unicode.IsSpace(r) || unicode.In(r, unicode.Cf, unicode.Cc)
	})
	if first, _ := utf8.DecodeRuneInString(seen); strings.ContainsRune("=+-@＝＋－＠−", first) && seen != "" {
		return "'" + s
	}
	return s
}

// Plain returns text that is safe to print on a terminal or on one line of
// paper: line breaks and tabs become spaces, other control and invisible
// formatting characters are replaced, and so are bytes that are not UTF-8.
func Plain(s string) string {
	s = strings.ToValidUTF8(s, string(utf8.RuneError))
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n', r == '\t', r == '\r', r == '\u2028', r == '\u2029':
			return ' '
		case unicode.In(r, unicode.Cf, unicode.Cc):
			return utf8.RuneError
		}
		return r
	}, s)
}

// Figure is the cell as a number, where it is one, for formats that tell
// figures from text.
func (c Cell) Figure() (float64, bool) {
	if !c.figure {
		return 0, false
	}
	v, err := strconv.ParseFloat(c.text, 64)
	return v, err == nil
}
