package pack

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// stuckStream is a stream whose kicks have led nowhere at the length it tries.
func stuckStream(t *testing.T, obstacle bool) *stream {
	st := kicked(t, fixed(0, 180), obstacle)
	st.plain, st.report = true, func(*layout, string) {}
	st.clock = &clock{s: st.s, work: 1000}
	st.step = leastStep
	st.target = st.current.length * (1 - leastStep)
	st.climb = climb{from: 0, won: 1000}
	st.s.evals = 2000
	for range stillKicks {
		st.kicks.begin(jump, st.s.evals)
		st.s.evals += 100
		st.kicks.end(false, st.s.evals)
	}
	return st
}

// A stream stands still by its own work only: neither soon after a success, nor
// as long as its climb has taken much longer, nor in a window.
func TestStandingStill(t *testing.T) {
	st := stuckStream(t, false)
	require.True(t, st.standsStill())
	st.climb.won = st.s.evals - 100
	require.False(t, st.standsStill(), "a success was just now")
	st.climb = climb{from: 0, won: 1000}
	st.s.evals = 1000 + stillKicks*100
	require.False(t, st.standsStill(), "too few kicks")
	st.climb = climb{from: 0, won: 1_000_000}
	st.s.evals = 1_050_000
	require.False(t, st.standsStill(), "a twentieth of the climb")
	st.s.evals = 1_200_000
	require.True(t, st.standsStill())
	st.clock.work = 100_000_000
	require.False(t, st.standsStill(), "a five-hundredth of the search")
	st.clock.work = 1000
	st.within = true
	require.False(t, st.standsStill())
}

// A loosened layout is free of overlap and longer than the best, which stays as
// it is until something shorter is found; from there the strip gets shorter again
// by bold steps.
func TestLoosenedLayoutsStartAnotherClimb(t *testing.T) {
	for _, obstacle := range []bool{false, true} {
		st := stuckStream(t, obstacle)
		best := st.best
		longer := 0
		for range 20 {
			st.s.evals += 1 << 30
			st.pool = append(st.pool, stuck{append([]pose(nil), st.s.pose...), 1})
			st.loosen()
			require.Empty(t, st.pool)
			for n := 0; st.climb.loosening; n++ {
				require.Less(t, n, 100)
				require.Greater(t, st.target, best.length)
				require.Equal(t, st.target, st.s.length)
				st.explore()
				st.explored(st.sep.run(func() bool { return false }) == parted)
			}
			require.Zero(t, st.target)
			require.Equal(t, firstStep, st.step)
			require.True(t, st.s.valid())
			require.False(t, st.standsStill())
			require.LessOrEqual(t, st.best.length, best.length)
			if st.current.length > st.best.length {
				longer++
			}
			best = st.best
		}
		require.Positive(t, longer)
		st.loosen()
		st.adopt(&best)
		require.False(t, st.climb.loosening)
		require.Zero(t, st.target)
		require.Equal(t, climb{from: st.s.evals, won: st.s.evals, wonAt: st.clock.spent()}, st.climb,
			"a layout handed over has its own climb")
	}
}
