package kit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/kit"
)

func TestShortIsNoError(t *testing.T) {
	r := eightPlies()
	r.Layouts[2].Placed = r.Layouts[2].Placed[:1] // the second woven ply is lost
	kits, err := kit.Build(r)
	require.NoError(t, err)
	k := kits[0]
	require.Len(t, k.Short(), 1)
	assert.Equal(t, "P7", k.Short()[0].Demand.Ply)
	assert.Equal(t, 1, k.Totals.Short)
	assert.Equal(t, 8, k.Totals.Pieces)
	assert.Equal(t, 7, k.Bags[0].Pieces)
	assert.Equal(t, "", k.Short()[0].Face())
}

func TestRecordFaults(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*nest.Record)
		want  string
	}{
		{"fabric", func(r *nest.Record) { r.Demand[0].Fabric = "CSM 999" }, `record: Panel, unit 1, ply P1, copy 1: no fabric "CSM 999"`},
		{"shape", func(r *nest.Record) { r.Demand[0].Shape = "S9" }, `no shape "S9"`},
		{"part", func(r *nest.Record) { r.Demand[0].Part = "Panle" }, `Panle, unit 1, ply P1, copy 1: no such part or unit`},
		{"unit", func(r *nest.Record) { r.Demand[0].Unit = 2 }, `no such part or unit`},
		{"demanded twice", func(r *nest.Record) { r.Demand = append(r.Demand, r.Demand[0]) }, `ply P1, copy 1 is demanded twice`},
		{"placed twice", func(r *nest.Record) {
			l := &r.Layouts[0]
			l.Placed = append(l.Placed, l.Placed[0])
		}, `ply P1, copy 1 is placed twice, on layouts L1 and L1`},
		{"not demanded", func(r *nest.Record) { r.Layouts[0].Placed[0].Ply = "P99" }, `ply P99, copy 1 on layout L1 is not demanded`},
		{"layer", func(r *nest.Record) { r.Layouts[0].Placed[0].Layer = 3 }, `layer 3 of layout L1, which has no such layer`},
	} {
		r := eightPlies()
		c.spoil(r)
		_, err := kit.Build(r)
		require.Error(t, err, c.name)
		assert.Contains(t, err.Error(), c.want, c.name)
	}
}

func TestKitsByPartAndUnit(t *testing.T) {
	r := eightPlies()
	r.Layouts = nil
	r.Parts = []nest.Part{{Part: "Panel", Units: 2}, {Part: "Rib", Units: 1, Revision: "D"}}
	d := r.Demand[0]
	d.Unit = 2
	r.Demand = append(r.Demand, d)
	d.Part, d.Unit = "Rib", 1
	r.Demand = append(r.Demand, d)
	oneEach(r)
	kits, err := kit.Build(r)
	require.NoError(t, err)
	require.Len(t, kits, 3)
	assert.Equal(t, "Panel, unit 2 of 2", kits[1].Title())
	assert.Equal(t, "A", kits[1].PartRevision, "the job's where the part has none")
	assert.Equal(t, "D", kits[2].PartRevision)
	assert.Equal(t, 3, kits[2].Number)
	assert.Equal(t, 3, kits[2].Of)
}

// Two layers cut in one pass: three shapes, the first and the last doubled.
//
//	y │ ┌──┐ ┌──┐        layer 2 over layer 1
//	  │ │1 │ │2 │ ┌──┐   the middle one on layer 1 only
//	  │ └──┘ └──┘ │3 │
//	  └───────────┴──┴── x
func TestPositions(t *testing.T) {
	at := func(layer int, x, y float64) nest.Placed {
		return nest.Placed{Layer: layer, Outline: nest.Ring{{x, y}, {x + 10, y}, {x + 10, y + 10}, {x, y + 10}}}
	}
	l := &nest.Layout{ID: "L1", Placed: []nest.Placed{
		at(1, 40, 0), at(1, 0, 10), at(1, 20, 10), at(2, 0, 10), at(2, 40, 0),
	}}
	got, err := kit.Positions(l, nil)
	require.NoError(t, err)
	assert.Equal(t, []int{3, 1, 2, 1, 3}, got)
	assert.Equal(t, []int{3, 1, 2, 4, 0}, kit.AlongRoll(l), "upper layer first")

	got, err = kit.Positions(l, func(*nest.Layout) []int { return []int{0, 4, 2, 3, 1} })
	require.NoError(t, err)
	assert.Equal(t, []int{1, 3, 2, 3, 1}, got)

	_, err = kit.Positions(l, func(*nest.Layout) []int { return []int{0, 1} })
	assert.ErrorContains(t, err, "layout L1: the cut order lists 2 of 5 plies")
	_, err = kit.Positions(l, func(*nest.Layout) []int { return []int{0, 0, 1, 2, 3} })
	assert.ErrorContains(t, err, "twice")
}
