package verify

import (
	"fmt"
	"math"

	"plyroom/nest"
	"plyroom/shapes"
)

// How fibre direction is derived.
//
// Layout coordinates: the warp lies along x. A piece is laid by putting its
// datum axis on the part's. Cut with its outline rotated by r, its datum lies
// at r on the table, so the warp is at -r from the datum. Cut with its outline
// mirrored and then rotated by r, it is turned over before it is laid; turning
// over changes the sign of every angle: the warp is at +r.
//
// The face: a piece laid as it was cut has the face that lay up on the table,
// a piece turned over the other one. On a layer that lies face down, it is the
// pieces turned over that are laid face up.
//
// A fabric laid with its warp at w is, seen from above on the tool, the stack
// S+w face up, where S is its list of layers bottom to top, and face down the
// stack R+w, where R is S in reverse order with the sign of every angle
// changed. What is asked is
//
//	S+d   for the first hand,
//	S-d   for the opposite hand: the same fabric, direction negated,
//	M-d   for the opposite hand where layer order matters: the mirror image of
//	      S+d, which is M-d with M the list S with every sign changed.
//
// So a warp angle answers the demand where it is the asked angle (d or -d)
// plus an e with laid stack + e = asked stack, both at angle 0: from S, R and
// M alone. That e, in (-90, 90], is the base; for stitched fabrics it is
// unique but for half turns, since a stack that begins with its own first
// layer can only be turned by 180°. About the base lie the fabric's own
// positions: half turns, quarter turns for balanced weaves, or those that the
// job states.

// A position tells where a fabric's warp may lie: at the asked angle plus base
// plus one of turns.
type position struct {
	base  float64
	turns []float64
	// any: every angle is right.
	any bool
}

// warpPosition derives the position for one face as laid and one hand. Where
// the fabric cannot be laid so, it says why.
func warpPosition(f *shapes.Fabric, faceDown, oppositeHand bool) (position, string) {
	if faceDown && f.Faces != shapes.SameFaces {
		return position{}, "its faces differ"
	}
	base, why := warpBase(f, faceDown, oppositeHand && f.LayerOrderMatters)
	if why != "" {
		return position{}, why
	}
	if len(f.WarpPositions) > 0 {
		// The base is known but for half turns. Where a half turn is no
		// position of this fabric, only an unturned warp is beyond doubt.
		pos := position{base: base, turns: f.WarpPositions}
		if base != 0 && !pos.halfTurns() {
			return position{}, "its stated warp positions tell the two ways of the warp apart, and this needs the warp turned"
		}
		return pos, ""
	}
	switch f.Construction {
	case shapes.Mat, shapes.Film, shapes.Core:
		return position{any: true}, ""
	case shapes.Plain:
		if f.Balanced {
			return position{base, []float64{0, 90, 180, 270}, false}, ""
		}
	case shapes.Twill:
		if f.Balanced && f.DiagonalFree {
			return position{base, []float64{0, 90, 180, 270}, false}, ""
		}
	}
	return position{base: base, turns: []float64{0, 180}}, ""
}

// warpBase finds the base for a face and a hand; mirror asks for the true
// mirror image of the stack.
func warpBase(f *shapes.Fabric, faceDown, mirror bool) (base float64, why string) {
	switch f.Construction {
	case shapes.Satin:
		if faceDown {
			return 0, "the faces of a satin differ"
		}
		return 0, ""
	case shapes.Twill:
		if faceDown && !f.DiagonalFree {
			return 0, "the diagonal of a twill is reversed when it is turned over"
		}
		return 0, ""
	case shapes.Unidirectional, shapes.Biaxial, shapes.Triaxial, shapes.Quadraxial:
		stack := stackOf(f)
		laid, asked := stack, stack
		if faceDown {
			laid = turnedStack(stack)
		}
		if mirror {
			asked = mirroredStack(stack)
		}
		if !faceDown && !mirror {
			return 0, ""
		}
		if len(stack) == 0 {
			return 0, "its layers are not listed, so the stack cannot be compared"
		}
		e, ok := turnBetween(laid, asked)
		if !ok {
			if mirror {
				return 0, "no angle gives the mirror image of its layers"
			}
			return 0, "no angle gives its layers again once it is turned over"
		}
		return e, ""
	}
	return 0, ""
}

