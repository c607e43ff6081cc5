package demand

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// A Way is one way to divide a ply that fits whole, to save fabric: the seams
// follow the warp, and stand where the job says, in equal parts, or so that
// one panel has a stated width.
type Way struct {
	// AxisDeg is the direction of the warp in the shape's frame, degrees.
	AxisDeg float64
	// Parts is the number of equal panels; 0 where First or the job says.
	Parts int
	// First is the width of the first panel, half a lap included, mm; the rest
	// of the ply is the second. 0 where Parts or the job says.
	First float64
}

// rollShares are the shares of the usable width that a panel is made as wide
// as, so that so many of them stand side by side and leave nothing.
var rollShares = []int{2, 3, 4}

// Ways lists the ways to divide a ply that are worth trying: in two and three
// equal panels; with one panel of a half, a third and a quarter of the usable
// width; and with one panel that fills what the whole ply leaves beside
// itself. Where the job states the seams only those are listed. whole is the
// ply's shape as cut.
func Ways(ply *shapes.Ply, whole nest.Polygon, room Room) []Way {
	if ply.Split == nil || !ply.Split.Allowed {
		return nil
	}
	var out []Way
	for _, axis := range axes(ply) {
		if len(ply.Split.Seams) > 0 {
			out = append(out, Way{AxisDeg: axis})
			continue
		}
		box := geom.Bound(geom.Transform{Rotation: -axis}.Ring(toOrb(whole.Outline)))
		height, length := box.Max[1]-box.Min[1], box.Max[0]-box.Min[0]
		if length > room.Length+FitSlack {
			continue
		}
		out = append(out, Way{AxisDeg: axis, Parts: 2}, Way{AxisDeg: axis, Parts: 3})
		firsts := []float64{room.Width - room.Gap - height}
		for _, n := range rollShares {
			firsts = append(firsts, (room.Width-float64(float64(n-1)*room.Gap))/float64(n))
		}
		lap := ply.Split.Overlap
		for _, first := range firsts {
			// A panel no wider than the lap is none, and one that differs from
			// a half by less than a millimetre is listed.
			if first > lap && first < height-lap && math.Abs(first-(height+lap)/2) > 1 {
				out = append(out, Way{AxisDeg: axis, First: first})
			}
		}
	}
	return out
}

// seams places the seams of a way over an extent, before they are moved to
// keep clear of what is in the way.
func (w Way) seams(d *division) []float64 {
	if w.Parts > 0 {
		return equalParts(d.lo, d.hi, w.Parts)
	}
	return []float64{d.lo + w.First - d.lap/2}
}

func equalParts(lo, hi float64, n int) []float64 {
	at := make([]float64, n-1)
	for k := range at {
		at[k] = lo + (hi-lo)*float64(k+1)/float64(n)
	}
	return at
}

// errUnusable says that no shift of a set of seams leaves panels that are
// neither too wide nor too narrow.
var errUnusable = errors.New("no seams found")

// near moves a set of seams, as little as may be, until it is usable, staggered
// and clear of edges and corners.
func (d *division) near(base []float64) ([]float64, error) {
	why := errUnusable
	for _, shift := range d.shifts() {
		at := slices.Clone(base)
		for k := range at {
			at[k] += shift
		}
		if d.usable(at) != nil || nearest(at, d.keepFrom) < d.stagger-1e-9 {
			continue
		}
		err := d.clear(at, false)
		if err == nil {
			return at, nil
		}
		why = err
	}
	return nil, why
}

// shifts are the distances a set of seams may be moved by, least first but
// for those that keep the stagger.
func (d *division) shifts() []float64 {
	out := []float64{0, d.stagger, -d.stagger, d.stagger / 2, -d.stagger / 2}
	for _, by := range asideSteps {
		for _, from := range []float64{0, d.stagger, -d.stagger} {
			out = append(out, from+by, from-by)
		}
	}
	return out
}

// onPurpose finds the seams of a way to divide a ply.
func onPurpose(ply *shapes.Ply, whole nest.Shape, room Room, before *seams, way Way) (*seams, error) {
	s, _, err := divideAlong(ply, whole, room, before, baseSeams(ply), way.AxisDeg, &way)
	if err != nil {
		return nil, err
	}
	if len(s.across) == 0 {
		return nil, fmt.Errorf("no seam divides it along %g°", way.AxisDeg)
	}
	return s, nil
}
