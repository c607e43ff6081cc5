package pack

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// TestCostNearEqualsCost compares the cost by a list of neighbours with the
// cost by the grid, along walks that leave what the list serves.
func TestCostNearEqualsCost(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	cases := []struct {
		name  string
		turns bool
		gap   float64
	}{{"fixed", false, 0}, {"fixed, gap", false, 3}, {"turning", true, 0}, {"turning, gap", true, 3}}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := manyPlies(60)
			p.Gap = c.gap
			p.Obstacles = append(p.Obstacles, orb.Bound{Min: orb.Point{300, 200}, Max: orb.Point{420, 330}})
			if c.turns {
				for i := range p.Pieces {
					p.Pieces[i].Orientations = []Orientation{{From: -2, To: 2}, {From: 178, To: 182}}
				}
			}
			w, err := prepare(p, nil)
			require.NoError(t, err)
			l := (&runner{w: w}).construct(t.Context())
			st := newStream(0, w, 1)
			st.shrink(&l, l.length*0.9)
			s := st.s
			st.sep.begin(patience{sweeps: 5, strikes: 1})
			st.sep.run(func() bool { return false }) // weights other than 1
			for k := range s.asked {
				s.asked[k] = tableAfter // all by tables from here on
			}
			rng := rand.New(rand.NewPCG(7, 9))
			met := 0
			for range 300 {
				i := int32(rng.IntN(len(s.pose)))
				k := &w.kinds[w.items[i]]
				at := s.pose[i]
				reach := rng.Float64() * 0.2 * k.shape.Diameter
				s.gather(i, s.bodyAt(i, &at), at.x, at.y, reach)
				for range 8 {
					at.x += reach * (rng.Float64() - 0.5)
					at.y += reach * (rng.Float64() - 0.5)
					if at.variant < 0 {
						at.degrees = k.clampAngle(at.mirrored, at.degrees+rng.NormFloat64(), at.degrees)
					}
					b := s.bodyAt(i, &at)
					if !s.clamp(&at, b) {
						continue
					}
					near := s.costNear(b, at.x, at.y, math.Inf(1))
					want := s.cost(i, b, at.x, at.y, math.Inf(1))
					require.InDelta(t, want, near, 1e-9*(1+want))
					if want > 0 {
						met++
					}
				}
			}
			require.Greater(t, met, 500, "most poses should meet something")
		})
	}
}
