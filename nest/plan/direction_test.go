package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// TestTwoDerivationsAgree compares the packer's side of fibre direction
// (shapes.WarpAngles) with the verifier's, written apart from it: for any
// fabric, hand, roll, face and rotation both must accept or both refuse.
func TestTwoDerivationsAgree(t *testing.T) {
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		f := shapes.Fabric{
			Name: "F", ArealMass: 300, GlassContent: 0.5, FibreDensity: 2.56, Width: 1000,
			Construction:      rapid.SampledFrom(shapes.Constructions).Draw(t, "construction"),
			Faces:             rapid.SampledFrom([]shapes.Faces{shapes.SameFaces, shapes.DifferentFaces}).Draw(t, "faces"),
			LayerOrderMatters: rapid.Bool().Draw(t, "order"),
		}
		if f.Construction.Woven() {
			f.Balanced = rapid.Bool().Draw(t, "balanced")
		}
		if f.Construction == shapes.Twill {
			f.DiagonalFree = rapid.Bool().Draw(t, "diagonal")
		}
		if f.Construction == shapes.Satin {
			f.Faces = shapes.DifferentFaces
		}
		layers := map[shapes.Construction]int{shapes.Unidirectional: 1, shapes.Biaxial: 2, shapes.Triaxial: 3, shapes.Quadraxial: 4}[f.Construction]
		for range layers {
			f.Layers = append(f.Layers, shapes.FabricLayer{
				Angle: rapid.SampledFrom([]float64{0, 45, -45, 90, 30, -60}).Draw(t, "layer"),
				Mass:  rapid.SampledFrom([]float64{150, 150, 300}).Draw(t, "mass")})
		}
		if f.Construction == shapes.Unidirectional {
			f.Layers[0].Angle = 0
		}
		if !f.Construction.Directionless() && rapid.IntRange(0, 4).Draw(t, "stated") == 0 {
			f.WarpPositions = []float64{0, rapid.SampledFrom([]float64{90, 180, 270}).Draw(t, "position")}
		}
		down := rapid.Bool().Draw(t, "face down")
		f.Rolls = []shapes.Roll{{Name: "R", FaceDown: down}}

		d := nest.Demand{Part: "P", Unit: 1, Order: 1, Ply: "A", Copy: 1, Fabric: "F", Shape: "S1",
			DirectionDeg: rapid.SampledFrom([]float64{0, 30, 45, -45, 90, 15}).Draw(t, "direction"),
			ToleranceDeg: 2, OppositeHand: rapid.Bool().Draw(t, "opposite")}
		r := rapid.SampledFrom([]float64{-180, -135, -90, -60, -45, -30, 0, 15, 30, 45, 60, 90, 120, 135, 150}).Draw(t, "rotation") +
			rapid.SampledFrom([]float64{0, 0, 1, -1, 3}).Draw(t, "off")
		r = shapes.NormalRotation(r)
		turned := rapid.Bool().Draw(t, "turned")

		allowed := f.WarpAngles(d.DirectionDeg, d.OppositeHand)
		laid := shapes.LaidAngle(r, turned)
		dev, ok := shapes.Deviation(laid, turned != down, allowed)
		ours := ok && math.Abs(dev) <= 1+1e-9

		face := "up"
		if down {
			face = "down"
		}
		ring := nest.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}}
		rec := &nest.Record{Format: 1, Units: "mm", Fabrics: []shapes.Fabric{f}, Parts: []nest.Part{{Part: "P", Units: 1}},
			Rules:  shapes.Cutting{AngleTolerance: 1, Layers: 1},
			Shapes: []nest.Shape{{ID: "S1", Net: nest.Polygon{Outline: ring}, Cut: nest.Polygon{Outline: ring}}},
			Demand: []nest.Demand{d},
			Layouts: []nest.Layout{{ID: "L1", Length: 100, Width: 1000, Usable: [2]nest.Point{{0, 0}, {100, 1000}},
				Layers: []nest.Layer{{Layer: 1, Fabric: "F", Roll: "R", Face: face}},
				Placed: []nest.Placed{{Part: "P", Unit: 1, Ply: "A", Order: 1, Copy: 1, Layer: 1, Fabric: "F",
					RotationDeg: r, TurnedOver: turned, OppositeHand: d.OppositeHand, Outline: ring,
					LaidDeg: shapes.NormalDirection(laid), DeviationDeg: dev}}}}}
		theirs := true
		for _, v := range verify.Check(rec) {
			if v.Rule == verify.RuleDirection && !strings.Contains(v.Message, "record") {
				theirs = false
			}
		}
		if ours != theirs {
			t.Fatalf("WarpAngles accepts: %v, the verifier accepts: %v\nfabric %+v\ndemand %+v\nr %v turned %v down %v\nallowed %+v dev %v",
				ours, theirs, f, d, r, turned, down, allowed, dev)
		}
		if ours {
			accepted++
		}
	})
	require.Positive(t, accepted, "the cases never hit an allowed position")
}

// A roll that unrolls face down: a fabric whose faces differ is then cut
// mirrored throughout and every ply turned over.
func TestFaceDownRoll(t *testing.T) {
	f := roving()
	f.Faces = shapes.DifferentFaces
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 20_000, FaceDown: true}}
	o := rectangle("P", 400, 250)
	o.Exterior[2][0] = 300
	rec := lay(t, small(f, &shapes.Ply{Name: "A", Outline: o, Count: 3, OppositeHand: 1}))
	for _, p := range rec.Layouts[0].Placed {
		require.True(t, p.TurnedOver)
	}
	f.Rolls = append(f.Rolls, shapes.Roll{Name: "R-2", Length: 20_000})
	f.Rolls[0].Length, f.Rolls[1].Length = 500, 900 // one ply, turned over, and two
	rec = lay(t, small(f, &shapes.Ply{Name: "A", Outline: rectangle("P", 400, 1200), Count: 3}))
	require.Len(t, rec.Layouts, 2)
	for _, l := range rec.Layouts {
		for _, p := range l.Placed {
			require.Equal(t, l.Layers[0].Face == "down", p.TurnedOver)
		}
	}
}
