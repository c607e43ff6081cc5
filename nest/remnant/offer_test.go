package remnant

import (
	"testing"

	"github.com/paulmach/orb"
	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

// offcuts is a layout 1040 × 1000 with a selvedge of 50 and ends of 20, one ply
// 600 × 400 in the lower left corner, on a roll of 3 m with a flaw from 1.5 to
// 1.6 m; the layout begins at 0.2 m.
func offcuts() *nest.Record {
	ply := nest.Ring{{20, 50}, {620, 50}, {620, 450}, {20, 450}}
	return &nest.Record{Job: "J", Revision: "B", Rules: shapes.Cutting{EndAllowance: 20, MinRemnant: 300, Layers: 1},
		Fabrics: []shapes.Fabric{{Name: "F", Construction: shapes.Mat, Width: 1000, Selvedge: 50,
			Rolls: []shapes.Roll{{Name: "R", Lot: "7", Length: 3000, Flaws: []shapes.Span{{From: 1500, To: 1600}}}}}},
		Layouts: []nest.Layout{{ID: "L1", Length: 1040, Width: 1000, Usable: [2]nest.Point{{20, 50}, {1020, 950}},
			Layers: []nest.Layer{{Layer: 1, Fabric: "F", Roll: "R", Lot: "7", RollFrom: 200, Face: "up"}},
			Placed: []nest.Placed{{Part: "P", Unit: 1, Ply: "A", Copy: 1, Layer: 1, Fabric: "F", Outline: ply}}}}}
}

func TestOffers(t *testing.T) {
	got, err := Offers(offcuts(), OfferSettings{Run: "digest", Date: "2027-03-01"})
	require.NoError(t, err)
	type row struct {
		length, width, selvedge float64
		at                      nest.Point
		onRoll                  bool
	}
	var rows []row
	for _, o := range got {
		length, width := o.Remnant.Size()
		rows = append(rows, row{length, width, o.Remnant.Selvedge, o.Remnant.From.Corner, o.OnRoll})
		require.Equal(t, "7", o.Remnant.Lot)
		require.Equal(t, "L1", o.Remnant.From.Layout)
		require.Equal(t, shapes.Date("2027-03-01"), o.Remnant.Cut)
	}
	require.Equal(t, []row{
		{1000, 500, 0, nest.Point{20, 450}, false},  // above the ply
		{400, 400, 0, nest.Point{620, 50}, false},   // to its right
		{1400, 1000, 50, nest.Point{1400, 0}, true}, // behind the flaw; before it are only 260 mm
	}, rows)
	got, err = Offers(offcuts(), OfferSettings{MinLength: 250, MinWidth: 450})
	require.NoError(t, err)
	require.Len(t, got, 3)
	_, err = Offers(offcuts(), OfferSettings{MinLength: -1})
	require.Error(t, err)

	// The rest of a remnant is a remnant again, whatever it lies on.
	rec := offcuts()
	rec.Fabrics[0].Rolls[0].Name, rec.Layouts[0].Layers[0].Roll = "RM-ABCDEFGH", "RM-ABCDEFGH"
	got, err = Offers(rec, OfferSettings{})
	require.NoError(t, err)
	require.False(t, got[2].OnRoll)
	// Fabric without an end has no rest.
	rec.Fabrics[0].Rolls[0].Length = 0
	got, err = Offers(rec, OfferSettings{})
	require.NoError(t, err)
	require.Len(t, got, 2)
}

func TestAsRoll(t *testing.T) {
	roll, ok := AsRoll(Remnant{ID: "RM-ABCDEFGH", Lot: "7", Face: FaceDown, Outline: Rectangle(900, 400)}, Limits{})
	require.True(t, ok)
	require.Equal(t, shapes.Roll{Name: "RM-ABCDEFGH", Lot: "7", Length: 900, Width: 400, FaceDown: true, Piece: &shapes.Piece{}}, roll)
	_, ok = AsRoll(Remnant{Outline: Rectangle(900, 400)}, Limits{MinWidth: 500})
	require.False(t, ok)
	// Any other outline stands in the bounding box, with the selvedge it has.
	triangle := Remnant{ID: "RM-ABCDEFGH", Face: FaceUp, Selvedge: 12, Outline: nest.Ring{{0, 0}, {1000, 0}, {0, 500}}}
	roll, ok = AsRoll(triangle, Limits{})
	require.True(t, ok)
	require.Equal(t, [2]float64{1000, 500}, [2]float64{roll.Length, roll.Width})
	require.Equal(t, triangle, OfRoll(&roll), "and back")
}

// What is left of a shaped remnant lies inside its outline, between the plies
// and behind them; its selvedge is not offered.
func TestOffersOfShapedRemnant(t *testing.T) {
	rec := &nest.Record{Rules: shapes.Cutting{MinRemnant: 150}, Fabrics: []shapes.Fabric{{Name: "F", Width: 1270, Selvedge: 15,
		Rolls: []shapes.Roll{{Name: "RM-ABCDEFGH", Length: 1000, Width: 800, Piece: &shapes.Piece{
			Outline: [][2]float64{{0, 0}, {1000, 0}, {1000, 400}, {600, 400}, {600, 800}, {0, 800}}}}}}},
		Layouts: []nest.Layout{{ID: "L1", Length: 500, Width: 800, Usable: [2]nest.Point{{10, 0}, {490, 800}},
			Layers: []nest.Layer{{Layer: 1, Fabric: "F", Roll: "RM-ABCDEFGH", Face: "up"}},
			Placed: []nest.Placed{{Layer: 1, Fabric: "F", Outline: nest.Ring{{10, 0}, {490, 0}, {490, 500}, {10, 500}}}}}}}
	got, err := Offers(rec, OfferSettings{MinWidth: 200})
	require.NoError(t, err)
	require.Len(t, got, 2)
	require.Equal(t, nest.Ring{{0, 0}, {480, 0}, {480, 300}, {0, 300}}, got[0].Remnant.Outline)
	require.Equal(t, nest.Point{10, 500}, got[0].Remnant.From.Corner)
	require.Equal(t, nest.Ring{{0, 0}, {500, 0}, {500, 400}, {0, 400}}, got[1].Remnant.Outline)
	require.Equal(t, nest.Point{500, 0}, got[1].Remnant.From.Corner)
}

// Walls cover what is outside a remnant, and only a little of what is inside.
func TestWalls(t *testing.T) {
	require.Empty(t, Walls(Remnant{Outline: Rectangle(100, 100)}, 5))
	for _, r := range []Remnant{
		{Outline: nest.Ring{{0, 0}, {1000, 0}, {700, 400}, {0, 600}}},
		{Outline: nest.Ring{{0, 0}, {800, 0}, {800, 500}, {500, 500}, {500, 200}, {300, 200}, {300, 500}, {0, 500}}},
	} {
		length, width := r.Size()
		inside := outside(r.Outline)
		covered, spoilt := 0.0, 0.0
		for _, w := range Walls(r, 5) {
			w = orb.Bound{Min: w.Min, Max: orb.Point{min(w.Max[0], length), min(w.Max[1], width)}}
			covered += area(w)
			common, err := sf.Intersection(inside, outside(corners(w)))
			require.NoError(t, err)
			spoilt += common.Area()
		}
		require.InDelta(t, length*width-r.Area(), covered-spoilt, 1e-3, "all of the outside")
		require.Less(t, spoilt, 5*2*(length+width)*1.5)
	}
}

func TestLeft(t *testing.T) {
	r := Remnant{ID: "RM-ABCDEFGH", Fabric: "F", Face: FaceUp, Selvedge: 20, Outline: Rectangle(1000, 500)}
	got := Left(r, []nest.Polygon{block(20, 20, 420, 320)}, OfferSettings{MinLength: 200, MinWidth: 100})
	require.Len(t, got, 2)
	length, width := got[0].Size()
	require.Equal(t, []float64{580, 460}, []float64{length, width})
	length, width = got[1].Size()
	require.Equal(t, []float64{420, 160}, []float64{length, width})
	require.Equal(t, "from RM-ABCDEFGH", got[0].Note)
	triangle := Remnant{ID: "RM-ABCDEFGH", Fabric: "F", Face: FaceUp, Outline: nest.Ring{{0, 0}, {1000, 0}, {0, 1000}}}
	got = Left(triangle, []nest.Polygon{block(0, 0, 300, 1000)}, OfferSettings{MinLength: 200, MinWidth: 100})
	require.NotEmpty(t, got)
	length, width = got[0].Size()
	require.InDelta(t, 350*350, length*width, 2500)
}
