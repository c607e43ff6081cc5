package demand

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
	"plyroom/shapes/steady"
)

// A Mirror is one way in which a shape is its own mirror image: mirrored, then
// rotated by Rotation degrees, it is the shape again but for its place. Vertex j
// of the mirrored ring, which is listed in reverse, then is vertex j+Shift.
type Mirror struct {
	Rotation float64
	Shift    int
}

// Mirrors lists the ways in which a shape is its own mirror image as cut, vertex
// for vertex, cut-outs and slits left aside. The list is empty where it is none.
func Mirrors(s *nest.Shape) []Mirror {
	n := len(s.Cut.Outline)
	if n < 3 {
		return nil
	}
	ring := centred(s.Cut.Outline)
	back := make(nest.Ring, n)
	for i, v := range ring {
		back[n-1-i] = nest.Point{v[0], -v[1]}
	}
	var out []Mirror
	for k := range back {
		if rotation, ok := turnOnto(back, ring, k); ok {
			out = append(out, Mirror{Rotation: rotation, Shift: k})
		}
	}
	return out
}

// centred moves the mean of a ring's vertices to the origin.
func centred(r nest.Ring) nest.Ring {
	c := mean(r)
	out := make(nest.Ring, len(r))
	for i, v := range r {
		out[i] = nest.Point{v[0] - c[0], v[1] - c[1]}
	}
	return out
}

func mean(r nest.Ring) nest.Point {
	var c nest.Point
	for _, v := range r {
		c[0] += v[0] / float64(len(r))
		c[1] += v[1] / float64(len(r))
	}
	return c
}

// turnOnto finds the rotation about the origin that brings each vertex of a onto
// the one of b that is shift further on.
func turnOnto(a, b nest.Ring, shift int) (deg float64, ok bool) {
	// Shapes are rounded too, so either may be off; the place itself decides.
	const near = 3 * geom.SamePlace
	n := len(a)
	sin, cos := 0.0, 0.0
	for j, v := range a {
		w := b[(j+shift)%n]
		if math.Abs(steady.Hypot(v[0], v[1])-steady.Hypot(w[0], w[1])) > near {
			return 0, false
		}
		sin += float64(v[0]*w[1]) - float64(v[1]*w[0])
		cos += float64(v[0]*w[0]) + float64(v[1]*w[1])
	}
	turn := steady.Atan2(sin, cos)
	sin, cos = steady.Sincos(turn)
	for j, v := range a {
		w := b[(j+shift)%n]
		if steady.Hypot(float64(cos*v[0])-float64(sin*v[1])-w[0], float64(sin*v[0])+float64(cos*v[1])-w[1]) > near {
			return 0, false
		}
	}
	return turn * 180 / math.Pi, true
}

// Unturn words a ply that is turned over as one that is not, where its shape is
// its own mirror image, the outline stays where it is, and the fibre lies within
// slack, degrees, of what is asked on the other face too. faceDown is how the
// fabric lies on the table. Only the ply's rotation, place and angles change; it
// reports whether they did.
func Unturn(pl *nest.Placed, d *nest.Demand, s *nest.Shape, mirrors []Mirror, f *shapes.Fabric, faceDown bool, slack float64) bool {
	if !pl.TurnedOver || len(mirrors) == 0 {
		return false
	}
	warps := f.WarpAngles(d.DirectionDeg, d.OppositeHand)
	type way struct {
		rotation, off float64
		shift         int
	}
	var ways []way
	for _, m := range mirrors {
		// A mirrored ply becomes the shape as it is, any other the mirrored one.
		w := way{pl.RotationDeg - m.Rotation, 0, m.Shift}
		if d.OppositeHand {
			w = way{pl.RotationDeg + m.Rotation, 0, -m.Shift}
		}
		off, ok := shapes.Deviation(shapes.LaidAngle(w.rotation, false), faceDown, warps)
		if ok && math.Abs(off) <= slack+angleFit {
			w.off = off
			ways = append(ways, w)
		}
	}
	slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(math.Abs(a.off), math.Abs(b.off)) })
	for _, w := range ways {
		plain := math.Round(w.rotation*1e4) / 1e4
		for _, rotation := range []float64{plain, w.rotation} {
			off, _ := shapes.Deviation(shapes.LaidAngle(rotation, false), faceDown, warps)
			if past := math.Abs(off) - slack; past > 0 {
				rotation += math.Copysign(past, off) // the warp is laid at minus the rotation
			}
			if t, ok := sameRest(pl, d, s, rotation, w.shift); ok {
				pl.TurnedOver, pl.RotationDeg, pl.X, pl.Y = false, t.Rotation, t.X, t.Y
				SetAngles(pl, d, f, faceDown)
				return true
			}
		}
	}
	return false
}

