package plan

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest/verify"
	"plyroom/shapes"
)

// Two jigsaws whose pieces are mixed, on two rolls that each hold exactly one of
// them: all that fabric can give has to be used. Optimum by construction.
func TestJigsawsFillTwoRolls(t *testing.T) {
	f := roving()
	f.Width, f.Selvedge, f.Balanced = 1000, 0, false
	f.Rolls = []shapes.Roll{{Name: "R-1", Lot: "A", Length: 1500}, {Name: "R-2", Lot: "A", Length: 1200}}
	polygon := func(name string, pts ...orb.Point) *shapes.Outline {
		area := 0.0
		for i, p := range pts {
			q := pts[(i+1)%len(pts)]
			area += (p[0]*q[1] - q[0]*p[1]) / 2
		}
		return &shapes.Outline{Name: name, Exterior: pts, Area: area}
	}
	outlines := []*shapes.Outline{
		// 1500 x 1000: four rectangles about a fifth.
		rectangle("A1", 900, 400), rectangle("A2", 600, 700), rectangle("A3", 1000, 300), rectangle("A4", 500, 600), rectangle("A5", 400, 300),
		// 1200 x 1000: cut by slanting lines.
		polygon("B1", orb.Point{0, 0}, orb.Point{500, 0}, orb.Point{300, 1000}, orb.Point{0, 1000}),
		polygon("B2", orb.Point{500, 0}, orb.Point{1200, 0}, orb.Point{1200, 450}, orb.Point{400, 500}),
		polygon("B3", orb.Point{400, 500}, orb.Point{1200, 450}, orb.Point{1200, 1000}, orb.Point{300, 1000}),
	}
	var plies []*shapes.Ply
	for _, o := range outlines {
		plies = append(plies, &shapes.Ply{Name: o.Name, Outline: o})
	}
	j := small(f, plies...)
	j.Cutting.Gap, j.Cutting.EndAllowance, j.Cutting.MinRemnant = 0, 0, 0
	rec, err := Lay(context.Background(), j, Settings{Effort: 4, Seed: 1}, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(rec))
	drawn := 0.0
	for _, l := range rec.Layouts {
		drawn += l.Length
	}
	require.InDelta(t, 2700, drawn, 1e-3)
}
