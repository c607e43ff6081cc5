package bound

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

type extent struct{ along, across float64 }

// extents lists a shape's extents at the ends of a turn and at every rotation
// in between at which an edge of its convex hull lies along or across the
// strip, in order of rotation. Extents of a convex shape between two such
// rotations are distances of two fixed vertices measured along a turning axis:
// arcs of a cosine below its peak, bent downwards.
func extents(r orb.Ring, t Turn) []extent {
	angles := []float64{t.From}
	hull := geom.ConvexHull(r)
	if !t.fixed() {
		to := math.Min(t.To, t.From+360)
		for i, a := range hull {
			b := hull[(i+1)%len(hull)]
			edge := steady.Atan2(b[1]-a[1], b[0]-a[0]) * 180 / math.Pi
			if t.Mirrored {
				edge = -edge
			}
			// Rotated by -edge + 90k the edge lies along or across.
			first := float64(math.Ceil((t.From+edge)/90)*90) - edge
			for at := first; at < to; at += 90 {
				angles = append(angles, at)
			}
		}
		angles = append(angles, to)
		slices.Sort(angles)
	}
	out := make([]extent, len(angles))
	for i, a := range angles {
		b := geom.Transform{Mirror: t.Mirrored, Rotation: a}.Bound(hull)
		out[i] = extent{b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]}
	}
	return out
}
