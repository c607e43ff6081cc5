package jobfile

import (
	"fmt"
	"strconv"
	"strings"
)

// smallRemnant is how short a remnant is taken for a slip, as a share of its
// width: pieces shorter than they are wide are kept on purpose.
const smallRemnant = 0.1

// A statedLength is a length of fabric that the job states.
type statedLength struct {
	// what names the length: roll "R-1".
	what string
	node *node
	// length and width are mm.
	length, width float64
	remnant       bool
}

// stateLength keeps a length for checkLengths, which knows the rules of the
// table.
func (r *reader) stateLength(m *fields, key, what string, length, width float64, remnant bool) {
	if m.has(key) && length > 0 {
		r.lengths = append(r.lengths, statedLength{what, m.at(key), length, width, remnant})
	}
}

// checkLengths doubts lengths of fabric on which nothing can lie, and those
// without a unit that are shorter than the fabric is wide: most of them are
// metres.
func (r *reader) checkLengths() {
	for _, l := range r.lengths {
		ends := 2 * r.job.Cutting.EndAllowance
		least := l.width
		if l.remnant {
			least *= smallRemnant
		}
		_, err := strconv.ParseFloat(strings.TrimSpace(l.node.text), 64)
		bare := err == nil && r.bare != "m"
		var why string
		switch {
		case l.length <= ends:
			why = fmt.Sprintf("no more than two end allowances of %s mm: nothing can lie on it", figure(r.job.Cutting.EndAllowance))
		case !bare:
			continue
		case l.length < least && l.remnant:
			why = "less than a tenth of its width"
		case l.length < least:
			why = "less than its fabric is wide"
		default:
			continue
		}
		hint := ""
		if bare {
			hint = fmt.Sprintf("is that metres? Then write %s m", strings.TrimSpace(l.node.text))
		}
		r.doubt(l.node, "", fmt.Sprintf("%s is %s mm long, %s", l.what, figure(l.length), why), hint)
	}
}
