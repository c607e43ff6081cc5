package kit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// oneAgain is a plan of ply P2 of eightPlies alone, from another roll.
func oneAgain(id, roll string, turned bool) *nest.Record {
	whole := eightPlies()
	out := *whole
	f := *whole.Fabric("CSM 450")
	f.OutLife, f.Rolls = 6000, []shapes.Roll{{Name: roll, OutUsed: 600}}
	out.Fabrics, out.Demand = []shapes.Fabric{f}, whole.Demand[1:2]
	p := whole.Layouts[1].Placed[0]
	p.TurnedOver = turned
	out.Layouts = []nest.Layout{{ID: id, Layers: []nest.Layer{{Layer: 1, Fabric: f.Name, Roll: roll, Lot: "Z", RollFrom: 4000, Face: "up"}}, Placed: []nest.Placed{p}}}
	return &out
}

// A ply that was cut again stands in its kit with roll, lot, face and out-life
// of the new one, and nothing else of the kit changes.
func TestCutAgain(t *testing.T) {
	was, err := kit.Build(eightPlies())
	require.NoError(t, err)
	kits, err := kit.BuildWith(eightPlies(), kit.Settings{Again: []*nest.Record{oneAgain("R1", "OLD", false), oneAgain("R3", "NEW", true)}})
	require.NoError(t, err)
	l := kits[0].Lines[1]
	require.Equal(t, "P2", l.Demand.Ply)
	p := l.Place
	assert.Equal(t, []any{"R3", "NEW", "Z", 4000.0, true, 1, 1}, []any{p.Layout, p.Roll, p.Lot, p.RollFrom, p.CutAgain, p.Position, l.Bag})
	assert.Equal(t, kit.TurnOver, l.Face())
	assert.InDelta(t, 5400, l.Life.Left, 1e-9)
	assert.Equal(t, "NEW", kits[0].Life.LeftRoll)
	assert.Equal(t, was[0].Totals, kits[0].Totals)
	assert.Equal(t, was[0].Bags, kits[0].Bags)
	assert.Equal(t, was[0].Lines[2], kits[0].Lines[2])
	assert.Equal(t, was[0].Walk().Visits, kits[0].Walk().Visits, "two more of CSM 450 lie on its layout")

	strange := oneAgain("R1", "OLD", false)
	strange.Layouts[0].Placed[0].Ply = "P9"
	_, err = kit.BuildWith(eightPlies(), kit.Settings{Again: []*nest.Record{strange}})
	require.ErrorContains(t, err, "is cut again, as R1, and is not demanded")
}

// A piece the kit was short of is there once it is cut again.
func TestCutAgainFillsAKit(t *testing.T) {
	rec := eightPlies()
	rec.Layouts[1].Placed = rec.Layouts[1].Placed[1:]
	kits, err := kit.BuildWith(rec, kit.Settings{Again: []*nest.Record{oneAgain("R1", "NEW", false)}})
	require.NoError(t, err)
	require.Empty(t, kits[0].Short())
	require.Equal(t, 8, kits[0].Bags[0].Pieces)
}

// A ply that was cut again does not wait for the table's layouts: the timetable
// of the others stays as it is.
func TestCutAgainInTheTimetable(t *testing.T) {
	rec := eightPlies()
	rec.Laminating = &shapes.Laminating{Pace: 6}
	shift := kit.Shift{Start: 480, CutFrom: 400, CutMinutes: func(string) float64 { return 10 }}
	ready := func(s kit.Settings) float64 {
		kits, err := kit.BuildWith(rec, s)
		require.NoError(t, err)
		slots, err := kit.Timetable(kits, shift)
		require.NoError(t, err)
		return slots[len(slots)-1].Ready
	}
	require.InDelta(t, 440, ready(kit.Settings{}), 1e-9)
	require.InDelta(t, 440, ready(kit.Settings{Again: []*nest.Record{oneAgain("R1", "NEW", false)}}), 1e-9)
}