// stackOf lists the layers of a stitched fabric, bottom to top, face up. A
// unidirectional that lists none is one layer along the warp.
func stackOf(f *shapes.Fabric) []shapes.FabricLayer {
	if len(f.Layers) == 0 && f.Construction == shapes.Unidirectional {
		return []shapes.FabricLayer{{Angle: 0, Mass: f.ArealMass}}
	}
	return f.Layers
}

// turnedStack is a stack seen from its other side.
func turnedStack(s []shapes.FabricLayer) []shapes.FabricLayer {
	out := make([]shapes.FabricLayer, len(s))
	for i, l := range s {
		out[len(s)-1-i] = shapes.FabricLayer{Angle: -l.Angle, Mass: l.Mass}
	}
	return out
}

// mirroredStack is a stack in a mirror that stands upright on the datum.
func mirroredStack(s []shapes.FabricLayer) []shapes.FabricLayer {
	out := make([]shapes.FabricLayer, len(s))
	for i, l := range s {
		out[i] = shapes.FabricLayer{Angle: -l.Angle, Mass: l.Mass}
	}
	return out
}

// turnBetween finds the angle in (-90, 90] that turns stack a into stack b.
func turnBetween(a, b []shapes.FabricLayer) (float64, bool) {
	e := b[0].Angle - a[0].Angle
	for i := range a {
		if math.Abs(a[i].Mass-b[i].Mass) > AngleTolerance ||
			math.Abs(wrap(a[i].Angle+e-b[i].Angle, 180)) > AngleTolerance {
			return 0, false
		}
	}
	return wrap(e, 180), true
}

// wrap brings an angle into (-period/2, period/2].
func wrap(a, period float64) float64 {
	a = math.Mod(a, period)
	switch {
	case a > period/2:
		a -= period
	case a <= -period/2:
		a += period
	}
	return a
}

// halfTurns reports whether with every position the opposite one counts too,
// so that directions mean lines and not arrows.
func (p position) halfTurns() bool {
	for _, t := range p.turns {
		found := false
		for _, u := range p.turns {
			found = found || math.Abs(wrap(t+180-u, 360)) <= AngleTolerance
		}
		if !found {
			return false
		}
	}
	return true
}

// deviations lists laid minus every equivalent of asked, each in (-180, 180].
func (p position) deviations(laid, asked float64) []float64 {
	if p.any {
		return []float64{0}
	}
	out := make([]float64, len(p.turns))
	for i, t := range p.turns {
		out[i] = wrap(laid-(asked+p.base+t), 360)
	}
	return out
}

// directions checks rule 7 for every piece.
func (c *checker) directions() {
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for i := range lay.Placed {
			p := &lay.Placed[i]
			d, f, layer := c.demands[p.Key()], c.record.Fabric(p.Fabric), findLayer(lay, p.Layer)
			if d == nil || f == nil || layer == nil {
				continue // rules 1 and 2 say so
			}
			c.direction(lay, i, d, f, layer)
		}
	}
}

