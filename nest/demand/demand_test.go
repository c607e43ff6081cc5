package demand

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

// expand gives every fabric room without end.
func expand(j *shapes.Job) ([]nest.Demand, []nest.Shape, shapes.Problems) {
	return Expand(j, func(*shapes.Fabric) Room { return Room{Width: 1e5, Length: 1e5} })
}

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
	pieces, table, problems := expand(job(f,
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
	_, table, problems := expand(job(f,
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
	pieces, _, _ := expand(job(f, ply()))
	kinds := Kinds(pieces, all(pieces), f, 1, false)
	require.Len(t, kinds, 1)
	require.Equal(t, []Turn{
		{Mirrored: false, Rotation: -30, Slack: 1},
		{Mirrored: false, Rotation: 150, Slack: 1},
		{Mirrored: true, Rotation: -150, Slack: 1},
		{Mirrored: true, Rotation: 30, Slack: 1},
	}, kinds[0].Turns)

	f.Faces = shapes.DifferentFaces
	kinds = Kinds(pieces, all(pieces), f, 5, false)
	require.Len(t, kinds, 2, "face up only, the hands differ on the table")
	require.Equal(t, []Turn{{Rotation: -30, Slack: 2}, {Rotation: 150, Slack: 2}}, kinds[0].Turns)
	require.Equal(t, []Turn{{Mirrored: true, Rotation: -150, Slack: 2}, {Mirrored: true, Rotation: 30, Slack: 2}}, kinds[1].Turns)
}

func TestOppositeHandThatCannotBe(t *testing.T) {
	f := &shapes.Fabric{Name: "TX 900", Construction: shapes.Triaxial, Faces: shapes.SameFaces, LayerOrderMatters: true,
		Layers: []shapes.FabricLayer{{Angle: 0, Mass: 300}, {Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}}}
	_, _, problems := expand(job(f, &shapes.Ply{Name: "A", Outline: triangle(), Count: 2, OppositeHand: 1, File: "job.yaml", Line: 7}))
	require.Len(t, problems, 2-1)
	require.Equal(t, `job.yaml:7: Bulkhead, ply A: fabric "TX 900" cannot give the mirrored stack of the opposite hand; `+
		`list the opposite hand with a fabric of mirrored layers, or drop layer_order: matters`, problems[0].Error())
}

// A wide ply, worked by hand: 2000 × 1600, balanced weave, usable 1240,
// direction 0, lap 50. Along the datum: two panels 2000 × 825 that cannot lie
// side by side, 4000 of strip. Turned 90°: two panels 1025 × 1600, 3200 of
// strip, which is less. Net 3.20 m², cut 1600·1025·2 = 3.28 m².
func TestWidePlyIsSplit(t *testing.T) {
	o := &shapes.Outline{Name: "SKIN", Exterior: orb.Ring{{0, 0}, {2000, 0}, {2000, 1600}, {0, 1600}}}
	lap := &shapes.Split{Joint: shapes.JointLap, Overlap: 50, Stagger: 100}
	f := &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, Balanced: true, Faces: shapes.SameFaces}
	room := func(*shapes.Fabric) Room { return Room{Width: 1240, Length: 1e5, Gap: 3} }

	pieces, table, problems := Expand(job(f, &shapes.Ply{Order: 1, Name: "U02", Outline: o, Count: 1, Split: lap}), room)
	require.Empty(t, problems)
	require.Equal(t, Ring(o.Exterior), table[0].Cut.Outline, "the whole ply is on record")
	table = cutShapes(pieces, table)
	require.Len(t, table, 2)
	require.Len(t, pieces, 4, "two panels for each of two units")
	require.Equal(t, "U02-1", pieces[0].Ply)
	require.Equal(t, &nest.Panel{Ply: "U02", Number: 2, Of: 2, Whole: "S1", Stagger: 100, Joint: shapes.JointLap, Overlap: 50,
		AxisDeg: 90, Seams: []float64{-1000}}, pieces[1].Panel)
	area := 0.0
	for _, s := range table {
		require.InDelta(t, 1025*1600, polygonArea(s.Cut), 1)
		require.InDelta(t, 25*1600, s.LapArea, 1)
		require.Len(t, s.Marks, 1)
		require.Equal(t, shapes.MarkSeam, s.Marks[0].Kind)
		require.InDelta(t, 1000, s.Marks[0].Line[0][0], 1e-6)
		area += polygonArea(s.Cut) - s.LapArea
	}
	require.InDelta(t, 3.2e6, area, 1)

	// Not balanced: the warp must lie along the datum, seam at 800; the next
	// ply of the outline has its seam at 900.
	f.Balanced = false
	pieces, table, problems = Expand(job(f,
		&shapes.Ply{Order: 1, Name: "U02", Outline: o, Count: 1, Split: lap},
		&shapes.Ply{Order: 2, Name: "U03", Outline: o, Count: 1, Split: lap},
		&shapes.Ply{Order: 3, Name: "U04", Outline: o, Count: 1, Split: lap}), room)
	require.Empty(t, problems)
	table = cutShapes(pieces, table)
	require.Equal(t, []float64{800}, pieces[0].Panel.Seams)
	require.Equal(t, []float64{900}, pieces[2].Panel.Seams)
	require.Equal(t, []float64{800}, pieces[4].Panel.Seams)
	require.InDelta(t, 2000*825, polygonArea(table[0].Cut), 1)
	require.InDelta(t, 2000*925, polygonArea(table[2].Cut), 1)
	require.InDelta(t, 2000*725, polygonArea(table[3].Cut), 1)
}

func TestUnidirectionalIsButtedAlongTheFibre(t *testing.T) {
	o := &shapes.Outline{Name: "SKIN", Exterior: orb.Ring{{0, 0}, {2000, 0}, {2000, 1600}, {0, 1600}}}
	f := &shapes.Fabric{Name: "UD 300", Construction: shapes.Unidirectional, Faces: shapes.SameFaces}
	ply := func() *shapes.Ply {
		return &shapes.Ply{Order: 1, Name: "A", Outline: o, Count: 1, Split: &shapes.Split{Joint: shapes.JointLap, Overlap: 50}}
	}
	pieces, table, problems := Expand(job(f, ply()), func(*shapes.Fabric) Room { return Room{Width: 1240, Length: 3000} })
	require.NoError(t, problems.Err())
	require.Len(t, problems, 1)
	require.Equal(t, shapes.JointButt, pieces[0].Panel.Joint)
	table = cutShapes(pieces, table)
	require.InDelta(t, 2000*800, polygonArea(table[0].Cut), 1)
	require.Zero(t, table[0].LapArea)

	_, _, problems = Expand(job(f, ply()), func(*shapes.Fabric) Room { return Room{Width: 1240, Length: 1500} })
	require.ErrorContains(t, problems.Err(), "unidirectional fibre is never cut across")
}

// A ply with a cut-out, trim and marks, divided in both directions: the panels
// without their laps make up the whole, and every panel fits the room.
func TestPanelsMakeUpTheWhole(t *testing.T) {
	o := &shapes.Outline{Name: "RING",
		Exterior: orb.Ring{{0, 0}, {3000, 0}, {3400, 1200}, {3000, 2500}, {0, 2500}, {-300, 1200}},
		Holes:    []orb.Ring{{{1000, 1000}, {1000, 1600}, {1800, 1600}, {1800, 1000}}},
		Marks:    []shapes.Mark{{Kind: shapes.MarkLine, Line: orb.LineString{{100, 1250}, {2900, 1250}}}}}
	f := &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, Faces: shapes.SameFaces}
	room := Room{Width: 1000, Length: 2000, Gap: 3}
	ply := &shapes.Ply{Order: 1, Name: "A", Outline: o, Count: 1, Direction: 20, Trim: 10,
		Split: &shapes.Split{Joint: shapes.JointLap, Overlap: 60}}
	pieces, table, problems := Expand(job(f, ply), func(*shapes.Fabric) Room { return room })
	require.Empty(t, problems)
	table = cutShapes(pieces, table)
	require.GreaterOrEqual(t, len(table), 6)
	net, marked := 0.0, 0.0
	for i, s := range table {
		net += polygonArea(s.Net) - s.LapArea
		require.Greater(t, polygonArea(s.Cut), polygonArea(s.Net)-1)
		es := Extents(toOrb(s.Cut.Outline), Turns(f, pieces[i], 0, false))
		require.LessOrEqual(t, LeastAlong(es, room.Width), room.Length+1e-3, s.ID)
		for _, m := range s.Marks {
			if m.Kind == shapes.MarkLine {
				for k := 0; k+1 < len(m.Line); k++ {
					marked += m.Line[k+1][0] - m.Line[k][0]
				}
			}
		}
	}
	want := polygonArea(nest.Polygon{Outline: Ring(o.Exterior), Holes: []nest.Ring{Ring(o.Holes[0])}})
	require.InDelta(t, want, net, 5)
	require.GreaterOrEqual(t, marked, 2800-1e-3, "no part of the mark is lost")
}

// all is every place in the demand.
func all(pieces []nest.Demand) []int {
	out := make([]int, len(pieces))
	for i := range out {
		out[i] = i
	}
	return out
}

// cutShapes lists those shapes of a table that pieces are cut to: not the whole
// outlines of divided plies.
func cutShapes(pieces []nest.Demand, table []nest.Shape) []nest.Shape {
	var out []nest.Shape
	for _, s := range table {
		if slices.ContainsFunc(pieces, func(d nest.Demand) bool { return d.Shape == s.ID }) {
			out = append(out, s)
		}
	}
	return out
}
