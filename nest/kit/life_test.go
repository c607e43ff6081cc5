package kit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// prepreg is worked case 3 with the woven roving and the biaxial as prepreg:
// 100 h and 50 h of out-life, the biaxial's roll out for 12 h and 6 h to thaw.
func prepreg(t *testing.T) *nest.Record {
	t.Helper()
	r := eightPlies()
	r.Laminating = &shapes.Laminating{WorkingTime: 60, PlanAt: 0.75, Pace: 6}
	wr, bx := r.Fabric("WR 600"), r.Fabric("BX 600")
	wr.OutLife, bx.OutLife = 100*60, 50*60
	wr.Rolls = []shapes.Roll{{Name: "R-WR 600", OutUsed: 80 * 60, Expires: "2027-03-01"}}
	bx.Rolls = []shapes.Roll{{Name: "R-other"}, {Name: "R-BX 600", OutUsed: 12 * 60, Thaw: 6 * 60, Expires: "2027-06-01"}}
	return r
}

// The kit has the least of its rolls: 20 h of the roving against 32 h of the
// biaxial, and the first expiry.
func TestKitInheritsLeastLife(t *testing.T) {
	k := build(t, prepreg(t))[0]
	assert.Equal(t, &kit.Life{Left: 1200, LeftFabric: "WR 600", LeftRoll: "R-WR 600", Expires: "2027-03-01", ExpiresRoll: "R-WR 600"}, k.Life)
	assert.Nil(t, k.Lines[0].Life, "mat has no out-life")
	assert.Equal(t, 1200.0, k.Lines[2].Life.Left)
	assert.Equal(t, &kit.Life{Left: 32 * 60, LeftFabric: "BX 600", LeftRoll: "R-BX 600", Expires: "2027-06-01", ExpiresRoll: "R-BX 600"}, k.Lines[4].Life)
}

// Prepreg brings its resin: only that of the mats is mixed. Two CSM 300 and
// three CSM 450 of 1 m² take 2·0.70 + 3·1.05 = 4.55 kg.
func TestPrepregIsNotMixed(t *testing.T) {
	r := prepreg(t)
	k := build(t, r)[0]
	assert.InDelta(t, 4.55, k.Plan.ToMix, 1e-9)
	assert.InDelta(t, 6.45, k.Totals.Resin, 1e-9, "all of it is in the laminate")
	assert.InDelta(t, 102, k.Minutes, 1e-9, "10.2 kg at 6 kg/h")
	for i := range r.Fabrics {
		r.Fabrics[i].OutLife = 600
	}
	k = build(t, r)[0]
	assert.Nil(t, k.Plan, "nothing is mixed")
	slots, err := kit.Timetable([]kit.Kit{k}, kit.Shift{Start: 420})
	require.NoError(t, err)
	require.Len(t, slots, 1)
	assert.InDelta(t, 522, slots[0].Done, 1e-9)
}

// Laying ends 102 min after 8:00. The roving is on the third layout, which is
// begun at 7:00 + 20 min: 142 min pass to the end. With 140 left that is too
// long, with 142 not.
func TestOverruns(t *testing.T) {
	r := prepreg(t)
	r.Laminating.PlanAt = 0
	r.Laminating.WorkingTime = 0
	roll := &r.Fabric("WR 600").Rolls[0]
	for _, c := range []struct {
		left float64
		want int
	}{{142, 0}, {140, 1}, {0, 1}, {-5, 1}} {
		roll.OutUsed = 6000 - c.left
		kits := build(t, r)
		shift := kit.Shift{Start: 480, CutFrom: 420, CutMinutes: func(string) float64 { return 10 }}
		slots, err := kit.Timetable(kits, shift)
		require.NoError(t, err)
		got := kit.Overruns(kits, slots, shift)
		require.Len(t, got, c.want, "%g min left", c.left)
		for _, o := range got {
			assert.InDelta(t, 142, o.Needed, 1e-9)
		}
	}
	// Two hours to the oven count as well: 142 + 120 = 262 min.
	roll.OutUsed = 6000 - 200
	kits := build(t, r)
	shift := kit.Shift{Start: 480, CutFrom: 420, CutMinutes: func(string) float64 { return 10 }}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	require.Empty(t, kit.Overruns(kits, slots, shift))
	shift.CureAfter = 120
	got := kit.Overruns(kits, slots, shift)
	require.Len(t, got, 1)
	assert.InDelta(t, 262, got[0].Needed, 1e-9)

	roll.OutUsed = 6000 - 100
	kits = build(t, r)
	got = kit.Overruns(kits, nil, kit.Shift{})
	require.Len(t, got, 1, "without a timetable laying itself counts")
	assert.InDelta(t, 102, got[0].Needed, 1e-9)
}

func build(t *testing.T, r *nest.Record) []kit.Kit {
	t.Helper()
	kits, err := kit.Build(r)
	require.NoError(t, err)
	return kits
}
