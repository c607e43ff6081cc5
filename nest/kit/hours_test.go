package kit_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest/kit"
)

// Two kits with sets of 37.5, 42 and 22.5 min, 10 min between sets: 122 min
// each, 20 between kits. From 8:00 (480) to 11:00 (660) the second kit, which
// would take from 622 to 744, waits for the next day, 1920.
func TestEndOfDay(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	shift := kit.Shift{Start: 480, BetweenSets: 10, BetweenKits: 20, Carry: 15, Hours: kit.Hours{Open: 480, Close: 660}}
	lay := func() (begins []float64) {
		slots, err := kit.Timetable(kits, shift)
		require.NoError(t, err)
		for _, s := range slots {
			begins = append(begins, s.Lay)
		}
		return begins
	}
	assert.InDeltaSlice(t, []float64{480, 527.5, 579.5, 1920, 1967.5, 2019.5}, lay(), 1e-9)
	// Days 1 and 2 are off: day 3 begins at 3·1440 + 480.
	shift.Hours.Works = func(day int) bool { return day != 1 && day != 2 }
	assert.InDeltaSlice(t, []float64{480, 527.5, 579.5, 4800, 4847.5, 4899.5}, lay(), 1e-9)
	// So is the first day: the first kit waits as well.
	shift.Hours.Works = func(day int) bool { return day == 1 || day == 4 }
	assert.InDeltaSlice(t, []float64{1920, 1967.5, 2019.5, 6240, 6287.5, 6339.5}, lay(), 1e-9)
	// A day of 90 min is shorter than a kit: its sets go on the next day. The
	// second would end at 569.5, in time for 570; the third waits. The second
	// kit begins 20 min after the first ends at 1942.5 and fits no better.
	shift.Hours = kit.Hours{Open: 480, Close: 570}
	assert.InDeltaSlice(t, []float64{480, 527.5, 1920, 1962.5, 3360, 3412}, lay(), 1e-9)
}

// A set of 42 min in a day of 40 runs over; the others do not.
func TestSetLongerThanADay(t *testing.T) {
	kits := twoKits(t, kit.Settings{})[:1]
	slots, err := kit.Timetable(kits, kit.Shift{Start: 480, Hours: kit.Hours{Open: 480, Close: 520}})
	require.NoError(t, err)
	assert.Equal(t, []bool{false, true, false}, []bool{slots[0].Over, slots[1].Over, slots[2].Over})
	assert.InDelta(t, 1920, slots[1].Lay, 1e-9)
	assert.InDelta(t, 3360, slots[2].Lay, 1e-9, "1962 is past the end of the day")
}

// Four layouts of 10 min. With 25 min of cutting a day from 8:00, two are cut a
// day: ready at 490, 500, then 1930 and 1940.
func TestCuttingStopsAtTheEndOfTheDay(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	shift := kit.Shift{Start: 480, CutFrom: 480, CutHours: kit.Hours{Open: 480, Close: 505}, CutMinutes: func(string) float64 { return 10 }}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	assert.InDelta(t, 1930, slots[0].Ready, 1e-9, "the third layout is the first of the next day")
	assert.InDelta(t, 1940, slots[1].Ready, 1e-9)
}

// From 8:00 to 11:00, laid from 8:00 and carried 15 min ahead, set 1 leaves at
// 7:45: its three layouts of 10 min are cut the day before, from 10:30, which is
// 630 - 1440. The fourth is cut from 8:00 on and ready at 8:10, long before set
// 2 leaves at 8:22.5 (480 + 37.5 - 15 = 502.5).
func TestLatestCut(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	h := kit.Hours{Open: 480, Close: 660}
	shift := kit.Shift{Start: 480, Carry: 15, CutFrom: 480, Hours: h, CutHours: h, CutMinutes: func(string) float64 { return 10 }}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	latest, err := kit.LatestCut(kits, slots, shift)
	require.NoError(t, err)
	assert.InDelta(t, 630-1440, latest, 1e-9)
	shift.CutFrom = latest
	slots, err = kit.Timetable(kits, shift)
	require.NoError(t, err)
	assert.Zero(t, kit.Delay(slots))

	// The day before is off: three days back it is.
	off := h
	off.Works = func(day int) bool { return day != -1 && day != -2 }
	shift.CutHours = off
	latest, err = kit.LatestCut(kits, slots, shift)
	require.NoError(t, err)
	assert.InDelta(t, 630-3*1440, latest, 1e-9)

	// Without an end of day, the slack says it.
	shift.Hours, shift.CutHours, shift.CutFrom = kit.Hours{}, kit.Hours{}, 420
	slots, err = kit.Timetable(kits, shift)
	require.NoError(t, err)
	latest, err = kit.LatestCut(kits, slots, shift)
	require.NoError(t, err)
	assert.InDelta(t, 465-30, latest, 1e-9)

	shift.CutMinutes = nil
	slots, err = kit.Timetable(kits, shift)
	require.NoError(t, err)
	latest, err = kit.LatestCut(kits, slots, shift)
	require.NoError(t, err)
	assert.True(t, math.IsNaN(latest))
}

// Whatever the hours: sets of a crew follow each other, each lies within the
// hours of a day that is worked unless it says that it runs over, and cutting
// begins no earlier than LatestCut where that keeps up and a minute later does
// not.
func TestAnyHours(t *testing.T) {
	kits := twoKits(t, kit.Settings{})
	rapid.Check(t, func(t *rapid.T) {
		open := float64(rapid.IntRange(0, 1200).Draw(t, "open"))
		h := kit.Hours{Open: open, Close: open + float64(rapid.IntRange(15, 239).Draw(t, "hours"))}
		off := rapid.IntRange(0, 6).Draw(t, "day off")
		h.Works = func(day int) bool { return ((day%7)+7)%7 != off }
		each := float64(rapid.IntRange(1, 40).Draw(t, "a layout"))
		s := kit.Shift{
			Start: open, Crews: rapid.IntRange(1, 3).Draw(t, "crews"), Hours: h, CutHours: h, CutFrom: open,
			BetweenSets: float64(rapid.IntRange(0, 60).Draw(t, "between sets")), BetweenKits: float64(rapid.IntRange(0, 60).Draw(t, "between kits")),
			Carry: float64(rapid.IntRange(0, 30).Draw(t, "carry")), CutMinutes: func(string) float64 { return each },
		}
		slots, err := kit.Timetable(kits, s)
		if err != nil {
			t.Fatal(err)
		}
		free := map[int]float64{}
		for _, slot := range slots {
			day := math.Floor(slot.Lay / 1440)
			within := slot.Lay >= day*1440+h.Open-1e-9 && slot.Done <= day*1440+h.Close+1e-9
			if slot.Lay < free[slot.Crew]-1e-9 || !h.Works(int(day)) || within == slot.Over {
				t.Fatalf("%s from %g to %g, over %v", slot.Title(), slot.Lay, slot.Done, slot.Over)
			}
			free[slot.Crew] = slot.Done
		}
		latest, err := kit.LatestCut(kits, slots, s)
		if err != nil {
			t.Fatal(err)
		}
		if math.IsInf(latest, 0) {
			return // a layout takes longer than a day
		}
		for more, want := range map[float64]bool{0: true, 1: false} {
			s.CutFrom = latest + more
			trial, err := kit.Timetable(kits, s)
			if err != nil {
				t.Fatal(err)
			}
			if got := kit.Slack(trial) >= -1e-6; got != want {
				t.Fatalf("cutting from %g keeps up: %v", s.CutFrom, got)
			}
		}
	})
}
