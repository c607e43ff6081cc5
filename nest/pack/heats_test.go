package pack

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The first turns of all contenders take as long as any later heat, and at least
// twice what the first needed to stumble.
func TestContenders(t *testing.T) {
	heats, more := contenders(1, 1)
	require.Equal(t, [2]int{1, 0}, [2]int{heats, more}, "no time for a second")
	heats, more = contenders(1, 8)
	require.Equal(t, [2]int{2, 1}, [2]int{heats, more}, "two heats of two turns of two")
	for _, all := range []float64{0.5, 3, 7.9, 8, 50, 1e3, 1e9} {
		heats, more := contenders(1, all)
		n := more + 1
		require.LessOrEqual(t, n, mostContenders)
		require.Equal(t, n, 1<<(heats-1), "each heat halves the field")
		if n > 1 {
			require.GreaterOrEqual(t, all/float64(heats*n), 2.0, "%v", all)
		}
		if n < mostContenders {
			require.Less(t, all/float64((heats+1)*2*n), 2.0, "%v: there was time for more", all)
		}
	}
}

// heatStream is a stream about to begin its heats, with work for the whole search.
func heatStream(t *testing.T, work int64) *stream {
	st := laidStream(t, 20, fixed(0, 180), false)
	st.bound = st.w.bound()
	st.plain, st.report = true, func(*layout, string) {}
	st.clock = &clock{s: st.s, work: work}
	st.startHeats()
	return st
}

// fieldOfFour sets four contenders, whatever the first needs to stumble.
func fieldOfFour(st *stream) {
	h := st.heats
	h.left, h.fresh = 3, 3
	h.until = h.from + (h.to-h.from)/12
}

// Heats go on with the better half until one climb is left: none that dropped out is
// shorter than the one it lost to, and the winner is what the stream goes on from.
func TestHeats(t *testing.T) {
	st := heatStream(t, 6_000_000)
	fieldOfFour(st)
	h := st.heats
	field := map[int]int{} // heats to come: contenders
	for st.heats != nil {
		require.False(t, st.optimal(), "nothing left to do")
		left, n := h.left, len(h.in)
		st.work(math.Min(1, st.clock.spent()+1e-4))
		if left > 0 && h.left == left-1 {
			field[left] = n
			for i := 1; i < len(h.in); i++ {
				require.LessOrEqual(t, h.in[i-1].current.length, h.in[i].current.length)
			}
		}
	}
	require.Equal(t, 1, h.left)
	require.Equal(t, map[int]int{3: 4, 2: 2}, field)
	require.Len(t, h.in, 1)
	require.Equal(t, st.best.length, st.current.length)
	require.Less(t, st.clock.spent(), h.to+0.1)
	require.Greater(t, st.climb.from, int64(float64(0.9*h.to)*6e6), "a new climb")
	st.s.load(st.current.poses)
	require.True(t, st.s.valid())
	require.LessOrEqual(t, st.s.reach(), st.current.length)
}

// It makes no difference how often heats, and the search after them, are interrupted.
func TestHeatsInterrupted(t *testing.T) {
	ends := func(step float64) *stream {
		st := heatStream(t, 3_000_000)
		fieldOfFour(st)
		for until := step; until < 0.8; until += step {
			st.work(until)
		}
		st.work(0.8)
		require.False(t, st.optimal(), "nothing left to do")
		require.Nil(t, st.heats)
		return st
	}
	a, b := ends(1), ends(0.003)
	require.Equal(t, a.s.evals, b.s.evals)
	require.Equal(t, a.best, b.best)
	require.Equal(t, a.current, b.current)
}

// Where the first climb takes all the time there is for heats, it goes on alone.
func TestHeatsOfOne(t *testing.T) {
	st := heatStream(t, 20_000)
	h := st.heats
	for until := 1.0; st.heats != nil; until++ {
		require.False(t, st.optimal(), "nothing left to do")
		st.work(until)
	}
	require.Nil(t, st.heats)
	require.Equal(t, 1, h.left)
	require.Len(t, h.in, 1)
}
