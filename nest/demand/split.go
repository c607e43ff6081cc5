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
func divide(ply *shapes.Ply, whole nest.Shape, room Room, before *seams) (*seams, error) {
	base := baseSeams(ply)
	var best *seams
	bestLength, tried := math.Inf(1), false
	why := errors.New("no direction of the warp serves both hands")
	for _, axis := range axes(ply) {
		s, length, err := divideAlong(ply, whole, room, before, base, axis, nil)
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

// baseSeams is how the panels of a ply meet, before there are any seams.
func baseSeams(ply *shapes.Ply) seams {
	s := seams{joint: ply.Split.Joint, lap: ply.Split.Overlap}
	// Laps across or beside unidirectional fibre double it; it is butted.
	if s.joint != shapes.JointLap || ply.Fabric.Construction == shapes.Unidirectional {
		s.joint, s.lap = shapes.JointButt, 0
	}
	return s
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
// length of strip the panels take side by side. way is how a ply that fits
// whole is divided; nil where it does not fit.
func divideAlong(ply *shapes.Ply, whole nest.Shape, room Room, before *seams, s seams, axis float64, way *Way) (*seams, float64, error) {
	s.axis = axis
	box := geom.Bound(geom.Transform{Rotation: -axis}.Ring(toOrb(whole.Cut.Outline)))
	height, length := box.Max[1]-box.Min[1], box.Max[0]-box.Min[0]
	var keep seams
	if before != nil && math.Abs(shapes.NormalDirection(before.axis-axis)) < 1e-9 {
		keep = *before
	}
	for _, b := range ply.Split.Beside {
		if math.Abs(shapes.NormalDirection(b.AxisDeg-axis)) < 1e-9 {
			keep.across, keep.along = slices.Concat(keep.across, b.Along), slices.Concat(keep.along, b.Across)
		}
	}
	d := division{lo: box.Min[1], hi: box.Max[1], lap: s.lap, room: room.Width, least: ply.Split.MinPanel,
		stagger: ply.Split.Stagger, keepFrom: keep.across, edges: levels(axis, 1, whole.Cut, whole.Net)}
	var err error
	switch {
	case len(ply.Split.Seams) > 0:
		s.across = slices.Clone(ply.Split.Seams)
		slices.Sort(s.across)
		if err := d.usable(s.across); err != nil {
			return nil, 0, fmt.Errorf("the seams the job asks for cannot be: %w", err)
		}
		if err := d.clear(s.across, true); err != nil {
			return nil, 0, fmt.Errorf("the seams the job asks for cannot be: %w", err)
		}
		if n := nearest(s.across, d.keepFrom); n < d.stagger {
			return nil, 0, fmt.Errorf("the seams the job asks for lie %g mm from those of the ply before, less than the stagger of %g mm", n, d.stagger)
		}
	case way != nil:
		if s.across, err = d.near(way.seams(&d)); err != nil {
			return nil, 0, err
		}
	default:
		if s.across, err = d.place(); err != nil {
			return nil, 0, err
		}
	}
	if length > room.Length+FitSlack {
		if ply.Fabric.Construction == shapes.Unidirectional {
			return nil, 0, fmt.Errorf("it is %.1f mm long along the fibre, the longest stretch has %.1f mm, and unidirectional fibre is never cut across", length, room.Length)
		}
		d.lo, d.hi, d.room, d.keepFrom = box.Min[0], box.Max[0], room.Length, keep.along
		d.edges = levels(axis, 0, whole.Cut, whole.Net)
		if s.along, err = d.place(); err != nil {
			return nil, 0, err
		}
	}
	// Panels of about equal height stand side by side as often as they fit.
	n := len(s.across) + 1
	h := height/float64(n) + s.lap
	if n <= 2 {
		h = height/float64(n) + float64(s.lap/2*float64(n-1))
	}
	beside := math.Max(1, math.Floor((room.Width+room.Gap+FitSlack)/(h+room.Gap)))
	return &s, math.Ceil(float64(n)/beside) * length, nil
}

// A division is what the seams in one direction have to keep to.
type division struct {
	lo, hi   float64   // what is divided
	lap      float64   // doubled width
	room     float64   // widest panel
	least    float64   // narrowest panel
	stagger  float64   // least distance from the seams to keep from
	keepFrom []float64 // seams of the ply before
	edges    []level   // what no seam may come near
}

// asideSteps are the distances a set of seams is moved by to keep clear of
// edges and corners, mm. Wide ones come first: they leave the sounder webs.
var asideSteps = []float64{20, 40, 60, 80, 10, 5, 2}

// place finds the fewest seams that leave no panel too wide or too narrow, come
// no nearer than the stagger to a seam to keep from, and stay clear of edges
// and corners. Panels are made equal; the whole set is shifted by the stagger,
// and aside from edges, one way or the other where that is needed; where no
// shift will do, panels of unequal width are sought.
func (d *division) place() ([]float64, error) {
	if d.hi-d.lo <= d.room+FitSlack {
		return nil, nil
	}
	if d.lap >= d.room {
		return nil, fmt.Errorf("the overlap of %g mm leaves no room for a panel on %g mm", d.lap, d.room)
	}
	if err := d.leastFits(); err != nil {
		return nil, err
	}
	// Two panels of one ply share half a lap each; the first number that can
	// be enough follows, larger ones only where stagger, least or edges ask
	// for it.
	var why error
	for n := 2; n <= maxPanels; n++ {
		at, err := d.near(equalParts(d.lo, d.hi, n))
		if err == nil {
			return at, nil
		}
		if at := d.uneven(n); at != nil {
			return at, nil
		}
		if !errors.Is(err, errUnusable) {
			why = err
		}
	}
	if why != nil {
		return nil, fmt.Errorf("no seams found that keep clear of the ply's edges and corners: %w", why)
	}
	return nil, fmt.Errorf("no seams found that leave panels between %g and %g mm wide with a stagger of %g mm", d.least, d.room, d.stagger)
}

// leastFits reports a narrowest panel that is wider than the widest.
func (d *division) leastFits() error {
	if d.least > d.room+FitSlack {
		return fmt.Errorf("min_panel of %g mm exceeds the usable width of %g mm", d.least, d.room)
	}
	return nil
}

// usable reports why a set of seams will not do: a panel outside the ply, too
// wide, or too narrow.
func (d *division) usable(at []float64) error {
	if err := d.leastFits(); err != nil {
		return err
	}
	for k := 0; k <= len(at); k++ {
		from, to := d.lo, d.hi
		if k > 0 {
			from = at[k-1] - d.lap/2
		}
		if k < len(at) {
			to = at[k] + d.lap/2
		}
		switch {
		case k < len(at) && (at[k] <= d.lo+d.lap/2 || at[k] >= d.hi-d.lap/2):
			return fmt.Errorf("the seam at %.1f lies outside the ply (%.1f to %.1f)", at[k], d.lo, d.hi)
		case k > 0 && k < len(at) && at[k]-at[k-1] < LeastWeb:
			return fmt.Errorf("the seams at %g and %g lie less than %d mm apart", at[k-1], at[k], LeastWeb)
		case to-from > d.room+FitSlack:
			return fmt.Errorf("the panel from %.1f to %.1f is %.1f mm wide, usable are %.1f mm", from, to, to-from, d.room)
		case to-from < d.least:
			return fmt.Errorf("the panel from %.1f to %.1f is narrower than %.1f mm", from, to, d.least)
		}
	}
	return nil
}

// clear reports the seam that comes nearer than LeastWeb to an edge beside it or to
// a corner. A seam may run along an edge, with nothing between, where along is
// set. Where panels are lapped, the ends of the lap are what is cut.
func (d *division) clear(at []float64, along bool) error {
	for _, seam := range at {
		for _, end := range []float64{seam - d.lap/2, seam + d.lap/2} {
			for _, l := range d.edges {
				if end <= l.lo-LeastWeb || end >= l.hi+LeastWeb || along && l.touched(end) {
					continue
				}
				what, where := "corner", "put it at least %d mm away"
				if l.flat {
					what, where = "edge", "put it along the edge or at least %d mm away"
				}
				cut := fmt.Sprintf("the seam at %g", seam)
				if d.lap > 0 {
					cut = fmt.Sprintf("the lap of the seam at %g ends at %g and", seam, end)
				}
				return fmt.Errorf("%s comes within %d mm of the ply's %s at %g; "+where, cut, LeastWeb, what, nest.Round(l.lo), LeastWeb)
			}
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
