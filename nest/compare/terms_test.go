package compare

import (
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

// What differs is said, and only that.
func TestTerms(t *testing.T) {
	a := run("a", 500, nil)
	require.Empty(t, terms(a, run("b", 600, nil)), "another layout under the same terms")
	b := run("b", 500, func(r *nest.Record) {
		r.Rules.Gap = 4
		r.Rules.AngleTolerance = 5
		r.Rules.Table = &shapes.Table{Length: 6000, Width: 1600, Kind: shapes.StaticTable}
		r.Fabrics[0].Width += 50
		r.Fabrics[0].Price = &shapes.Price{Amount: 2.5, Per: shapes.PerKilogram}
		r.Search.Effort = 3
		r.Demand[0].ToleranceDeg += 2
	})
	words := terms(a, b)
	for _, s := range []string{"b was laid under other terms than a: gap 4 mm, not", "angle tolerance 5°", "table static of 6000 by 1600 mm, not of any length",
		"price 2.5 per kg, not unknown", "search effort 3, not for a time", "another tolerance for 1 of the plies"} {
		require.Contains(t, words, s)
	}
	c, err := Runs([]Run{a, b}, false)
	require.NoError(t, err)
	require.Equal(t, []string{words}, c.Terms)
}

// Prices in two currencies are not weighed against each other, and runs of
// other plies are not weighed at all.
func TestUnlikeIsNotWeighed(t *testing.T) {
	priced := func(currency string) func(*nest.Record) {
		return func(r *nest.Record) {
			r.Fabrics[0].Price, r.Currency = &shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}, currency
		}
	}
	c, err := Runs([]Run{run("a", 500, priced("EUR")), run("b", 625, priced("USD"))}, false)
	require.NoError(t, err)
	words := c.Advise()[1].Words
	require.Contains(t, words, "different currencies")
	require.NotContains(t, words, "EUR")

	c, err = Runs([]Run{run("a", 500, nil), run("b", 500, func(r *nest.Record) { r.Demand = r.Demand[:1]; r.Layouts[0].Placed = r.Layouts[0].Placed[:1] })}, true)
	require.NoError(t, err)
	require.NotEmpty(t, c.Differences)
	require.Empty(t, c.Advise())
	for range 20 {
		c.Differences = append(c.Differences, "one more")
	}
	require.Len(t, c.Doubts(), mostDifferences+1)
}

// A ply laid whole and the same ply laid in panels are one ply; the terms say
// that it was divided.
func TestDividedIsTheSamePly(t *testing.T) {
	a := run("a", 500, nil)
	b := run("b", 500, func(r *nest.Record) {
		d := r.Demand[0]
		first, second := d, d
		first.Ply, second.Ply = d.Ply+".1", d.Ply+".2"
		first.Panel = &nest.Panel{Ply: d.Ply, Number: 1, Of: 2, Whole: d.Shape, Seams: []float64{250}}
		second.Panel = &nest.Panel{Ply: d.Ply, Number: 2, Of: 2, Whole: d.Shape, Seams: []float64{250}}
		r.Demand = append([]nest.Demand{first, second}, r.Demand[1:]...)
	})
	require.Empty(t, differences(a, b))
	require.Empty(t, differences(b, a))
	require.Contains(t, terms(a, b), "1 of the plies divided otherwise")
	require.Empty(t, terms(b, b))
}
