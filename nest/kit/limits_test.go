package kit_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest/kit"
	"plyroom/shapes"
)

// What TestStopsAndThickness sets by hand, the record says itself, with the
// job's words for a stop.
func TestLimitsFromRecord(t *testing.T) {
	r := eightPlies()
	r.Laminating = &shapes.Laminating{WorkingTime: 60, PlanAt: 0.75, Pace: 6, SetThickness: 2.6}
	r.Parts[0].Stops = []shapes.Stop{{After: 1, Reason: "skin coat"}, {After: 5, Reason: "core"}}
	p := build(t, r)[0].Plan
	var got [][2]int
	var ends []kit.End
	var why []string
	for _, s := range p.Sets {
		got, ends, why = append(got, [2]int{s.First, s.Last}), append(ends, s.End), append(why, s.Reason)
	}
	assert.Equal(t, [][2]int{{1, 1}, {2, 3}, {4, 5}, {6, 8}}, got)
	assert.Equal(t, []kit.End{kit.EndStop, kit.EndThickness, kit.EndStop, kit.EndLast}, ends)
	assert.Equal(t, []string{"skin coat", "", "core", ""}, why)
	assert.Empty(t, p.Thick)
}

// Stops and thickness end sets also where nothing is known about time; a ply
// of 1.05 mm passes a limit of 1 mm by itself and is named.
func TestLimitsWithoutPace(t *testing.T) {
	r := eightPlies()
	r.Laminating = &shapes.Laminating{SetThickness: 1}
	r.Parts[0].Stops = []shapes.Stop{{After: 3}}
	p := build(t, r)[0].Plan
	require.Len(t, p.Sets, 8)
	assert.Equal(t, kit.EndStop, p.Sets[2].End)
	assert.Equal(t, kit.EndThickness, p.Sets[0].End)
	assert.Equal(t, []int{1, 3, 5}, p.Thick)
	assert.Zero(t, p.Sets[0].Minutes)
	assert.Empty(t, p.Alone)
}

// A kit of peel ply takes no time, but leaves in its turn.
func TestTimetableWithoutFibre(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	kits[0].Plan, kits[0].Minutes = nil, 0
	slots, err := kit.Timetable(kits, kit.Shift{Start: 480, Carry: 15})
	require.NoError(t, err)
	require.Len(t, slots, 4)
	assert.Equal(t, 465.0, slots[0].Leave)
	assert.Equal(t, slots[0].Lay, slots[0].Done)
}

// Set 1 leaves at 465 and is cut at 460, set 2 leaves at 502.5 and is cut at
// 470: cutting could begin 5 min later.
func TestSlack(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	shift := kit.Shift{Start: 480, Carry: 15, CutFrom: 430, CutMinutes: func(string) float64 { return 10 }}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	assert.InDelta(t, 5, kit.Slack(slots), 1e-9)
	shift.CutFrom += kit.Slack(slots)
	slots, err = kit.Timetable(kits, shift)
	require.NoError(t, err)
	assert.Zero(t, kit.Delay(slots))
	assert.InDelta(t, 0, kit.Slack(slots), 1e-9)
	slots, err = kit.Timetable(kits, kit.Shift{})
	require.NoError(t, err)
	assert.True(t, math.IsNaN(kit.Slack(slots)))
}
