package plan

import (
	"fmt"

	"plyroom/shapes"
)

// CannotLay says that the job cannot be laid, and names the plies.
type CannotLay struct {
	Problems shapes.Problems
}

// Error writes one line per ply.
func (e *CannotLay) Error() string { return e.Problems.Error() }

// Wrong says that a plan did not pass the verifier or its books do not
// balance: a fault of plyroom, never of the job. Nothing may be written then.
type Wrong struct {
	// Findings name the rules broken, one a line.
	Findings []string
}

// Error lists what is wrong.
func (e *Wrong) Error() string {
	s := "the plan did not pass its own check, so nothing is written; this is a fault in plyroom, please keep the job and report it"
	for _, f := range e.Findings {
		s += "\n" + f
	}
	return s
}

func millimetres(v float64) string { return fmt.Sprintf("%.1f mm", v) }
