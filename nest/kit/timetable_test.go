package kit_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// Worked case 3 twice: sets of 37.5, 42 and 22.5 min. Laying begins at 480
// (8 o'clock); 10 min between sets, 20 between kits, carried 15 min ahead.
//
//	kit 1: 480 … 517.5, 527.5 … 569.5, 579.5 … 602
//	kit 2: 622 … with one crew
func twoKits(t *testing.T, s kit.Settings) []kit.Kit {
	t.Helper()
	r := eightPlies()
	r.Layouts = nil
	r.Parts[0].Units = 2
	for _, d := range append([]nest.Demand(nil), r.Demand...) {
		d.Unit = 2
		r.Demand = append(r.Demand, d)
	}
	r.Laminating = &shapes.Laminating{WorkingTime: 60, PlanAt: 0.75, Pace: 6}
	oneEach(r)
	kits, err := kit.BuildWith(r, s)
	require.NoError(t, err)
	return kits
}

func times(slots []kit.Slot) (unit, set []int, leave, done []float64) {
	for _, s := range slots {
		unit = append(unit, s.Kit.Unit)
		set = append(set, s.Set)
		leave = append(leave, s.Leave)
		done = append(done, s.Done)
	}
	return unit, set, leave, done
}

func TestTimetable(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	shift := kit.Shift{Start: 480, BetweenSets: 10, BetweenKits: 20, Carry: 15}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	unit, set, leave, done := times(slots)
	assert.Equal(t, []int{1, 1, 1, 2, 2, 2}, unit)
	assert.Equal(t, []int{1, 2, 3, 1, 2, 3}, set)
	assert.InDeltaSlice(t, []float64{465, 512.5, 564.5, 607, 654.5, 706.5}, leave, 1e-9)
	assert.InDeltaSlice(t, []float64{517.5, 569.5, 602, 659.5, 711.5, 744}, done, 1e-9)
	assert.True(t, math.IsNaN(slots[0].Ready))
	assert.Zero(t, kit.Delay(slots))

	shift.Crews = 2
	slots, err = kit.Timetable(kits, shift)
	require.NoError(t, err)
	unit, _, leave, _ = times(slots)
	assert.Equal(t, []int{1, 2, 1, 2, 1, 2}, unit)
	assert.InDeltaSlice(t, []float64{465, 465, 512.5, 512.5, 564.5, 564.5}, leave, 1e-9)
}

// Four layouts (CSM 300, CSM 450, WR 600, BX 600) of 10 min each, cut from
// 430: ready at 440, 450, 460 and 470. Set 1 (CSM 300, CSM 450, WR 600) is
// cut at 460; set 2 (CSM 450, BX 600) at 470.
func TestCuttingKeepsUp(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	shift := kit.Shift{Start: 480, Carry: 15, CutFrom: 430, CutMinutes: func(string) float64 { return 10 }}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	assert.InDelta(t, 460, slots[0].Ready, 1e-9)
	assert.InDelta(t, 470, slots[1].Ready, 1e-9)
	assert.Zero(t, kit.Delay(slots))
	// From 442 on set 1 is ready 7 min after it should leave, at 472.
	shift.CutFrom = 442
	slots, err = kit.Timetable(kits, shift)
	require.NoError(t, err)
	assert.InDelta(t, 7, slots[0].Late(), 1e-9)
	assert.InDelta(t, 7, kit.Delay(slots), 1e-9)
}

func TestTimetableNeedsPace(t *testing.T) {
	kits, err := kit.Build(eightPlies())
	require.NoError(t, err)
	_, err = kit.Timetable(kits, kit.Shift{})
	assert.ErrorIs(t, err, kit.ErrNoPace)
}

// A stop after the skin coat (order 1) and after the biaxial (order 5), and
// at most 2.6 mm at once: 0.701 | 1.051 + 0.776 (+ 1.051 = 2.878) | 1.051 +
// 0.734 | 1.051 + 0.776 + 0.701 = 2.528.
func TestStopsAndThickness(t *testing.T) {
	k := twoKits(t, kit.Settings{Stops: map[string][]int{"Panel": {1, 5}, "Other": {3}}, SetThickness: 2.6})[0]
	var got [][2]int
	var ends []kit.End
	var thick []float64
	for _, s := range k.Plan.Sets {
		got = append(got, [2]int{s.First, s.Last})
		ends = append(ends, s.End)
		thick = append(thick, s.Thickness)
	}
	assert.Equal(t, [][2]int{{1, 1}, {2, 3}, {4, 5}, {6, 8}}, got)
	assert.Equal(t, []kit.End{kit.EndStop, kit.EndThickness, kit.EndStop, kit.EndLast}, ends)
	assert.InDeltaSlice(t, []float64{0.701, 1.827, 1.785, 2.528}, thick, 0.0015)
	// 3.75 kg takes 37.5 min: 6, 7 and 8 fit the window of 45 min.
	assert.InDelta(t, 37.5, k.Plan.Sets[3].Minutes, 1e-9)
}

// The sets end at a stop, at the thickness and at a stop again: an hour
// of cure stands in for the 10 min between sets, and a kit that no day has room
// for with it is broken off where it cures over night.
func TestCureAtStops(t *testing.T) {
	kits := twoKits(t, kit.Settings{Stops: map[string][]int{"Panel": {1, 5}}, SetThickness: 2.6})[:1]
	sets := kits[0].Plan.Sets
	require.True(t, kits[0].Plan.Stops())
	shift := kit.Shift{Start: 480, BetweenSets: 10}
	for _, c := range []struct{ cure, passes float64 }{{0, 10}, {5, 10}, {60, 60}} {
		shift.Cure = c.cure
		slots, err := kit.Timetable(kits, shift)
		require.NoError(t, err)
		require.Len(t, slots, len(sets))
		for i := 1; i < len(slots); i++ {
			require.True(t, sets[i-1].Stops())
			assert.InDelta(t, c.passes, slots[i].Lay-slots[i-1].Done, 1e-9)
		}
	}
	assert.False(t, sets[len(sets)-1].Stops(), "nothing follows the last set")

	shift.Cure, shift.Hours = 15*60, kit.Hours{Open: 480, Close: 960}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	for i := range slots {
		assert.InDelta(t, 480+1440*float64(i), slots[i].Lay, 1e-9, "the next morning")
	}
	// Without stops nothing cures between sets.
	plain := twoKits(t, kit.Settings{})[:1]
	slots, err = kit.Timetable(plain, kit.Shift{Start: 480, BetweenSets: 10, Cure: 600})
	require.NoError(t, err)
	assert.InDelta(t, 10, slots[1].Lay-slots[0].Done, 1e-9)
}
