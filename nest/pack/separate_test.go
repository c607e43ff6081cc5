package pack

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The last sweep's success counts even where it was all the search had left.
func TestSearchThatEndsWithASuccessHasIt(t *testing.T) {
	attempt := func(budget int64) (outcome, *state) {
		st := kicked(t, fixed(0), false)
		st.shrink(&st.current, 0.9995*st.current.length)
		st.s.budget = budget
		st.sep.begin(smallPatience)
		require.Positive(t, st.sep.loss)
		return st.sep.run(func() bool { return false }), st.s
	}
	how, s := attempt(0)
	require.Equal(t, parted, how)
	all := s.evals
	how, s = attempt(all)
	require.Equal(t, parted, how)
	require.Equal(t, all, s.evals)
	require.True(t, s.valid())
	how, _ = attempt(all / 2)
	require.Equal(t, dropped, how)
}