// direction checks one piece: face, deviation, and the figures recorded.
func (c *checker) direction(lay *nest.Layout, i int, d *nest.Demand, f *shapes.Fabric, layer *nest.Layer) {
	p := &lay.Placed[i]
	say := func(measured, limit float64, unit, format string, args ...any) {
		c.addPly(lay, i, Violation{Rule: RuleDirection, Measured: measured, Limit: limit, Unit: unit,
			Message: fmt.Sprintf(format, args...)})
	}
	down := layer.Face == "down"
	laid, asked := laidAngle(p.RotationDeg, p.TurnedOver), askedAngle(d.DirectionDeg, d.OppositeHand)
	pos, why := warpPosition(f, p.TurnedOver != down, d.OppositeHand)
	if why != "" {
		how := "face up"
		if p.TurnedOver != down {
			how = "face down"
		}
		if d.OppositeHand {
			how += " for the opposite hand"
		}
		say(0, 0, "", "%s may not be laid %s: %s", f.Name, how, why)
		return
	}
	devs := pos.deviations(laid, asked)
	least := smallest(devs)
	limit := max(min(d.ToleranceDeg, c.record.Rules.AngleTolerance), 0)
	if !(math.Abs(least) <= limit+AngleTolerance) {
		say(least, limit, "deg", "the warp is laid at %.6g°, %.6g° off what is asked; %.6g° is allowed", wrap(laid, 180), least, limit)
	}
	c.recorded(lay, i, pos, laid, devs, math.Abs(least))
}

// laidAngle is the warp's angle from the piece's datum as laid.
func laidAngle(rotation float64, turnedOver bool) float64 {
	if turnedOver {
		return rotation
	}
	return -rotation
}

// askedAngle is the warp's angle asked of a hand.
func askedAngle(direction float64, oppositeHand bool) float64 {
	if oppositeHand {
		return -direction
	}
	return direction
}

func smallest(devs []float64) float64 {
	least := devs[0]
	for _, v := range devs {
		if math.Abs(v) < math.Abs(least) {
			least = v
		}
	}
	return least
}

// Direction judges one piece as rule 7 does, for tools and tests without a
// record: the warp's angle as laid, in (-180, 180], and how far that is from
// the nearest equivalent of what is asked, signed; or why the fabric cannot be
// laid so at all. A layer that lies face down on the table is layerDown.
func Direction(f *shapes.Fabric, direction, rotation float64, turnedOver, oppositeHand, layerDown bool) (laid, deviation float64, why string) {
	laid = laidAngle(rotation, turnedOver)
	pos, why := warpPosition(f, turnedOver != layerDown, oppositeHand)
	if why != "" {
		return wrap(laid, 360), 0, why
	}
	return wrap(laid, 360), smallest(pos.deviations(laid, askedAngle(direction, oppositeHand))), ""
}

// recorded checks the laid direction and the deviation that the record states.
// Where two equivalents are equally near, either deviation is right.
func (c *checker) recorded(lay *nest.Layout, i int, pos position, laid float64, devs []float64, least float64) {
	p := &lay.Placed[i]
	say := func(measured, limit float64, format string, args ...any) {
		c.addPly(lay, i, Violation{Rule: RuleDirection, Measured: measured, Limit: limit, Unit: "deg",
			Message: fmt.Sprintf(format, args...)})
	}
	period := 360.0
	if pos.any || pos.halfTurns() {
		period = 180
	}
	switch {
	case !(math.Abs(wrap(p.LaidDeg-laid, period)) <= RecordedAngleTolerance):
		say(p.LaidDeg, wrap(laid, period), "the record says that the warp is laid at %.6f°; it is laid at %.6f°", p.LaidDeg, wrap(laid, period))
	case math.Abs(p.LaidDeg) > period/2+RecordedAngleTolerance:
		say(p.LaidDeg, wrap(laid, period), "the record gives the laid direction as %.6f°, outside the half circle; %.6f° is meant", p.LaidDeg, wrap(laid, period))
	}
	for _, v := range devs {
		if math.Abs(v) <= least+RecordedAngleTolerance && math.Abs(p.DeviationDeg-v) <= RecordedAngleTolerance {
			return
		}
	}
	say(p.DeviationDeg, least, "the record gives a deviation of %.6f°; it is %.6f° in size", p.DeviationDeg, least)
}
