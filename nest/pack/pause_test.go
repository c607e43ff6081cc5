package pack

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPausedAttemptsGoOn runs the same attempt in one go and with a pause after
// every sweep: the layouts must be the same to the bit.
func TestPausedAttemptsGoOn(t *testing.T) {
	for _, turns := range []bool{false, true} {
		run := func(every int) (outcome, []pose, int) {
			st, _ := crowded(t, 60, turns)
			st.sep.begin(patience{sweeps: 12, strikes: 2})
			pauses, asked := 0, 0
			for {
				how := st.sep.run(func() bool {
					asked++
					return every > 0 && asked%(every+1) == 0
				})
				if how != paused {
					return how, append([]pose(nil), st.s.pose...), pauses
				}
				pauses++
			}
		}
		how, want, _ := run(0)
		again, got, pauses := run(1)
		require.Equal(t, how, again)
		require.Equal(t, want, got)
		require.Greater(t, pauses, 10, "the attempt was paused often")
	}
}
