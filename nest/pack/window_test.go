package pack

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// laid is a first layout of many plies and a stream that holds it.
func laid(t testing.TB, n int, turns bool) (*stream, *layout) {
	p := manyPlies(n)
	if turns {
		for i := range p.Pieces {
			p.Pieces[i].Orientations = []Orientation{{From: -2, To: 2}, {From: 178, To: 182}}
		}
	}
	w, err := prepare(p, nil)
	require.NoError(t, err)
	r := &runner{w: w}
	l := r.construct(t.Context())
	st := newStream(0, w, 1)
	st.ctx, st.report = t.Context(), func(*layout, string) {}
	st.clock = &clock{s: st.s, work: 1 << 40}
	st.adopt(&l)
	st.s.load(l.poses)
	return st, &l
}

// TestWindowsGain packs windows of a long strip anew, one after the other; the
// layout stays free of overlap, by the judge, and becomes shorter.
func TestWindowsGain(t *testing.T) {
	for _, turns := range []bool{false, true} {
		st, l := laid(t, 300, turns)
		st.zone = st.s.byCentre()
		st.s.budget = 600_000
		if turns {
			st.s.budget = 250_000
		}
		st.workOnZone(1)
		require.True(t, st.passes(st.current.poses), "turns %v", turns)
		require.Less(t, st.current.length, l.length, "turns %v", turns)
		require.Less(t, st.s.evals, st.s.budget+st.s.budget/20, "the last window keeps to what is left")
		t.Logf("%.1f from %.1f", st.current.length, l.length)
	}
}

// TestZonesKeepApart pins that plies of different zones keep clear of the
// borders between them, so that zones can be worked on side by side.
func TestZonesKeepApart(t *testing.T) {
	st, _ := laid(t, 300, false)
	s := st.s
	for round := range 10 {
		zones := s.zones(4, round)
		end, sum := -1e300, 0
		for _, z := range zones {
			require.NotEmpty(t, z)
			from, to := 1e300, -1e300
			for _, i := range z {
				from, to = min(from, s.box[i].MinX), max(to, s.box[i].MaxX)
			}
			require.GreaterOrEqual(t, from, end+s.gap)
			end, sum = to, sum+len(z)
		}
		require.Greater(t, sum, len(s.pose)/2, "few plies are between the zones")
	}
}

// TestWindowWorld pins that the world of a window, as it is, is free of overlap
// with what holds still around it, and that what follows its end does.
func TestWindowWorld(t *testing.T) {
	st, _ := laid(t, 300, false)
	order := st.s.byCentre()
	v := st.s.window(order[100:140], order)
	require.Len(t, v.behind, 160)
	require.NotEmpty(t, v.world.blocks)
	u := newState(v.world)
	u.length = v.length
	u.load(v.poses)
	require.True(t, u.valid())
	_, loss := u.findClashes(nil)
	require.Zero(t, loss)
	v.world.follow(v.length - 7)
	moved := 0
	for k := range v.world.blocks {
		if b := &v.world.blocks[k]; b.follows {
			moved++
			require.InDelta(t, v.length-7, b.end, 1e-9)
		}
	}
	require.NotZero(t, moved)
	require.False(t, u.valid(), "plies behind have moved into the window")
}

// TestWindowsInZones lets several streams work on zones of one layout, and asks
// that the whole be free of overlap and the same for any number of workers.
func TestWindowsInZones(t *testing.T) {
	p := manyPlies(300)
	set := Settings{Effort: 16, Seed: 5, Workers: 1}
	if testing.Short() {
		// As when looking for races: the exact finish has none.
		set.Effort, set.NoPolish = 8, true
	}
	one := solve(t, p, set)
	checkResult(t, p, one)
	set.Workers = 3
	require.Equal(t, one, solve(t, p, set))
}
