package lattice

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest/collide"
)

// TestBest compares with the length that whole rows take by hand (D), and has
// the judge look at every layout.
func TestBest(t *testing.T) {
	ell := orb.Ring{{0, 0}, {160, 0}, {160, 70}, {70, 70}, {70, 230}, {0, 230}}
	hook := orb.Ring{{0, 0}, {220, 0}, {240, 60}, {150, 70}, {90, 120}, {110, 200}, {40, 230}, {0, 150}}
	for _, c := range []struct {
		name  string
		ring  orb.Ring
		width float64
		n     int
		gap   float64
		most  float64
	}{
		// 11 rows of 130 hold 22 triangles per 180: ten repeats.
		{"triangles", orb.Ring{{0, 0}, {180, 0}, {60, 130}}, 1500, 200, 0, 1800},
		{"triangles apart", orb.Ring{{0, 0}, {180, 0}, {60, 130}}, 1500, 200, 3, 1830},
		// Two Ls make 160 × 300, of which five lie across.
		{"ells", ell, 1500, 200, 0, 20*160 + 10},
		{"ells apart", ell, 1500, 200, 3, 3750},
		// Two hooks repeat by 240 along and by 300 across.
		{"hooks", hook, 1500, 200, 0, 20*240 + 15},
		{"hooks apart", hook, 1500, 200, 3, 4870},
		// Squares fill the width.
		{"squares", orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}}, 1500, 150, 0, 1000 + 1e-6},
		{"squares apart", orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}}, 1542, 150, 3, 1027 + 1e-6},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := bodies(t, c.ring, 0, 180)
			got := Best(Strip{Width: c.width, Gap: c.gap, Count: c.n}, [][]*collide.Body{b, b[:1], b[1:]}, 6, nil)
			require.NotEmpty(t, got)
			require.LessOrEqual(t, got[0].Length, c.most)
			for _, l := range got {
				require.Len(t, l.Spots, c.n)
				requireClear(t, l, c.width, c.gap)
			}
		})
	}
}

// TestStop pins that a search that is told to stop returns what it has, and
// that equal work gives equal answers.
func TestStop(t *testing.T) {
	b := bodies(t, regular(5), 0, 180)
	strip := Strip{Width: 11, Count: 50}
	choices := [][]*collide.Body{b, b[:1]}
	none := Best(strip, choices, 3, func(int) bool { return true })
	require.Empty(t, none)
	some := func() []Laid { return Best(strip, choices, 3, func(work int) bool { return work > 2_000_000 }) }
	require.NotEmpty(t, some())
	require.Equal(t, some(), some())
}

// requireClear asks the judge about every pair.
func requireClear(t testing.TB, l Laid, width, gap float64) {
	tol := 1e-9 * width
	for i, a := range l.Spots {
		ab := l.Pattern.Bodies[a.Body]
		require.GreaterOrEqual(t, a.At[0]+ab.Box.MinX, -tol)
		require.LessOrEqual(t, a.At[0]+ab.Box.MaxX, l.Length+tol)
		require.GreaterOrEqual(t, a.At[1]+ab.Box.MinY, -tol)
		require.LessOrEqual(t, a.At[1]+ab.Box.MaxY, width+tol)
		for _, b := range l.Spots[:i] {
			if math.Abs(a.At[0]-b.At[0]) > 3*ab.Shape.Diameter {
				continue
			}
			require.False(t, collide.Overlap(l.Pattern.Bodies[b.Body], ab, a.At[0]-b.At[0], a.At[1]-b.At[1], gap, tol), "%v %v", a, b)
		}
	}
}
