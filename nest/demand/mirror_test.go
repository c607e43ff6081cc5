package demand

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// mirrored is a shape that is its own mirror image in a line at angle axis,
// degrees: half of it is invented, the rest is its image.
func mirrored(t *rapid.T, axis float64) *nest.Shape {
	n := rapid.IntRange(1, 12).Draw(t, "points")
	r := orb.Ring{{-rapid.Float64Range(20, 900).Draw(t, "behind"), 0}}
	var image orb.Ring
	for i := range n {
		a := math.Pi * (float64(i) + 0.9) / (float64(n) + 0.9)
		d := rapid.Float64Range(20, 900).Draw(t, "d")
		p := orb.Point{-d * math.Cos(a), -d * math.Sin(a)}
		r = append(r, p)
		image = append(image, orb.Point{p[0], -p[1]})
	}
	for i := range image {
		r = append(r, image[n-1-i])
	}
	to := geom.Transform{Rotation: axis, X: rapid.Float64Range(-3000, 3000).Draw(t, "sx"), Y: rapid.Float64Range(-3000, 3000).Draw(t, "sy")}
	s := &nest.Shape{ID: "S1", Cut: nest.Polygon{Outline: Ring(to.Ring(r)), Holes: []nest.Ring{}}}
	if rapid.Bool().Draw(t, "hole") {
		s.Cut.Holes = append(s.Cut.Holes, Ring(to.Ring(orb.Ring{{-5, -3}, {-5, 3}, {6, 0}})))
	}
	s.Net = s.Cut
	return s
}

// lay puts a ply of a shape, turned over, on the table.
func lay(s *nest.Shape, d *nest.Demand, f *shapes.Fabric, down bool, rotation, x, y float64) nest.Placed {
	pl := nest.Placed{RotationDeg: nest.RoundAngle(shapes.NormalRotation(rotation)), TurnedOver: true,
		OppositeHand: d.OppositeHand, X: nest.Round(x), Y: nest.Round(y)}
	to := geom.Transform{Mirror: !d.OppositeHand, Rotation: pl.RotationDeg, X: pl.X, Y: pl.Y}
	pl.Outline = Ring(to.Ring(toOrb(s.Cut.Outline)))
	for _, h := range s.Cut.Holes {
		pl.Holes = append(pl.Holes, Ring(to.Ring(toOrb(h))))
	}
	SetAngles(&pl, d, f, down)
	return pl
}

// outlineOff is how far the stated pose of a ply is from its outline, whatever
// vertex the outline begins at.
func outlineOff(s *nest.Shape, pl *nest.Placed) float64 {
	to := geom.Transform{Mirror: pl.TurnedOver != pl.OppositeHand, Rotation: pl.RotationDeg, X: pl.X, Y: pl.Y}
	want := to.Ring(toOrb(s.Cut.Outline))
	best := math.Inf(1)
	for k := range want {
		off := 0.0
		for i, v := range pl.Outline {
			w := want[(i+k)%len(want)]
			off = max(off, math.Hypot(v[0]-w[0], v[1]-w[1]))
		}
		best = min(best, off)
	}
	return best
}

var (
	felt  = &shapes.Fabric{Name: "CSM 450", Construction: shapes.Mat, Faces: shapes.SameFaces, ArealMass: 450}
	weave = &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, Faces: shapes.SameFaces, ArealMass: 600}
)

// On a mat a ply that is its own mirror image never needs turning, in either hand,
// wherever it lies; its outline stays.
func TestMirrorImageIsNotTurned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := mirrored(t, rapid.Float64Range(-180, 180).Draw(t, "axis"))
		d := &nest.Demand{Shape: "S1", Fabric: felt.Name, OppositeHand: rapid.Bool().Draw(t, "opposite")}
		pl := lay(s, d, felt, false, rapid.Float64Range(-180, 180).Draw(t, "r"), rapid.Float64Range(0, 9000).Draw(t, "x"), rapid.Float64Range(0, 2000).Draw(t, "y"))
		before := pl
		mirrors := Mirrors(s)
		require.NotEmpty(t, mirrors)
		if !Unturn(&pl, d, s, mirrors, felt, false, 0) {
			// Three roundings may add up to more than the verifier allows.
			require.Equal(t, before, pl)
			t.Skip("rounding")
		}
		require.False(t, pl.TurnedOver)
		require.Equal(t, before.Outline, pl.Outline)
		require.Equal(t, before.Holes, pl.Holes)
		require.LessOrEqual(t, outlineOff(s, &pl), verify.VertexTolerance)
	})
}

