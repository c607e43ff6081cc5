package demand

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

func triangle() *shapes.Outline {
	return &shapes.Outline{Name: "GUSSET", Exterior: orb.Ring{{0, 0}, {600, 0}, {0, 300}}, Area: 90_000}
}

func job(f *shapes.Fabric, plies ...*shapes.Ply) *shapes.Job {
	for _, p := range plies {
		p.Fabric = f
	}
	return &shapes.Job{Fabrics: []*shapes.Fabric{f}, Parts: []*shapes.Part{{Name: "Bulkhead", Units: 2, Plies: plies}}}
}

func TestExpandListsEveryPieceOnce(t *testing.T) {
	o := triangle()
	f := &shapes.Fabric{Name: "UD 300", Construction: shapes.Unidirectional, Faces: shapes.SameFaces}
	pieces, table, problems := Expand(job(f,
		&shapes.Ply{Order: 1, Name: "A", Outline: o, Count: 3, OppositeHand: 1, Direction: 30, Tolerance: 2},
		&shapes.Ply{Order: 2, Name: "B", Outline: o, Count: 1},
	))
	require.Empty(t, problems)
	require.Len(t, table, 1, "one outline, one shape")
	require.Len(t, pieces, 8)
	hands := 0
	seen := map[nest.Key]bool{}
	for _, p := range pieces {
		require.False(t, seen[p.Key()], p.Key())
		seen[p.Key()] = true
		if p.OppositeHand {
			hands++
			require.Equal(t, 3, p.Copy, "the last copy is the opposite one")
		}
	}
	require.Equal(t, 2, hands)
}

func TestTrimIsAddedAllRound(t *testing.T) {
	sq := &shapes.Outline{Name: "PATCH", Exterior: orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}},
		Holes: []orb.Ring{{{40, 40}, {40, 60}, {60, 60}, {60, 40}}}}
	f := &shapes.Fabric{Name: "CSM 450", Construction: shapes.Mat, Faces: shapes.SameFaces}
	_, table, problems := Expand(job(f,
		&shapes.Ply{Name: "A", Outline: sq, Count: 1, Trim: 5},
		&shapes.Ply{Name: "B", Outline: sq, Count: 1},
	))
	require.Empty(t, problems)
	require.Len(t, table, 2)
	lo, hi := table[0].Cut.Outline[0], table[0].Cut.Outline[0]
	for _, p := range table[0].Cut.Outline {
		lo = nest.Point{min(lo[0], p[0]), min(lo[1], p[1])}
		hi = nest.Point{max(hi[0], p[0]), max(hi[1], p[1])}
	}
	for _, v := range []float64{-lo[0], -lo[1], hi[0] - 100, hi[1] - 100} {
		require.GreaterOrEqual(t, v, 5-1e-6)
		require.LessOrEqual(t, v, 5.06)
	}
	require.Len(t, table[0].Cut.Holes, 1)
	require.Equal(t, table[1].Net, table[1].Cut)
	require.Equal(t, table[1].Net, table[0].Net)
}

// A handed pair of one outline: the opposite hand turned over has the first
// hand's polygon, so both hands are one kind where the faces are the same.
// Opposite hand at -30 lies at r = +30; turned over at r = -30.
func TestHandedPair(t *testing.T) {
	ply := func() *shapes.Ply {
		return &shapes.Ply{Name: "A", Outline: triangle(), Count: 2, OppositeHand: 1, Direction: 30, Tolerance: 2}
	}
	f := &shapes.Fabric{Name: "UD 300", Construction: shapes.Unidirectional, Faces: shapes.SameFaces}
	pieces, _, _ := Expand(job(f, ply()))
	kinds := Kinds(pieces, f, 1)
	require.Len(t, kinds, 1)
	require.Equal(t, []Turn{
		{Mirrored: false, Rotation: -30, Slack: 1},
		{Mirrored: false, Rotation: 150, Slack: 1},
		{Mirrored: true, Rotation: -150, Slack: 1},
		{Mirrored: true, Rotation: 30, Slack: 1},
	}, kinds[0].Turns)

	f.Faces = shapes.DifferentFaces
	kinds = Kinds(pieces, f, 5)
	require.Len(t, kinds, 2, "face up only, the hands differ on the table")
	require.Equal(t, []Turn{{Rotation: -30, Slack: 2}, {Rotation: 150, Slack: 2}}, kinds[0].Turns)
	require.Equal(t, []Turn{{Mirrored: true, Rotation: -150, Slack: 2}, {Mirrored: true, Rotation: 30, Slack: 2}}, kinds[1].Turns)
}

func TestOppositeHandThatCannotBe(t *testing.T) {
	f := &shapes.Fabric{Name: "TX 900", Construction: shapes.Triaxial, Faces: shapes.SameFaces, LayerOrderMatters: true,
		Layers: []shapes.FabricLayer{{Angle: 0, Mass: 300}, {Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}}}
	_, _, problems := Expand(job(f, &shapes.Ply{Name: "A", Outline: triangle(), Count: 2, OppositeHand: 1, File: "job.yaml", Line: 7}))
	require.Len(t, problems, 2-1)
	require.Equal(t, `job.yaml:7: Bulkhead, ply A: fabric "TX 900" cannot give the mirrored stack of the opposite hand; `+
		`list the opposite hand with a fabric of mirrored layers, or drop layer_order: matters`, problems[0].Error())
}
