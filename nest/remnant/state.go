package remnant

import (
	"fmt"
	"regexp"
)

// State is what may be done with a remnant.
type State string

// The states. A remnant in doubt was held by a run that ended while it wrote
// its result, and the result is not where it should be.
const (
	Free      State = "free"
	Reserved  State = "reserved"
	InDoubt   State = "in doubt"
	Used      State = "used"
	Discarded State = "discarded"
)

// Words in file names besides the states that are written so: a remnant about
// to be settled, and the remnant itself.
const (
	settling = "settling"
	itself   = "json"
)

var fileName = regexp.MustCompile(`^(RM-[A-Z0-9]{8})\.(json|free|used|discarded|(reserved|settling)\.([0-9a-f]{8}-[0-9]+-[0-9a-f]{12}))$`)

// A name is the name of a file of a remnant, taken apart.
type name struct {
	id    string
	word  string // free, reserved, settling, used, discarded, or json
	owner owner  // of reserved and settling
}

// parse reads a file name; false where it is no remnant's.
func parse(file string) (name, bool) {
	m := fileName.FindStringSubmatch(file)
	if m == nil {
		return name{}, false
	}
	if m[3] != "" {
		return name{m[1], m[3], owner(m[4])}, true
	}
	return name{id: m[1], word: m[2]}, true
}

func (n name) file() string {
	if n.owner != "" {
		return fmt.Sprintf("%s.%s.%s", n.id, n.word, string(n.owner))
	}
	return fmt.Sprintf("%s.%s", n.id, n.word)
}

func (n name) with(word string, o owner) name { return name{n.id, word, o} }
