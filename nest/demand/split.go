package demand

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Room is what the rolls and the table offer to plies of one fabric.
type Room struct {
	// Width is the usable width of the widest roll, mm.
	Width float64
	// Length is the longest usable stretch, mm; +Inf for as much as needed.
	Length float64
	// Gap is the least distance between plies, mm.
	Gap float64
}

// DefaultStagger is the distance between the seams of consecutive plies of one
// outline where the job says nothing, mm, between overlap centre lines: Rules
// for the Classification of FRP Ships (2014), part 17, 301.
const DefaultStagger = 100

// maxPanels bounds the panels of one ply in one direction: more than this is
// a drawing in the wrong units.
const maxPanels = 60

// seams are where a ply is divided. The frame is the shape's own, turned by
// -axis, so that the warp lies along x.
type seams struct {
	axis   float64   // direction of the warp in the shape's frame, degrees
	across []float64 // y of seams that follow the warp, rising
	along  []float64 // x of seams across the warp, rising
	joint  shapes.JointKind
	lap    float64 // doubled width, mm
}

// panels is how many cells the seams make of the bounding box.
func (s *seams) panels() int { return (len(s.across) + 1) * (len(s.along) + 1) }

// divide finds the seams for a ply that does not fit its room: the fewest
// panels, and among equals the shortest strip. Seams follow the warp; only
// where the ply is too long as well, and is not unidirectional, does it get
// seams across the warp. before holds the seams of the ply laid just before
// from the same outline, or is nil: seams along the same axis keep the
// stagger from those.
func divide(ply *shapes.Ply, cut nest.Polygon, room Room, before *seams) (*seams, error) {
	split := ply.Split
	base := seams{joint: split.Joint, lap: split.Overlap}
	if base.joint != shapes.JointLap {
		base.joint, base.lap = shapes.JointButt, 0
	}
	if ply.Fabric.Construction == shapes.Unidirectional {
		// Laps across or beside unidirectional fibre double it; it is butted.
		base.joint, base.lap = shapes.JointButt, 0
	}
	var best *seams
	bestLength, tried := math.Inf(1), false
	why := errors.New("no direction of the warp serves both hands")
	for _, axis := range axes(ply) {
		s, length, err := divideAlong(ply, cut, room, before, base, axis)
		if err != nil {
			if !tried {
				why, tried = err, true
			}
			continue
		}
		if best == nil || s.panels() < best.panels() || s.panels() == best.panels() && length < bestLength-1e-9 {
			best, bestLength = s, length
		}
	}
	if best == nil {
		return nil, why
	}
	return best, nil
}

// axes lists the directions the warp may have in the shape's own frame, each
// once in (-90, 90]. Both hands of a ply are divided alike, the opposite one as
// the mirror image, so an axis has to serve every hand the ply is cut in.
func axes(ply *shapes.Ply) []float64 {
	first, opposite := warps(ply, false), warps(ply, true)
	switch {
	case ply.OppositeHand == 0:
		return first
	case ply.OppositeHand == ply.Count:
		return opposite
	}
	return slices.DeleteFunc(first, func(a float64) bool {
		return !slices.ContainsFunc(opposite, func(b float64) bool { return math.Abs(shapes.NormalDirection(a-b)) < 1e-9 })
	})
}

// warps lists the directions of the warp for one hand, in the frame of the
// first.
func warps(ply *shapes.Ply, opposite bool) []float64 {
	if ply.Fabric.Construction.Directionless() {
		return []float64{0, 90} // no warp; panels follow the datum
	}
	var out []float64
	for _, w := range ply.Fabric.WarpAngles(ply.Direction, opposite) {
		a := shapes.NormalDirection(w.Angle)
		if opposite {
			a = shapes.NormalDirection(-w.Angle)
		}
		if !slices.Contains(out, a) {
			out = append(out, a)
		}
	}
	return out
}

