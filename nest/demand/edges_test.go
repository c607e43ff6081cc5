package demand

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// Plies 2000 × 1800, whose middle at 900 is where two equal panels would meet:
//
//	cut-out below     step            tip              sliver
//	+----------+      +-------+       +----------+     +----------+
//	|          |      |       |       |          |     |  +--+    |
//	|- +--+ ---|      |- - - -+--+    |- --/\ ---|     |- +--+ ---| 0.0001 over
//	|  +--+    |      |          |    |   /__\   |     |          |
//	+----------+      +----------+    +----------+     +----------+
func awkward() map[string]*shapes.Outline {
	square := orb.Ring{{0, 0}, {2000, 0}, {2000, 1800}, {0, 1800}}
	with := func(hole ...orb.Point) *shapes.Outline {
		return &shapes.Outline{Name: "A", Exterior: square, Holes: []orb.Ring{hole}}
	}
	return map[string]*shapes.Outline{
		"cut-out below": with(orb.Point{600, 700}, orb.Point{600, 900}, orb.Point{800, 900}, orb.Point{800, 700}),
		"cut-out above": with(orb.Point{600, 900}, orb.Point{600, 1000}, orb.Point{800, 1000}, orb.Point{800, 900}),
		"step":          {Name: "A", Exterior: orb.Ring{{0, 0}, {2000, 0}, {2000, 900}, {1500, 900}, {1500, 1800}, {0, 1800}}},
		"tip":           with(orb.Point{500, 800}, orb.Point{600, 900}, orb.Point{700, 800}),
		"sliver":        with(orb.Point{600, 900.0001}, orb.Point{600, 1000}, orb.Point{800, 1000}, orb.Point{800, 900.0001}),
	}
}

// turned is an outline and the direction of its ply, both turned.
func turned(o *shapes.Outline, deg float64) *shapes.Outline {
	t := geom.Transform{Rotation: deg}
	out := &shapes.Outline{Name: o.Name, Exterior: t.Ring(o.Exterior)}
	for _, h := range o.Holes {
		out.Holes = append(out.Holes, t.Ring(h))
	}
	return out
}

func splitAwkward(o *shapes.Outline, deg float64, split shapes.Split) ([]nest.Demand, []nest.Shape, error) {
	f := &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, Faces: shapes.SameFaces}
	ply := &shapes.Ply{Order: 1, Name: "U1", Outline: turned(o, deg), Count: 1, Direction: deg, Split: &split}
	pieces, table, problems := Expand(job(f, ply), func(*shapes.Fabric) Room { return Room{Width: 980, Length: 1e5, Gap: 3} })
	return pieces, cutShapes(pieces, table), problems.Err()
}

// mustBeSound asks an outside library whether the panels are simple polygons,
// and compares their area, without laps, with the whole.
func mustBeSound(t *testing.T, o *shapes.Outline, table []nest.Shape) {
	t.Helper()
	area := 0.0
	for _, s := range table {
		rings := []sf.LineString{}
		for _, r := range append([]nest.Ring{s.Cut.Outline}, s.Cut.Holes...) {
			var xy []float64
			for i := range len(r) + 1 {
				xy = append(xy, r[i%len(r)][0], r[i%len(r)][1])
			}
			rings = append(rings, sf.NewLineString(sf.NewSequence(xy, sf.DimXY)))
			for i, p := range r {
				q := r[(i+1)%len(r)]
				require.Greater(t, math.Hypot(q[0]-p[0], q[1]-p[1]), LeastWeb/2.0, "no slivers")
			}
		}
		require.NoError(t, sf.NewPolygon(rings).Validate())
		area += polygonArea(s.Net) - s.LapArea
	}
	require.InDelta(t, geom.PolygonArea(o.Exterior, o.Holes), area, 3)
}

func TestSeamsKeepClearOfEdges(t *testing.T) {
	for name, o := range awkward() {
		for _, deg := range []float64{0, 30} {
			for _, split := range []shapes.Split{
				{Joint: shapes.JointButt}, {Joint: shapes.JointButt, Stagger: 100}, {Joint: shapes.JointLap, Overlap: 50},
			} {
				t.Run(name, func(t *testing.T) {
					pieces, table, err := splitAwkward(o, deg, split)
					require.NoError(t, err)
					require.Len(t, table, 2)
					mustBeSound(t, o, table)
					p := pieces[0].Panel
					require.Empty(t, p.Free)
					for _, l := range levels(deg, 1, polygon(turned(o, deg).Exterior, turned(o, deg).Holes)) {
						require.GreaterOrEqual(t, math.Abs(l.lo-p.Seams[0]+split.Overlap/2), float64(LeastWeb))
						require.GreaterOrEqual(t, math.Abs(l.lo-p.Seams[0]-split.Overlap/2), float64(LeastWeb))
					}
				})
			}
		}
	}
}

