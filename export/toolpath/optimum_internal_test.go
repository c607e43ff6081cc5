package toolpath

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
)

// best tries every legal order of a tour, each with its best starts.
func (t *tour) bruteForce() float64 {
	best := math.Inf(1)
	n := len(t.nodes)
	try := &tour{nodes: t.nodes, home: t.home, band: t.band, choice: make([]int16, n), pos: make([]int32, n)}
	try.in, try.out = append(try.in, t.in...), append(try.out, t.out...)
	used := make([]bool, n)
	var walk func()
	walk = func() {
		if len(try.seq) == n {
			try.chooseStarts()
			best = math.Min(best, try.travel())
			return
		}
		least := math.Inf(1)
		for i := range n {
			if !used[i] {
				least = math.Min(least, t.nodes[i].key)
			}
		}
		for i := range n {
			ok := !used[i] && t.nodes[i].key < least+t.band
			for _, b := range t.nodes[i].before {
				ok = ok && used[b]
			}
			if ok {
				used[i] = true
				try.seq = append(try.seq, int32(i))
				walk()
				try.seq = try.seq[:len(try.seq)-1]
				used[i] = false
			}
		}
	}
	walk()
	return best
}

// On layouts small enough to try every order, the order found is the best one,
// and the bound stays below it.
func TestSmallLayoutsAreOrderedBest(t *testing.T) {
	checked := 0
	for seed := uint64(0); seed < 40; seed++ {
		rec := cutcase.Random(seed, 3+int(seed%4))
		m := Machine{Along: []float64{-1, 100}[seed%2], Kind: []Kind{Tangential, Drag}[seed/2%2]}
		p, err := Plan(rec, &rec.Layouts[0], m)
		require.NoError(t, err)
		tr := p.tours[0]
		if len(tr.nodes) > 8 {
			continue
		}
		checked++
		best := tr.bruteForce()
		assert.InDelta(t, best, p.Stats.OrderTravel, 1e-6, "seed %d, %d cuts", seed, len(tr.nodes))
		assert.LessOrEqual(t, p.TravelBound(), best+1e-3, "seed %d", seed)
		assert.Greater(t, p.TravelBound(), best/5, "seed %d", seed)
	}
	assert.Greater(t, checked, 25)
}

// An arborescence of random costs is as cheap as the cheapest of all.
func TestArborescence(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n := 2 + rng.IntN(5)
		w := make([][]float64, n)
		for i := range w {
			w[i] = make([]float64, n)
			for j := range w[i] {
				w[i][j] = float64(rng.IntN(30) - 5)
			}
		}
		root := rng.IntN(n)
		sum := func(in []int) (float64, bool) {
			s := 0.0
			for v := range n {
				if v == root {
					continue
				}
				s += w[in[v]][v]
				u, steps := v, 0
				for u != root && steps <= n {
					u, steps = in[u], steps+1
				}
				if u != root {
					return 0, false
				}
			}
			return s, true
		}
		got, ok := sum(arborescence(w, root))
		require.True(t, ok)
		best := math.Inf(1)
		in := make([]int, n)
		var walk func(v int)
		walk = func(v int) {
			if v == n {
				if s, ok := sum(in); ok {
					best = math.Min(best, s)
				}
				return
			}
			if v == root {
				walk(v + 1)
				return
			}
			for u := range n {
				if u != v {
					in[v] = u
					walk(v + 1)
				}
			}
		}
		walk(0)
		assert.Equal(t, best, got)
	}
}

// The spanning tree of large layouts is the one of small ones.
func TestPlainTree(t *testing.T) {
	rec := cutcase.Random(2, 40)
	p, err := Plan(rec, &rec.Layouts[0], Machine{})
	require.NoError(t, err)
	tr := p.tours[0]
	starts := make([][]orb.Point, len(tr.nodes)+1)
	for i := range tr.nodes {
		starts[i] = tr.nodes[i].starts
	}
	starts[len(tr.nodes)] = []orb.Point{tr.home}
	n := len(starts)
	w := make([][]float32, n)
	for i := range w {
		w[i] = make([]float32, n)
		for j := range w[i] {
			w[i][j] = float32(apart(starts[i], starts[j]))
		}
	}
	assert.InDelta(t, tree(w, make([]float64, n), make([]int, n)), plainTree(starts), 0.01)
}
