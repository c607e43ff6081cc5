package demand

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

// An Extent is what a shape needs of a roll in one rotation: along it and
// across it, mm.
type Extent struct{ Along, Across float64 }

// Extents lists what a shape needs at every rotation where its height across
// the strip can be least: the ends of each allowed interval, its middle, and
// the angles in between at which an edge of the shape lies along the strip or
// across it. Between two such angles height and length of a convex hull are
// arcs of sine curves bent downwards, so neither has a least value there.
func Extents(exterior orb.Ring, turns []Turn) []Extent {
	var out []Extent
	hull := geom.ConvexHull(exterior) // reaches as far as the outline itself
	for _, t := range turns {
		for _, r := range rotations(hull, t) {
			b := geom.Transform{Mirror: t.Mirrored, Rotation: r}.Bound(hull)
			out = append(out, Extent{b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]})
		}
	}
	return out
}

func rotations(hull orb.Ring, t Turn) []float64 {
	if !t.Any && t.Slack == 0 {
		return []float64{t.Rotation}
	}
	middle, slack := t.Rotation, t.Slack
	if t.Any {
		middle, slack = 0, 180
	}
	out := []float64{middle - slack, middle, middle + slack}
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		angle := steady.Atan2(q[1]-p[1], q[0]-p[0]) * 180 / math.Pi
		if t.Mirrored {
			angle = -angle
		}
		for k := -4; k <= 4; k++ {
			r := float64(float64(k)*90) - angle
			if math.Abs(r-middle) < slack {
				out = append(out, r)
			}
		}
	}
	return out
}

// LeastAcross is the smallest width of strip that some rotation needs.
func LeastAcross(es []Extent) float64 {
	least := math.Inf(1)
	for _, e := range es {
		least = math.Min(least, e.Across)
	}
	return least
}

// LeastAlong is the shortest strip that some rotation needs among those that
// fit across a width.
func LeastAlong(es []Extent, width float64) float64 {
	least := math.Inf(1)
	for _, e := range es {
		if e.Across <= width+FitSlack {
			least = math.Min(least, e.Along)
		}
	}
	return least
}

// FitSlack is how far a ply may seem to stand over because of rounding, mm:
// the grain of the record.
const FitSlack = 1e-6
