package polish

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What reduce keeps allows no move, within reach, that what it drops forbids;
// also where the region has no width, or is a single point.
func TestReduceDropsOnlyWhatIsImplied(t *testing.T) {
	dropped := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		const reach = 100.0
		r := orb.Point{rng.Float64() * 1000, rng.Float64() * 1000}
		var all []relation
		add := func(n orb.Point, free float64) {
			all = append(all, relation{normal: n, least: dot(n, r) - free})
		}
		for range 1 + rng.IntN(20) {
			sin, cos := math.Sincos(rng.Float64() * 2 * math.Pi)
			free := []float64{0, 1e-14, rng.Float64(), rng.Float64() * 100}[rng.IntN(4)]
			add(orb.Point{cos, sin}, free)
			if rng.IntN(3) == 0 {
				// The other cheek of a slot.
				add(orb.Point{-cos, -sin}, []float64{0, -1e-14, 1e-9}[rng.IntN(3)])
			}
			if rng.IntN(3) == 0 {
				add(orb.Point{cos, sin}, free+rng.Float64())
			}
		}
		var d reducer
		kept := slices.Clone(d.reduce(slices.Clone(all), r, reach))
		dropped += len(all) - len(kept)
		violated := func(relations []relation, p orb.Point) float64 {
			worst := 0.0
			for _, rel := range relations {
				worst = max(worst, rel.least-dot(rel.normal, p))
			}
			return worst
		}
		// Points within the kept relations: sampled at large, and where two of
		// them, or one and the box, meet.
		check := func(move orb.Point) {
			if max(math.Abs(move[0]), math.Abs(move[1])) > reach {
				return
			}
			p := plus(r, move)
			if allowed := violated(kept, p); allowed <= 1e-10 {
				require.LessOrEqual(t, violated(all, p), 1e-9, "move %v", move)
			}
		}
		for range 200 {
			check(orb.Point{(rng.Float64()*2 - 1) * reach, (rng.Float64()*2 - 1) * reach})
		}
		for i, a := range kept {
			// Along the boundary line of one relation.
			for range 50 {
				at := scaled(a.normal, a.least-dot(a.normal, r))
				check(plus(at, scaled(perpendicular(a.normal), (rng.Float64()*2-1)*reach*1.5)))
			}
			for _, b := range kept[:i] {
				det := float64(a.normal[0]*b.normal[1]) - float64(a.normal[1]*b.normal[0])
				la, lb := a.least-dot(a.normal, r), b.least-dot(b.normal, r)
				if math.Abs(det) > 1e-3 {
					check(orb.Point{(la*b.normal[1] - lb*a.normal[1]) / det, (a.normal[0]*lb - b.normal[0]*la) / det})
				}
			}
		}
	})
	require.Positive(t, dropped)
}

func TestReduceKeepsOnlyTheNearestOfParallels(t *testing.T) {
	var d reducer
	n := orb.Point{1, 0}
	kept := d.reduce([]relation{{normal: n, least: -3}, {normal: n, least: -1}, {normal: n, least: -2}}, orb.Point{}, 10)
	require.Equal(t, []relation{{normal: n, least: -1}}, kept)
	// Beyond the box, or behind a nearer one at a slight angle.
	sin, cos := math.Sincos(0.01)
	kept = d.reduce([]relation{{normal: n, least: -1}, {normal: orb.Point{cos, sin}, least: -5}}, orb.Point{}, 10)
	require.Len(t, kept, 1)
	require.Equal(t, -1.0, kept[0].least)
}
