package run

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A kit list tells of rolls used past their day, not of the search nor of what
// counts the whole job.
func TestKitNotes(t *testing.T) {
	expired := "roll R-1 expired on 2026-01-01" + UsedAnyway
	require.Equal(t, []string{expired}, kitNotes([]string{
		`"CSM 450" is a mat and has no direction: what 28 plies state as direction or tolerance is not used`,
		expired,
		"the best of 3 orders of rolls reckoned from areas",
	}))
}
