package jobfile

import (
	"fmt"
	"strings"
	"unicode"
)

// longestCompared bounds the words that are compared, in runes: an edit
// distance takes time with the square of it.
const longestCompared = 64

// Nearest finds the known word most like word, ignoring case and the kind of
// separator, or "" where none is near: more than a third of the letters would
// have to change.
func Nearest(word string, known []string) string {
	w := folded(word)
	if len(w) == 0 || len(w) > longestCompared {
		return ""
	}
	best, bestDistance := "", len(w)/3+1
	if len(w) == 1 {
		bestDistance = 0
	}
	for _, k := range known {
		f := folded(k)
		if len(f) > longestCompared {
			continue
		}
		if diff := len(f) - len(w); diff > bestDistance || -diff > bestDistance {
			continue
		}
		if d := editDistance(w, f); d < bestDistance || d == bestDistance && best == "" {
			best, bestDistance = k, d
		}
	}
	return best
}

// folded is a word in lower case with every separator as one kind.
func folded(word string) []rune {
	return []rune(strings.Map(func(r rune) rune {
		switch r {
		case '-', ' ', '.':
			return '_'
		}
		return unicode.ToLower(r)
	}, word))
}

// editDistance counts the insertions, deletions, changes and swaps of
// neighbours that turn a into b.
func editDistance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(last[j]+1, row[j-1]+1, change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// longestList is how many known words a hint names when none is near.
const longestList = 16

// suggest is the hint for a word that is not known: the nearest known word, or
// a list of them all where it is short.
func suggest(word string, known []string) string {
	if n := Nearest(word, known); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	if len(known) == 0 || len(known) > longestList {
		return ""
	}
	quoted := make([]string, len(known))
	for i, k := range known {
		quoted[i] = quote(k)
	}
	return "known: " + strings.Join(quoted, ", ")
}
