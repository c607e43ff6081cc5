package pack

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// kicked is a stream that holds a layout of forty plies free of overlap.
func kicked(t *testing.T, o []Orientation, obstacle bool) *stream {
	return laidStream(t, 40, o, obstacle)
}

// laidStream is a stream that holds a layout of n plies free of overlap.
func laidStream(t *testing.T, n int, o []Orientation, obstacle bool) *stream {
	p := manyPlies(n)
	for i := range p.Pieces {
		p.Pieces[i].Orientations = o
	}
	if obstacle {
		p.Obstacles = append(p.Obstacles, orb.Bound{Min: orb.Point{300, 200}, Max: orb.Point{420, 330}})
	}
	w, err := prepare(p, nil)
	require.NoError(t, err)
	l := (&runner{w: w}).construct(t.Context())
	require.True(t, l.complete())
	st := newStream(0, w, 1)
	st.ctx = t.Context()
	st.clock = &clock{s: st.s}
	st.adopt(&l)
	st.s.length = l.length
	st.s.load(l.poses)
	return st
}

// TestKicksKeepToTheRules kicks layouts many times: plies stay on the strip, in
// orientations they may have, and the grid knows where they lie.
func TestKicksKeepToTheRules(t *testing.T) {
	for name, o := range map[string][]Orientation{
		"one way":    fixed(0),
		"either way": fixed(0, 180),
		"turning":    {{From: -2, To: 2}, {Mirrored: true, From: 178, To: 182}},
		"any angle":  {{From: 0, To: 360}},
	} {
		t.Run(name, func(t *testing.T) {
			st := kicked(t, o, name == "turning")
			s := st.s
			for k := noKick + 1; k < kicks; k++ {
				if !st.usable(k) || k == fresh || k == recut {
					continue
				}
				changed := false
				for range 30 {
					before := append([]pose(nil), s.pose...)
					st.disturb(k)
					for i := range s.pose {
						p, kd := &s.pose[i], &s.w.kinds[s.w.items[i]]
						changed = changed || *p != before[i]
						if p.variant < 0 {
							require.Equal(t, p.degrees, kd.clampAngle(p.mirrored, p.degrees, p.degrees))
							_, ok := kd.span(p.mirrored, p.degrees)
							require.True(t, ok, "%v %v", p.mirrored, p.degrees)
						} else {
							require.Less(t, int(p.variant), len(kd.variants))
						}
						q := *p
						require.True(t, s.clamp(&q, s.body[i]))
						require.InDelta(t, p.x, q.x, 1e-9, "off the strip")
						require.InDelta(t, p.y, q.y, 1e-9, "off the strip")
					}
					got, sum := s.findClashes(nil)
					clashes := len(got)
					s.load(append([]pose(nil), s.pose...))
					again, want := s.findClashes(nil)
					require.Len(t, again, clashes)
					require.InDelta(t, want, sum, 1e-9*(1+want))
				}
				require.True(t, changed, "kick %d does nothing", k)
			}
		})
	}
}

// TestStretchesMoveAsOne pins that plies moved by the same exchange or reversal
// do not come to overlap each other where nothing pushed them aside.
func TestStretchesMoveAsOne(t *testing.T) {
	for _, k := range []kick{exchange, reverse, cycle} {
		st := kicked(t, fixed(0, 180), false)
		s := st.s
		start := append([]pose(nil), s.pose...)
		moved := 0
		for range 20 {
			s.load(start)
			st.disturb(k)
			groups := map[[2]float64][]int32{}
			for i := range s.pose {
				key := [2]float64{s.pose[i].x - start[i].x, s.pose[i].y - start[i].y}
				if k == reverse { // x and y change sign
					key = [2]float64{s.pose[i].x + start[i].x, s.pose[i].y + start[i].y}
				}
				groups[[2]float64{round(key[0]), round(key[1])}] = append(groups[[2]float64{round(key[0]), round(key[1])}], int32(i))
			}
			for _, g := range groups {
				for _, i := range g {
					for _, j := range g {
						if i < j {
							require.Zero(t, s.pair(s.body[i], s.w.items[i], s.pose[i].x, s.pose[i].y, j, 1e300))
							moved++
						}
					}
				}
			}
		}
		require.Greater(t, moved, 100)
	}
}

