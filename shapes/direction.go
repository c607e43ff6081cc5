package shapes

import "math"

// A Warp is one way a ply may lie so that its laminate is the one asked for:
// the face it is laid with, and the angle its warp is then laid at.
type Warp struct {
	// TurnedOver says that the fabric is laid face down: that the ply is
	// turned over before it is laid, where the roll unrolls face up, and that
	// it is not, where the roll unrolls face down.
	TurnedOver bool
	// Any says that every angle will do; Angle then means nothing.
	Any bool
	// Angle is the warp's angle as laid, degrees in [0, 360), against the
	// datum of the ply in the hand asked for.
	Angle float64
}

// angleEps is how close two fibre angles, in degrees, must be to be one. Job
// files give whole degrees or a few decimals; sums of them are off by rounding
// only.
const angleEps = 1e-6

// massEps is how close two areal masses must be, relative, to be one.
const massEps = 1e-6

// WarpAngles lists every way a ply of this fabric may lie when the job asks
// for direction (degrees), in the first hand or the opposite one. All entries
// give the same laminate, layer by layer from the bottom. The list is empty
// only where an opposite hand is asked for whose mirrored stack this fabric
// cannot give (LayerOrderMatters).
//
// Turning a fabric over reverses the order of its layers and changes the sign
// of every angle against the warp; a stack survives where some angle of the
// warp gives the asked stack back.
func (f *Fabric) WarpAngles(direction float64, opposite bool) []Warp {
	if f.Construction.Directionless() {
		out := []Warp{{Any: true}}
		if f.Faces != DifferentFaces {
			out = append(out, Warp{TurnedOver: true, Any: true})
		}
		return out
	}
	if opposite {
		direction = -direction
	}
	repeats := f.repeats()
	var out []Warp
	// offset is how far the warp lies from the direction asked for, known but
	// for half turns: where the job's positions tell the two ways of the warp
	// apart, only an offset of 0 is beyond doubt.
	add := func(turned bool, offset float64) {
		if offset > angleEps && offset < 180-angleEps && !repeatsHalfTurns(repeats) {
			return
		}
		base := direction + offset
		for _, e := range repeats {
			out = append(out, Warp{TurnedOver: turned, Angle: mod(base+e, 360)})
		}
	}
	if !f.Construction.Stitched() {
		add(false, 0)
		if f.mayTurnOver() {
			add(true, 0)
		}
		return out
	}
	stack := f.stack()
	asked := stack
	if opposite && f.LayerOrderMatters {
		// The true mirror of stack+d is -stack-d; direction is -d already.
		asked = negated(stack)
	}
	if base, ok := turnInto(stack, asked); ok {
		add(false, base)
	}
	if f.mayTurnOver() {
		if base, ok := turnInto(reversed(negated(stack)), asked); ok {
			add(true, base)
		}
	}
	return out
}

// repeats lists the angles that may be added to the warp's without changing
// the laminate, face up.
func (f *Fabric) repeats() []float64 {
	switch {
	case len(f.WarpPositions) > 0:
		return f.WarpPositions
	case f.Balanced && (f.Construction == Plain || f.Construction == Twill && f.DiagonalFree):
		return []float64{0, 90, 180, 270}
	}
	return []float64{0, 180}
}

// repeatsHalfTurns reports whether every angle of the list has its opposite
// there too.
func repeatsHalfTurns(angles []float64) bool {
	for _, a := range angles {
		found := false
		for _, b := range angles {
			off := mod(b-a, 360)
			found = found || math.Abs(off-180) <= angleEps
		}
		if !found {
			return false
		}
	}
	return true
}

// mayTurnOver reports whether the two sides are alike enough for a ply to be
// cut face down, whatever its angle. A satin shows warp on one side and weft on
// the other. A twill's diagonal reverses, and stays reversed for this job even
// where a quarter turn would bring it back: 90° is no position of such a twill.
func (f *Fabric) mayTurnOver() bool {
	if f.Faces == DifferentFaces || f.Construction == Satin {
		return false
	}
	return f.Construction != Twill || f.DiagonalFree
}

// stack is the layers of a stitched fabric; a unidirectional fabric need not
// list its one layer.
func (f *Fabric) stack() []FabricLayer {
	if len(f.Layers) == 0 {
		return []FabricLayer{{Angle: 0, Mass: f.ArealMass}}
	}
	return f.Layers
}

func negated(s []FabricLayer) []FabricLayer {
	out := make([]FabricLayer, len(s))
	for i, l := range s {
		out[i] = FabricLayer{Angle: -l.Angle, Mass: l.Mass}
	}
	return out
}

func reversed(s []FabricLayer) []FabricLayer {
	out := make([]FabricLayer, len(s))
	for i, l := range s {
		out[len(s)-1-i] = l
	}
	return out
}

// turnInto finds the angle w that turns stack a into stack b: a's layers plus
// w are b's layers, fibre for fibre. Fibres repeat every 180°, so the first
// layer fixes w and the others must agree.
func turnInto(a, b []FabricLayer) (w float64, ok bool) {
	w = mod(b[0].Angle-a[0].Angle, 180)
	for i := range a {
		off := mod(b[i].Angle-a[i].Angle-w, 180)
		if off > angleEps && off < 180-angleEps {
			return 0, false
		}
		if math.Abs(a[i].Mass-b[i].Mass) > massEps*math.Max(a[i].Mass, b[i].Mass) {
			return 0, false
		}
	}
	return w, true
}

// mod is the remainder of a by n in [0, n).
func mod(a, n float64) float64 {
	r := math.Mod(a, n)
	if r < 0 {
		r += n
	}
	if r >= n { // a tiny negative remainder rounds up to n
		r = 0
	}
	return r
}

// NormalDirection brings an angle into (-90, 90], degrees, as fibre
// directions are written.
func NormalDirection(deg float64) float64 {
	r := mod(deg, 180)
	if r > 90 {
		r -= 180
	}
	return r
}

// NormalRotation brings an angle into [-180, 180), degrees.
func NormalRotation(deg float64) float64 {
	r := mod(deg, 360)
	if r >= 180 {
		r -= 360
	}
	return r
}

// LaidAngle is the angle, in [0, 360), at which the warp comes to lie when a
// ply is placed with rotation r (degrees): -r face up, +r turned over.
func LaidAngle(rotation float64, turnedOver bool) float64 {
	if turnedOver {
		return mod(rotation, 360)
	}
	return mod(-rotation, 360)
}

// RotationFor is the rotation that lays the warp at an angle; it undoes
// LaidAngle.
func RotationFor(laid float64, turnedOver bool) float64 {
	if turnedOver {
		return NormalRotation(laid)
	}
	return NormalRotation(-laid)
}

// Deviation is laid minus the nearest allowed angle of the same face as laid,
// signed, degrees in (-180, 180]. It is 0 where any angle will do, and reports
// false where no entry is of that face.
func Deviation(laid float64, laidFaceDown bool, allowed []Warp) (float64, bool) {
	best, found := 0.0, false
	for _, w := range allowed {
		if w.TurnedOver != laidFaceDown {
			continue
		}
		if w.Any {
			return 0, true
		}
		d := mod(laid-w.Angle, 360)
		if d > 180 {
			d -= 360
		}
		if !found || math.Abs(d) < math.Abs(best) {
			best, found = d, true
		}
	}
	return best, found
}
