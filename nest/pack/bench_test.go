package pack

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// crowded is a prepared separator on a strip 5 % too short.
func crowded(t testing.TB, n int, turns bool) (*stream, *layout) {
	p := manyPlies(n)
	p.Gap = 0
	if turns {
		for i := range p.Pieces {
			p.Pieces[i].Orientations = []Orientation{{From: -2, To: 2}, {From: 178, To: 182}}
		}
	}
	w, err := prepare(p, nil)
	require.NoError(t, err)
	r := &runner{w: w, set: Settings{}}
	l := r.construct(context.Background())
	for i := range w.tables.made {
		w.makeTable(i)
	}
	st := newStream(0, w, 1)
	for i := range st.s.asked {
		st.s.asked[i] = tableAfter
	}
	st.ctx = context.Background()
	st.shrink(&l, l.length*0.95)
	st.sep.clashes, _ = st.s.findClashes(st.sep.clashes)
	return st, &l
}

func BenchmarkMove(b *testing.B) {
	for _, turns := range []bool{false, true} {
		b.Run(fmt.Sprintf("turns=%v", turns), func(b *testing.B) {
			st, _ := crowded(b, 80, turns)
			s := st.s
			r := rand.New(rand.NewPCG(1, 2))
			b.ReportAllocs()
			s.evals = 0
			for b.Loop() {
				i := int32(r.IntN(len(s.pose)))
				now := s.cost(i, s.body[i], s.pose[i].x, s.pose[i].y, math.Inf(1))
				if now == 0 {
					now = 1e-3
				}
				p, c := s.bestPose(i, now, &defaultTuning, &st.rng)
				if c < now {
					s.place(i, p)
				}
			}
			b.ReportMetric(float64(s.evals)/float64(b.N), "poses/move")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(s.evals), "ns/pose")
		})
	}
}

func BenchmarkSweep(b *testing.B) {
	for _, n := range []int{80, 320, 1280} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			st, l := crowded(b, n, false)
			b.ReportAllocs()
			for b.Loop() {
				st.sep.sweep()
				if st.sep.update() == 0 {
					st.shrink(l, st.s.length*0.98)
					st.sep.clashes, _ = st.s.findClashes(st.sep.clashes)
				}
				st.s.reweigh(st.sep.clashes)
			}
		})
	}
}

func BenchmarkFirstLayout(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			p := manyPlies(n)
			ctx := context.Background()
			b.ReportAllocs()
			for b.Loop() {
				w, err := prepare(p, nil)
				require.NoError(b, err)
				r := &runner{w: w}
				l := r.construct(ctx)
				require.True(b, l.complete())
			}
		})
	}
}

// TestMovesDoNotAllocate pins that the inner loop leaves the collector alone.
func TestMovesDoNotAllocate(t *testing.T) {
	for _, turns := range []bool{false, true} {
		st, _ := crowded(t, 60, turns)
		sweep := func() {
			st.sep.sweep()
			st.sep.update()
			st.s.reweigh(st.sep.clashes)
		}
		for range 30 {
			sweep() // tables are made, cells grow
		}
		require.LessOrEqual(t, testing.AllocsPerRun(20, sweep), 3.0, "turns %v: a few cells may still grow", turns)
	}
}

// TestUpdateEqualsFindingAnew compares the list kept up to date with one made
// from scratch.
func TestUpdateEqualsFindingAnew(t *testing.T) {
	st, _ := crowded(t, 60, false)
	for range 40 {
		st.sep.sweep()
		sum := st.sep.update()
		fresh, want := st.s.findClashes(nil)
		require.InEpsilon(t, want+1, sum+1, 1e-9)
		require.Len(t, st.sep.clashes, len(fresh))
		st.s.reweigh(st.sep.clashes)
	}
}
