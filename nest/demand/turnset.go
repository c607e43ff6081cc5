package demand

import (
	"cmp"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
)

// Turns lists the rotations in which a piece may be cut so that it is laid
// within the smaller of its own tolerance and the layout's share, from fabric
// that lies on the table with its face up or down.
//
// The sides of Fabric.WarpAngles are those of the ply as laid: a piece cut from
// fabric that lies face down is laid face up when it is turned over.
func Turns(f *shapes.Fabric, d nest.Demand, angleTolerance float64, faceDown bool) []Turn {
	slack := math.Min(d.ToleranceDeg, angleTolerance)
	var out []Turn
	for _, w := range f.WarpAngles(d.DirectionDeg, d.OppositeHand) {
		turned := w.TurnedOver != faceDown
		t := Turn{Mirrored: turned != d.OppositeHand, Any: w.Any}
		if !w.Any {
			t.Rotation, t.Slack = shapes.RotationFor(w.Angle, turned), slack
		}
		out = append(out, t)
	}
	sortTurns(out)
	return out
}

func sortTurns(ts []Turn) {
	slices.SortFunc(ts, func(a, b Turn) int {
		if a.Mirrored != b.Mirrored {
			if a.Mirrored {
				return 1
			}
			return -1
		}
		return cmp.Compare(a.Rotation, b.Rotation)
	})
}

// meetSlack is how far apart, degrees, two intervals may seem because of
// rounding and still meet: the last decimal a record keeps of an angle.
const meetSlack = 1e-9

// Intersect lists the turns that both sets allow. Two plies of one outline can
// be cut by one stroke of the knife where it is not empty: they then lie
// mirrored alike, at one rotation.
func Intersect(a, b []Turn) []Turn {
	var out []Turn
	for _, s := range a {
		for _, t := range b {
			if s.Mirrored != t.Mirrored {
				continue
			}
			switch {
			case s.Any:
				out = append(out, t)
				continue
			case t.Any:
				out = append(out, s)
				continue
			}
			// On a circle two long arcs may meet twice.
			for _, lap := range []float64{-360, 0, 360} {
				mid := s.Rotation + shapes.NormalRotation(t.Rotation-s.Rotation) + lap
				lo := math.Max(s.Rotation-s.Slack, mid-t.Slack)
				hi := math.Min(s.Rotation+s.Slack, mid+t.Slack)
				if hi >= lo-meetSlack {
					out = append(out, Turn{Mirrored: s.Mirrored,
						Rotation: shapes.NormalRotation((lo + hi) / 2), Slack: math.Max(0, (hi-lo)/2)})
				}
			}
		}
	}
	sortTurns(out)
	return slices.Compact(out)
}
