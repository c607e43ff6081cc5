package pack

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// squeezed is a layout squeezed until its plies overlap, with weights other than
// 1, all asked of tables where there can be any.
func squeezed(t *testing.T, turns bool, gap float64) *state {
	p := manyPlies(60)
	p.Gap = gap
	p.Obstacles = append(p.Obstacles, orb.Bound{Min: orb.Point{300, 200}, Max: orb.Point{420, 330}})
	if turns {
		for i := range p.Pieces {
			p.Pieces[i].Orientations = []Orientation{{From: -2, To: 2}, {From: 178, To: 182}}
		}
	}
	w, err := prepare(p, nil)
	require.NoError(t, err)
	l := (&runner{w: w}).construct(t.Context())
	st := newStream(0, w, 1)
	st.shrink(&l, l.length*0.9)
	st.sep.begin(patience{sweeps: 5, strikes: 1})
	st.sep.run(func() bool { return false })
	for k := range st.s.asked {
		st.s.asked[k] = tableAfter
	}
	return st.s
}

var crowds = []struct {
	name  string
	turns bool
	gap   float64
}{{"fixed", false, 0}, {"fixed, gap", false, 3}, {"turning", true, 0}, {"turning, gap", true, 3}}

// TestSlopeNearEqualsCost compares the cost by a list of neighbours with the
// cost by the grid, along walks that leave what the list serves, and its slope
// with differences.
func TestSlopeNearEqualsCost(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	for _, c := range crowds {
		t.Run(c.name, func(t *testing.T) {
			s := squeezed(t, c.turns, c.gap)
			rng := rand.New(rand.NewPCG(7, 9))
			met, right := 0, 0
			for range 300 {
				i := int32(rng.IntN(len(s.pose)))
				k := &s.w.kinds[s.w.items[i]]
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
					near, slope := s.slopeNear(b, at.x, at.y, k.shape.Radius, math.Inf(1))
					want := s.cost(i, b, at.x, at.y, math.Inf(1))
					require.InDelta(t, want, near, 1e-9*(1+want))
					if want == 0 {
						continue
					}
					met++
					h := 1e-6 * k.shape.Diameter
					x, y := s.cost(i, b, at.x+h, at.y, math.Inf(1)), s.cost(i, b, at.x, at.y+h, math.Inf(1))
					off := math.Abs((x-want)/h-slope[0]) + math.Abs((y-want)/h-slope[1])
					if at.variant < 0 {
						turned := at
						turned.degrees += h / k.shape.Radius * (180 / math.Pi)
						b = s.bodyAt(i, &turned)
						off += math.Abs((s.cost(i, b, at.x, at.y, math.Inf(1))-want)/h - slope[2])
					}
					if off < 0.02*(1+slope.size()) {
						right++
					}
				}
			}
			require.Greater(t, met, 500, "most poses should meet something")
			// The rest lies where the cost jumps, or its slope does.
			require.Greater(t, float64(right), 0.9*float64(met))
		})
	}
}

// TestSlideEndsLower pins that a slide tells the cost of the pose it ends in,
// as the grid has it, and that it is no higher than where it began; and that
// most slides get somewhere.
func TestSlideEndsLower(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	for _, c := range crowds {
		t.Run(c.name, func(t *testing.T) {
			s := squeezed(t, c.turns, c.gap)
			rng := rand.New(rand.NewPCG(3, 4))
			n, lower := 0, 0
			for range 400 {
				i := int32(rng.IntN(len(s.pose)))
				k := &s.w.kinds[s.w.items[i]]
				at := s.pose[i]
				at.x += (rng.Float64() - 0.5) * k.shape.Diameter
				at.y += (rng.Float64() - 0.5) * k.shape.Diameter
				b := s.bodyAt(i, &at)
				if !s.clamp(&at, b) {
					continue
				}
				from := candidate{at, s.cost(i, b, at.x, at.y, math.Inf(1))}
				if from.cost == 0 {
					continue
				}
				to := from
				small := math.Min(k.minHeight, k.minLength)
				s.slide(i, k, &to, 0.25*small, 0.02*small)
				require.LessOrEqual(t, to.cost, from.cost)
				b = s.bodyAt(i, &to.pose)
				in := to.pose
				require.True(t, s.clamp(&in, b))
				require.Equal(t, to.pose, in, "off the strip")
				want := s.cost(i, b, to.pose.x, to.pose.y, math.Inf(1))
				require.InDelta(t, want, to.cost, 1e-9*(1+want))
				n++
				if to.cost < 0.8*from.cost {
					lower++
				}
			}
			require.Greater(t, n, 200)
			require.Greater(t, lower, n/2)
		})
	}
}