// A weave's ply is left turned over where the other face would lay its fibre
// past the tolerance, and never lies further off than that.
func TestMirrorImageKeepsItsFibre(t *testing.T) {
	kept, changed := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		axis := rapid.SampledFrom([]float64{0, 45, 90, 22.5, 30, -1, 3}).Draw(t, "axis")
		s := mirrored(t, axis)
		d := &nest.Demand{Shape: "S1", Fabric: weave.Name, OppositeHand: rapid.Bool().Draw(t, "opposite"),
			DirectionDeg: rapid.SampledFrom([]float64{0, 45, 90, -30, 22.5}).Draw(t, "direction")}
		slack := rapid.SampledFrom([]float64{0, 2, 8}).Draw(t, "slack")
		down := rapid.Bool().Draw(t, "down")
		asked := d.DirectionDeg
		if d.OppositeHand {
			asked = -asked
		}
		pl := lay(s, d, weave, down, shapes.RotationFor(asked+rapid.Float64Range(-1, 1).Draw(t, "off")*slack, true), 500, 300)
		require.LessOrEqual(t, math.Abs(pl.DeviationDeg), slack+1e-8)
		before := pl
		if !Unturn(&pl, d, s, Mirrors(s), weave, down, slack) {
			require.Equal(t, before, pl)
			kept++
			return
		}
		changed++
		_, off, why := verify.Direction(weave, d.DirectionDeg, pl.RotationDeg, pl.TurnedOver, pl.OppositeHand, down)
		require.Empty(t, why)
		require.InDelta(t, off, pl.DeviationDeg, 1e-6)
		require.LessOrEqual(t, math.Abs(off), slack+1e-7)
		require.Equal(t, before.Outline, pl.Outline)
		require.LessOrEqual(t, outlineOff(s, &pl), verify.VertexTolerance)
	})
	require.Positive(t, kept)
	require.Positive(t, changed)
}

// A rectangle off its axes by a hundredth of a millimetre, one with a cut-out or
// a slit to one side, and a parallelogram are no mirror images of themselves.
func TestOtherShapesStayTurned(t *testing.T) {
	box := nest.Ring{{0, 0}, {400, 0}, {400, 100}, {0, 100}}
	slit := func(y0, y1 float64) []shapes.Mark {
		return []shapes.Mark{{Kind: shapes.MarkSlit, Line: orb.LineString{{50, y0}, {90, y1}}}}
	}
	d := &nest.Demand{Shape: "S1", Fabric: felt.Name}
	for name, c := range map[string]struct {
		s   nest.Shape
		can bool
	}{
		"rectangle":       {nest.Shape{Cut: nest.Polygon{Outline: box}}, true},
		"slit in middle":  {nest.Shape{Cut: nest.Polygon{Outline: box}, Marks: slit(50, 50)}, true},
		"slit aside":      {nest.Shape{Cut: nest.Polygon{Outline: box}, Marks: slit(20, 30)}, false},
		"cut-out aside":   {nest.Shape{Cut: nest.Polygon{Outline: box, Holes: []nest.Ring{{{20, 20}, {20, 30}, {40, 25}}}}}, false},
		"nearly":          {nest.Shape{Cut: nest.Polygon{Outline: nest.Ring{{0, 0}, {400, 0.01}, {400, 100}, {0, 100}}}}, false},
		"parallelogram":   {nest.Shape{Cut: nest.Polygon{Outline: nest.Ring{{0, 0}, {400, 0}, {450, 100}, {50, 100}}}}, false},
		"unequal corners": {nest.Shape{Cut: nest.Polygon{Outline: nest.Ring{{0, 0}, {400, 0}, {400, 100}, {200, 100}, {0, 60}}}}, false},
	} {
		pl := lay(&c.s, d, felt, false, 33, 1000, 200)
		require.Equal(t, c.can, Unturn(&pl, d, &c.s, Mirrors(&c.s), felt, false, 0), name)
		require.Equal(t, !c.can, pl.TurnedOver, name)
	}
}