// divideAlong finds the seams for one direction of the warp, and about what
// length of strip the panels take side by side.
func divideAlong(ply *shapes.Ply, cut nest.Polygon, room Room, before *seams, s seams, axis float64) (*seams, float64, error) {
	s.axis = axis
	box := geom.Bound(geom.Transform{Rotation: -axis}.Ring(toOrb(cut.Outline)))
	height, length := box.Max[1]-box.Min[1], box.Max[0]-box.Min[0]
	stagger := ply.Split.Stagger
	if stagger == 0 {
		stagger = DefaultStagger
	}
	var keepFrom []float64
	if before != nil && math.Abs(shapes.NormalDirection(before.axis-axis)) < 1e-9 {
		keepFrom = before.across
	}
	var err error
	if len(ply.Split.Seams) > 0 {
		s.across = slices.Clone(ply.Split.Seams)
		slices.Sort(s.across)
		if err := usable(s.across, box.Min[1], box.Max[1], s.lap, room.Width, ply.Split.MinPanel); err != nil {
			return nil, 0, fmt.Errorf("the seams the job asks for cannot be: %w", err)
		}
		if d := nearest(s.across, keepFrom); d < stagger {
			return nil, 0, fmt.Errorf("the seams the job asks for lie %g mm from those of the ply before, less than the stagger of %g mm", d, stagger)
		}
	} else if s.across, err = place(box.Min[1], box.Max[1], s.lap, room.Width, ply.Split.MinPanel, stagger, keepFrom); err != nil {
		return nil, 0, err
	}
	if length > room.Length+FitSlack {
		if ply.Fabric.Construction == shapes.Unidirectional {
			return nil, 0, fmt.Errorf("it is %.1f mm long along the fibre, the longest stretch has %.1f mm, and unidirectional fibre is never cut across", length, room.Length)
		}
		var keep []float64
		if keepFrom != nil {
			keep = before.along
		}
		if s.along, err = place(box.Min[0], box.Max[0], s.lap, room.Length, ply.Split.MinPanel, stagger, keep); err != nil {
			return nil, 0, err
		}
	}
	// Panels of about equal height stand side by side as often as they fit.
	n := len(s.across) + 1
	h := height/float64(n) + s.lap
	if n <= 2 {
		h = height/float64(n) + s.lap/2*float64(n-1)
	}
	beside := math.Max(1, math.Floor((room.Width+room.Gap+FitSlack)/(h+room.Gap)))
	return &s, math.Ceil(float64(n)/beside) * length, nil
}

// place finds the fewest seams between lo and hi that leave no panel wider
// than room, none narrower than least, and none nearer than stagger to a seam
// to keep from. Panels are made equal; the whole set is shifted by the stagger
// one way or the other where that is needed.
func place(lo, hi, lap, room, least, stagger float64, keepFrom []float64) ([]float64, error) {
	if hi-lo <= room+FitSlack {
		return nil, nil
	}
	if lap >= room {
		return nil, fmt.Errorf("the overlap of %g mm leaves no room for a panel on %g mm", lap, room)
	}
	// Two panels of one ply share half a lap each; the first number that can
	// be enough follows, larger ones only where stagger or least ask for it.
	for n := 2; n <= maxPanels; n++ {
		for _, shift := range []float64{0, stagger, -stagger, stagger / 2, -stagger / 2} {
			at := make([]float64, n-1)
			for k := range at {
				at[k] = lo + (hi-lo)*float64(k+1)/float64(n) + shift
			}
			if usable(at, lo, hi, lap, room, least) == nil && nearest(at, keepFrom) >= stagger-1e-9 {
				return at, nil
			}
		}
	}
	return nil, fmt.Errorf("no seams found that leave panels between %g and %g mm wide with a stagger of %g mm", least, room, stagger)
}

// usable reports why a set of seams will not do: a panel outside the ply, too
// wide, or too narrow.
func usable(at []float64, lo, hi, lap, room, least float64) error {
	for k := 0; k <= len(at); k++ {
		from, to := lo, hi
		if k > 0 {
			from = at[k-1] - lap/2
		}
		if k < len(at) {
			to = at[k] + lap/2
		}
		switch {
		case k < len(at) && (at[k] <= lo+lap/2 || at[k] >= hi-lap/2):
			return fmt.Errorf("the seam at %.1f lies outside the ply (%.1f to %.1f)", at[k], lo, hi)
		case to-from > room+FitSlack:
			return fmt.Errorf("the panel from %.1f to %.1f is %.1f mm wide, usable are %.1f mm", from, to, to-from, room)
		case to-from < least:
			return fmt.Errorf("the panel from %.1f to %.1f is narrower than %.1f mm", from, to, least)
		}
	}
	return nil
}

// nearest is the least distance between two sets of seams; +Inf where one is
// empty.
func nearest(a, b []float64) float64 {
	d := math.Inf(1)
	for _, x := range a {
		for _, y := range b {
			d = math.Min(d, math.Abs(x-y))
		}
	}
	return d
}

func toOrb(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
