package export

import (
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// MaxFileName is the longest name SafeFileName returns, bytes. It leaves room
// for a prefix and an extension within the 143 bytes of the narrowest file
// systems in use.
const MaxFileName = 80

// hashed recognises names that already end as SafeFileName ends the names it
// had to change.
var hashed = regexp.MustCompile(`-[0-9a-f]{8}$`)

// SafeFileName turns any text into one portable path element: ASCII letters,
// digits, '.', '_' and '-', not empty, at most MaxFileName bytes, no leading
// or trailing dot, no leading dash, no device name. Accents are dropped, other
// characters become '_'.
//
// Text that is already such a name comes back unchanged. Where it had to
// change, eight hexadecimal digits of its SHA-256 follow, so that two texts do
// not meet in one name. Names that differ only in case stay different only
// where the file system tells case apart; Folder refuses such a second name.
func SafeFileName(s string) string {
	clean := plainName(s)
	if clean == s && len(s) <= MaxFileName && !hashed.MatchString(s) && !deviceName(s) {
		return s
	}
	sum := sha256.Sum256([]byte(s))
	tail := "-" + hex.EncodeToString(sum[:4])
	if len(clean) > MaxFileName-len(tail)-1 {
		clean = strings.TrimRight(clean[:MaxFileName-len(tail)-1], "._-")
	}
	if deviceName(clean) {
		clean = "_" + clean
	}
	return clean + tail
}

// plainName replaces what is not portable and trims what must not begin or
// end a name. It never returns an empty string.
func plainName(s string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToValidUTF8(s, "_")) {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '.', r == '_':
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r):
			// The accent of a letter that stays.
		default:
			b.WriteByte('_')
		}
		if b.Len() > 2*MaxFileName {
			break
		}
	}
	out := strings.TrimRight(strings.TrimLeft(b.String(), ".-"), ".")
	for strings.Contains(out, "..") {
		out = strings.ReplaceAll(out, "..", ".")
	}
	if out == "" {
		return "_"
	}
	return out
}

// deviceName reports whether a name, up to its first dot, is one that some
// systems keep for devices.
func deviceName(s string) bool {
	stem, _, _ := strings.Cut(strings.ToUpper(s), ".")
	switch stem {
	case "CON", "PRN", "AUX", "NUL", "CLOCK$", "CONIN$", "CONOUT$":
		return true
	}
	return len(stem) == 4 && (strings.HasPrefix(stem, "COM") || strings.HasPrefix(stem, "LPT")) && stem[3] >= '0' && stem[3] <= '9'
}
