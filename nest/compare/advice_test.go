package compare

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/shapes"
)

// compared sets three runs side by side: b draws more fabric than a, c turns
// the fibre further.
func compared(t *testing.T) *Comparison {
	t.Helper()
	priced := func(change func(*nest.Record)) func(*nest.Record) {
		return func(r *nest.Record) {
			r.Fabrics[0].Price = &shapes.Price{Amount: 2, Per: shapes.PerSquareMetre}
			r.Currency = "EUR"
			if change != nil {
				change(r)
			}
		}
	}
	c, err := Runs([]Run{run("a", 500, priced(nil)), run("b", 625, priced(func(r *nest.Record) { r.Layouts[0].Placed[1].DeviationDeg = 1 })),
		run("c", 500, priced(func(r *nest.Record) { r.Layouts[0].Placed[0].DeviationDeg = 5 }))}, false)
	require.NoError(t, err)
	return c
}

func TestAdvise(t *testing.T) {
	c := compared(t)
	for i, k := range []Knife{{Minutes: 9, Down: 4, Up: 2}, {Minutes: 5, Down: 4, Up: 1}, {Minutes: 9, Down: 4, Up: 3}} {
		c.Work[i].Knife = &k
	}
	a := c.Advise()
	require.Equal(t, []string{"operator", "purchasing", "engineer"}, []string{a[0].For, a[1].For, a[2].For})
	require.Equal(t, 1, a[0].Run, a[0].Words)
	require.Contains(t, a[0].Words, "cutting 5 min (a 9, c 9)")
	require.Contains(t, a[0].Words, "knife up 1 m (a 2, c 3)")
	// 0.5 m² at 2 is 1.00; b draws 0.625 m².
	require.Equal(t, 0, a[1].Run, a[1].Words)
	require.Contains(t, a[1].Words, "fabric for 1.00 EUR (b 1.25 EUR, c 1.00 EUR)")
	// b's fibre is off by 1° at most, a's by 3°, c's by 5°; a buys yield with it.
	require.Equal(t, 1, a[2].Run, a[2].Words)
	require.Contains(t, a[2].Words, "1.00° at most")
	require.Contains(t, a[2].Words, "a buys 100.0 % net")
}

func TestNothingInIt(t *testing.T) {
	c, err := Runs([]Run{run("a", 500, nil), run("b", 500, nil)}, false)
	require.NoError(t, err)
	for _, a := range c.Advise() {
		require.Equal(t, -1, a.Run, a.Words)
	}
	require.Contains(t, c.Advise()[1].Words, "prices are missing")
	require.Equal(t, c.Work[0].Minutes.Total(), c.Work[0].Total())
}

func TestMoves(t *testing.T) {
	a := run("a", 500, nil).Record
	b := run("b", 500, func(r *nest.Record) {
		r.Layouts[0].Placed[0].X += 3
		r.Layouts[0].Placed[0].Y += 4
		r.Layouts[0].Placed[0].RotationDeg = -170
		moved := r.Layouts[0].Placed[1]
		moved.TurnedOver = false
		r.Layouts[0].Placed = r.Layouts[0].Placed[:1]
		r.Layouts = append(r.Layouts, nest.Layout{ID: "L2", Placed: []nest.Placed{moved}})
	}).Record
	a.Layouts[0].Placed[0].RotationDeg = 170
	ms := Moves(a, b)
	require.Len(t, ms, 2)
	require.InDelta(t, 5, ms[0].Shift, 1e-9)
	require.InDelta(t, 20, ms[0].Turn, 1e-9)
	require.Equal(t, "Spinner, unit 1, ply S01, copy 1: 5 mm away in L1, turned by 20.0°", ms[0].String())
	require.True(t, math.IsNaN(ms[1].Shift))
	require.Equal(t, "Spinner, unit 1, ply S02, copy 1: from L1 to L2, on the other face", ms[1].String())
	require.Empty(t, Moves(a, a))
}
