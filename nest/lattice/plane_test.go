package lattice

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest/collide"
)

func regular(n int) orb.Ring {
	var out orb.Ring
	for i := range n {
		s, c := math.Sincos(2*math.Pi*float64(i)/float64(n) + 0.1)
		out = append(out, orb.Point{c, s})
	}
	return out
}

func bodies(t testing.TB, r orb.Ring, deg ...float64) []*collide.Body {
	s, err := collide.NewShape(r, nil)
	require.NoError(t, err)
	var out []*collide.Body
	for _, d := range deg {
		out = append(out, collide.NewBody(s, false, d))
	}
	return out
}

// TestKnownDensities compares with densities proved or published: triangles and
// quadrangles fill the plane as double lattices, parallelograms and hexagons as
// lattices (D); the triangle's densest lattice 2/3 (Fáry 1950, M); the
// pentagon's double lattice (5-√5)/3, which Hales and Kusner 2016 proved to be
// the densest packing at all (M); the heptagon's 0.8926… (Kuperberg and
// Kuperberg 1990 and Hales and Kusner, M); the octagon's (4+4√2)/(5+4√2) (M).
func TestKnownDensities(t *testing.T) {
	ell := orb.Ring{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 4}, {0, 4}}
	for _, c := range []struct {
		name   string
		ring   orb.Ring
		deg    []float64
		want   float64
		within float64
	}{
		{"triangle", orb.Ring{{0, 0}, {5, 1}, {2, 4}}, []float64{0, 180}, 1, 1e-6},
		{"triangle alone", orb.Ring{{0, 0}, {5, 1}, {2, 4}}, []float64{0}, 2. / 3, 1e-6},
		{"parallelogram", orb.Ring{{0, 0}, {5, 1}, {7, 4}, {2, 3}}, []float64{0}, 1, 1e-6},
		{"quadrangle", orb.Ring{{0, 0}, {5, 1}, {6, 4}, {1, 3}}, []float64{0, 180}, 1, 1e-6},
		{"hexagon", regular(6), []float64{0}, 1, 1e-6},
		{"pentagon", regular(5), []float64{0, 180}, (5 - math.Sqrt(5)) / 3, 2e-5},
		{"heptagon", regular(7), []float64{0, 180}, 0.8926, 2e-4},
		{"octagon", regular(8), []float64{0}, (4 + 4*math.Sqrt2) / (5 + 4*math.Sqrt2), 1e-6},
		{"ell", ell, []float64{0, 180}, 1, 1e-6},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := Plane(0, bodies(t, c.ring, c.deg...), nil)
			require.NotNil(t, p)
			require.InDelta(t, c.want, p.Density(), c.within)
			requireLattice(t, p, 0)
		})
	}
}

// requireLattice asks the judge about the pattern's plies near the origin.
func requireLattice(t testing.TB, p *Pattern, gap float64) {
	for i := -4.0; i <= 4; i++ {
		for j := -4.0; j <= 4; j++ {
			for ai, a := range p.Members {
				for bi, b := range p.Members {
					if i == 0 && j == 0 && ai == bi {
						continue
					}
					x := b.At[0] - a.At[0] + i*p.U[0] + j*p.V[0]
					y := b.At[1] - a.At[1] + i*p.U[1] + j*p.V[1]
					require.False(t, collide.Overlap(p.Bodies[a.Body], p.Bodies[b.Body], x, y, gap, 1e-8), "%v %v: %v %v", i, j, a, b)
				}
			}
		}
	}
}

// TestRandomPlanes has the judge look at lattices of random outlines.
func TestRandomPlanes(t *testing.T) {
	for seed := range uint64(4) {
		r := rand.New(rand.NewPCG(seed, 7))
		ring := star(r, 4+r.IntN(6))
		gap := 0.1 * float64(seed%2)
		for _, deg := range [][]float64{{0}, {0, 180}, {0, 90}} {
			p := Plane(gap, bodies(t, ring, deg...), nil)
			require.NotNil(t, p)
			require.LessOrEqual(t, p.Density(), 1+1e-9)
			requireLattice(t, p, gap)
		}
	}
}

// star is a random outline that may bend inwards.
func star(r *rand.Rand, n int) orb.Ring {
	var out orb.Ring
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5*r.Float64()) / float64(n))
		d := 0.5 + 1.5*r.Float64()
		out = append(out, orb.Point{d * c, d * s})
	}
	return out
}

func BenchmarkPlane(b *testing.B) {
	bs := bodies(b, regular(7), 0, 180)
	b.ReportAllocs()
	for b.Loop() {
		Plane(0, bs, nil)
	}
}
