package jobfile

import (
	"strconv"
	"strings"
	"unicode"
)

// longestQuoted bounds how much of a text from a file a message repeats, in
// runes.
const longestQuoted = 60

// quote repeats a text from a file inside a message, on one line and without
// control characters.
func quote(text string) string {
	if runes := []rune(text); len(runes) > longestQuoted {
		text = string(runes[:longestQuoted]) + "…"
	}
	return strconv.Quote(text)
}

// label is a name for use outside quotes: as it is where it is plain, quoted
// where it holds anything a terminal or a reader could stumble over.
func label(name string) string {
	plain := len([]rune(name)) <= longestQuoted && strings.TrimSpace(name) == name && name != ""
	for _, r := range name {
		if !unicode.IsPrint(r) || r == '"' || r == ':' || r == ';' {
			plain = false
		}
	}
	if plain {
		return name
	}
	return quote(name)
}