// TestReversedPliesLieHalfRound: plies with a tolerance keep their deviation and
// turn half round where they may; others keep their angle.
func TestReversedPliesLieHalfRound(t *testing.T) {
	for _, either := range []bool{true, false} {
		o := []Orientation{{From: -2, To: 2}}
		if either {
			o = append(o, Orientation{From: 178, To: 182})
		}
		st := kicked(t, o, false)
		before := append([]pose(nil), st.s.pose...)
		turned := 0
		for range 10 {
			st.s.load(before)
			st.disturb(reverse)
			for i, p := range st.s.pose {
				by := math.Abs(p.degrees - before[i].degrees)
				require.True(t, by == 0 || by == 180, "%v from %v", p.degrees, before[i].degrees)
				if by == 180 {
					turned++
				}
			}
		}
		require.Equal(t, either, turned > 0)
	}
}

// TestKicksLookAtWhatIsThere: kinds of which a window holds no ply are none to
// be swapped or turned.
func TestKicksLookAtWhatIsThere(t *testing.T) {
	st := kicked(t, fixed(0, 180), false)
	require.True(t, st.usable(swapAlike))
	require.True(t, st.usable(turnFew))
	st.zone = st.s.byCentre()
	var alike []int32
	for _, i := range st.zone {
		if st.w.items[i] == st.w.items[0] {
			alike = append(alike, i)
		}
	}
	v := newStream(0, st.s.window(alike, st.zone).world, 1)
	require.False(t, v.usable(swapAlike))
	require.False(t, v.usable(swapLarge))
	require.True(t, v.usable(turnFew))
	for i := range v.w.kinds {
		if v.w.kinds[i].count > 0 {
			v.w.kinds[i].variants = v.w.kinds[i].variants[:1]
		}
	}
	require.False(t, v.usable(turnFew))
}

// round is a coordinate to a millionth.
func round(v float64) float64 { return float64(int64(v*1e6+0.5)) / 1e6 }

// TestKicksAreLearnt pins that what wins is chosen more often, that nothing is
// ever given up, and that what makes no sense is not chosen.
func TestKicksAreLearnt(t *testing.T) {
	rng := newRandom(1, 2)
	shares := func(r *kickRecord) (n [kicks]int) {
		for range 10_000 {
			n[r.choose(func(k kick) bool { return k != turnFew }, &rng)]++
		}
		return n
	}
	var r kickRecord
	first := shares(&r)
	require.Zero(t, first[turnFew])
	require.Zero(t, first[noKick])
	require.Greater(t, first[jump], first[swapLarge])
	evals := int64(0)
	for n := range 400 {
		k := noKick + 1 + kick(n)%(kicks-1)
		r.begin(k, evals)
		evals += 1000
		r.end(k == swapLarge && n%3 == 0, evals)
	}
	r.end(true, evals) // nothing underway: of no effect
	require.Equal(t, 400, r.n)
	then := shares(&r)
	require.Greater(t, then[swapLarge], then[jump])
	for k := noKick + 1; k < kicks; k++ {
		if k != turnFew {
			require.Positive(t, then[k], "kick %d", k)
		}
	}
	// The same wins for ten times the work are worth less.
	var cheap, dear kickRecord
	for range 50 {
		for k, work := range map[kick]int64{jump: 100, rotate: 1000} {
			cheap.begin(k, 0)
			cheap.end(true, work)
		}
		dear.begin(jump, 0)
		dear.end(false, 100)
	}
	require.Greater(t, cheap.worth(jump), cheap.worth(rotate))
	require.Less(t, dear.worth(jump), kickPrior[jump]/100)
}