// A job may ask for a seam along an edge. The record says where it has fabric
// on one side only, and no seam is drawn there.
func TestSeamAlongAnEdge(t *testing.T) {
	for name, want := range map[string]stretch{
		"cut-out below": {600, 800}, "cut-out above": {600, 800}, "sliver": {600, 800}, "step": {1500, 2000},
	} {
		for _, deg := range []float64{0, 30, 90} {
			t.Run(name, func(t *testing.T) {
				o := awkward()[name]
				pieces, table, err := splitAwkward(o, deg, shapes.Split{Joint: shapes.JointButt, Seams: []float64{900}})
				require.NoError(t, err)
				require.Len(t, table, 2)
				mustBeSound(t, o, table)
				for i, s := range table {
					free := pieces[i].Panel.Free
					require.Len(t, free, 1)
					require.InDeltaSlice(t, []float64{want[0], 900}, free[0][0][:], 1e-3)
					require.InDeltaSlice(t, []float64{want[1], 900}, free[0][1][:], 1e-3)
					drawn := 0.0
					for _, m := range s.Marks {
						drawn += math.Hypot(m.Line[1][0]-m.Line[0][0], m.Line[1][1]-m.Line[0][1])
					}
					require.InDelta(t, 2000-(want[1]-want[0]), drawn, 0.01)
				}
			})
		}
	}
	// The end of a lap along an edge leaves nothing free.
	pieces, table, err := splitAwkward(awkward()["cut-out below"], 0, shapes.Split{Joint: shapes.JointLap, Overlap: 50, Seams: []float64{875}})
	require.NoError(t, err)
	require.Empty(t, pieces[0].Panel.Free)
	mustBeSound(t, awkward()["cut-out below"], table)
}

func TestSeamsThatCannotBe(t *testing.T) {
	for _, m := range []struct {
		outline string
		split   shapes.Split
		words   string
	}{
		{"cut-out below", shapes.Split{Joint: shapes.JointButt, Seams: []float64{900.5}},
			"ply U1: it does not fit fabric \"WR 600\" and cannot be split: the seams the job asks for cannot be: " +
				"the seam at 900.5 comes within 1 mm of the ply's edge at 900; put it along the edge or at least 1 mm away"},
		{"sliver", shapes.Split{Joint: shapes.JointLap, Overlap: 50, Seams: []float64{925.5}}, "the lap of the seam at 925.5 ends at 900.5 and comes within 1 mm"},
		{"tip", shapes.Split{Joint: shapes.JointButt, Seams: []float64{900}}, "the seam at 900 comes within 1 mm of the ply's corner at 900; put it at least"},
		{"step", shapes.Split{Joint: shapes.JointButt, Seams: []float64{900, 900.5}}, "lie less than 1 mm apart"},
		{"step", shapes.Split{Joint: shapes.JointLap, Overlap: 50, MinPanel: 1000}, "min_panel of 1000 mm exceeds the usable width of 980 mm"},
		{"step", shapes.Split{Joint: shapes.JointButt, MinPanel: 1000, Seams: []float64{900}}, "min_panel of 1000 mm exceeds the usable width of 980 mm"},
	} {
		_, _, err := splitAwkward(awkward()[m.outline], 0, m.split)
		require.ErrorContains(t, err, m.words)
	}
}

// A stagger of nothing is none: consecutive plies may have one and the same
// seam, asked for or found.
func TestNoStagger(t *testing.T) {
	f := &shapes.Fabric{Name: "WR 600", Construction: shapes.Plain, Faces: shapes.SameFaces}
	o := &shapes.Outline{Name: "A", Exterior: orb.Ring{{0, 0}, {2000, 0}, {2000, 1800}, {0, 1800}}}
	for _, at := range [][]float64{nil, {900}} {
		split := &shapes.Split{Joint: shapes.JointButt, Seams: at}
		pieces, _, problems := Expand(job(f,
			&shapes.Ply{Order: 1, Name: "U1", Outline: o, Count: 1, Split: split},
			&shapes.Ply{Order: 2, Name: "U2", Outline: o, Count: 1, Split: split},
		), func(*shapes.Fabric) Room { return Room{Width: 980, Length: 1e5} })
		require.NoError(t, problems.Err())
		require.Equal(t, []float64{900}, pieces[0].Panel.Seams)
		require.Equal(t, []float64{900}, pieces[2].Panel.Seams)
	}
}
