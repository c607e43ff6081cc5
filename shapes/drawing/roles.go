package drawing

import (
	"strings"
	"unicode"
)

// role is what the names round a line say it is.
type role int

const (
	rolePlain  role = iota
	roleSlit        // cut, where open
	roleMark        // never cut
	roleDatum       // the datum axis
	roleIgnore      // passed over
)

var (
	datumWords  = []string{"datum"}
	slitWords   = []string{"slit", "dart", "cut"}
	markWords   = []string{"mark", "notch", "drape", "note", "pen", "label", "text", "annot", "ink"}
	ignoreWords = []string{"frame", "border", "title", "dimension", "dim", "viewport", "defpoint"}
)

// role reads the names round a piece, nearest first.
func (o *origin) role() role {
	for _, n := range []struct {
		name     string
		anywhere bool // slit words may stand within a word
		ignore   bool // may say that it is to be passed over
	}{{o.id, false, false}, {o.title, false, false}, {o.class, true, true}, {o.group, false, false}, {o.layer, true, true}} {
		if n.name == "" {
			continue
		}
		words := splitWords(n.name)
		switch {
		case beginsAny(words, datumWords):
			return roleDatum
		case beginsAny(words, slitWords), n.anywhere && containsAny(n.name, slitWords):
			return roleSlit
		case beginsAny(words, markWords):
			return roleMark
		case n.ignore && beginsAny(words, ignoreWords):
			return roleIgnore
		}
	}
	return rolePlain
}

// furniture is the layer or class that says to pass a piece over.
func (o *origin) furniture() string {
	if beginsAny(splitWords(o.class), ignoreWords) {
		return o.class
	}
	return o.layer
}

// splitWords cuts a name into lower-case words at everything that is no letter
// and where a capital follows a small letter.
func splitWords(s string) []string {
	var out []string
	var w []rune
	flush := func() {
		if len(w) > 0 {
			out = append(out, strings.ToLower(string(w)))
			w = w[:0]
		}
	}
	small := false
	for _, r := range s {
		if !unicode.IsLetter(r) {
			flush()
			small = false
			continue
		}
		if unicode.IsUpper(r) && small {
			flush()
		}
		small = unicode.IsLower(r)
		w = append(w, r)
	}
	flush()
	return out
}

func beginsAny(words, starts []string) bool {
	for _, w := range words {
		for _, s := range starts {
			if strings.HasPrefix(w, s) && (len(s) > 3 || len(w) <= len(s)+4) {
				return true
			}
		}
	}
	return false
}

func containsAny(name string, parts []string) bool {
	name = strings.ToLower(name)
	for _, p := range parts {
		if strings.Contains(name, p) {
			return true
		}
	}
	return false
}
