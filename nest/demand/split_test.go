package demand

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

// A handed pair that must be split: its seams must suit both hands. Quadraxial
// [0/45/90/-45] at 30 may lie face up at 30 and turned over at -15; the
// opposite hand lies at -30 and -75, which is 30 and 75 in the first hand's
// frame. Only 30 serves both.
func TestSplitServesBothHands(t *testing.T) {
	f := &shapes.Fabric{Name: "QX 900", Construction: shapes.Quadraxial, Faces: shapes.SameFaces,
		Layers: []shapes.FabricLayer{{Angle: 0, Mass: 225}, {Angle: 45, Mass: 225}, {Angle: 90, Mass: 225}, {Angle: -45, Mass: 225}}}
	ply := &shapes.Ply{Name: "A", Fabric: f, Count: 2, OppositeHand: 1, Direction: 30}
	require.Equal(t, []float64{30}, axes(ply))
	ply.OppositeHand = 0
	require.Equal(t, []float64{30, -15}, axes(ply))
	ply.OppositeHand = 2
	require.Equal(t, []float64{30, 75}, axes(ply))
}

func TestPanelsOfBothHandsFit(t *testing.T) {
	o := &shapes.Outline{Name: "SKIN", Exterior: orb.Ring{{0, 0}, {2000, 0}, {2100, 1600}, {0, 1500}}}
	f := &shapes.Fabric{Name: "BX 600", Construction: shapes.Biaxial, Faces: shapes.SameFaces, LayerOrderMatters: true,
		Layers: []shapes.FabricLayer{{Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}}}
	room := Room{Width: 1240, Length: 4000, Gap: 3}
	_, _, problems := Expand(job(f, &shapes.Ply{Order: 1, Name: "A", Outline: o, Count: 2, OppositeHand: 1, Direction: 0,
		Split: &shapes.Split{Joint: shapes.JointLap, Overlap: 50}}), func(*shapes.Fabric) Room { return room })
	// The true mirror of [45/-45] needs the warp at 90°: no axis serves both.
	require.ErrorContains(t, problems.Err(), "no direction of the warp serves both hands")
}