// SetAngles fills in, from a ply's rotation and face, the angle of the warp as
// laid and how far it is off what is asked. faceDown is how the fabric lies on
// the table.
func SetAngles(pl *nest.Placed, d *nest.Demand, f *shapes.Fabric, faceDown bool) {
	laid := shapes.LaidAngle(pl.RotationDeg, pl.TurnedOver)
	off, _ := shapes.Deviation(laid, pl.TurnedOver != faceDown, f.WarpAngles(d.DirectionDeg, d.OppositeHand))
	pl.DeviationDeg = nest.RoundAngle(off)
	pl.LaidDeg = nest.RoundAngle(shapes.NormalDirection(laid))
	if len(f.WarpPositions) > 0 {
		pl.LaidDeg = nest.RoundAngle(shapes.NormalRotation(laid))
	}
}

// angleFit is how far a rotation found from rounded vertices may be off, degrees;
// a few hundredths of a micrometre on the fabric.
const angleFit = 1e-5

// sameRest finds the place at which the shape, turned over for the opposite hand
// only and rotated so, covers what a ply covers, to what a record rounds.
func sameRest(pl *nest.Placed, d *nest.Demand, s *nest.Shape, rotation float64, shift int) (geom.Transform, bool) {
	t := geom.Transform{Mirror: d.OppositeHand, Rotation: nest.RoundAngle(shapes.NormalRotation(rotation))}
	got, n := moved(t, s.Cut.Outline), len(pl.Outline)
	if len(got) != n {
		return t, false
	}
	from, to := mean(got), mean(pl.Outline)
	t.X, t.Y = nest.Round(to[0]-from[0]), nest.Round(to[1]-from[1])
	for j, v := range pl.Outline {
		w := got[((j+shift)%n+n)%n]
		if steady.Hypot(w[0]+t.X-v[0], w[1]+t.Y-v[1]) > geom.SamePlace {
			return t, false
		}
	}
	free := slices.Clone(pl.Holes)
	for _, h := range s.Cut.Holes {
		ring := moved(t, h)
		k := slices.IndexFunc(free, func(r nest.Ring) bool { return sameRing(ring, r) })
		if k < 0 {
			return t, false
		}
		free = slices.Delete(free, k, k+1)
	}
	return t, len(free) == 0 && slitsStay(pl, d, s, t)
}

// slitsStay reports whether the slits of a shape, which the knife cuts too, lie at
// another rotation and place where they lie now.
func slitsStay(pl *nest.Placed, d *nest.Demand, s *nest.Shape, t geom.Transform) bool {
	now := geom.Transform{Mirror: pl.TurnedOver != d.OppositeHand, Rotation: pl.RotationDeg, X: pl.X, Y: pl.Y}
	lines := slits(s.Marks)
	free := make([]orb.LineString, len(lines))
	for i, l := range lines {
		free[i] = now.Line(l)
	}
	for _, l := range lines {
		l = t.Line(l)
		k := slices.IndexFunc(free, func(m orb.LineString) bool {
			if sameLine(l, m) {
				return true
			}
			back := slices.Clone(m)
			slices.Reverse(back)
			return sameLine(l, back)
		})
		if k < 0 {
			return false
		}
		free = slices.Delete(free, k, k+1)
	}
	return true
}

func sameLine(a, b orb.LineString) bool {
	return slices.EqualFunc(a, b, func(v, w orb.Point) bool {
		return steady.Hypot(v[0]-w[0], v[1]-w[1]) <= 2*geom.SamePlace // neither is rounded where it lies
	})
}

// moved transforms a ring and rounds nothing.
func moved(t geom.Transform, r nest.Ring) nest.Ring {
	var out nest.Ring
	for _, v := range t.Ring(toOrb(r)) {
		out = append(out, nest.Point(v))
	}
	return out
}

// sameRing reports whether two rings are one, begun anywhere.
func sameRing(a, b nest.Ring) bool {
	if len(a) != len(b) {
		return false
	}
	for k := range b {
		same := true
		for i, v := range a {
			w := b[(i+k)%len(b)]
			if steady.Hypot(v[0]-w[0], v[1]-w[1]) > geom.SamePlace {
				same = false
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}
