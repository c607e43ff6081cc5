package kitlist_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/kitlist"
	"plyroom/nest/kit"
)

func TestOverview(t *testing.T) {
	ks := kits(t, sample.Options{})
	var b strings.Builder
	require.NoError(t, kitlist.Overview(ks).WriteCSV(&b))
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	require.Len(t, lines, len(ks)+2)
	assert.Equal(t, "1,Upper shell,1,2,B,24,0,2,8,13.8,5.132,2.670,4.054,4.054,6.724,9.38,2,2,,", lines[1])
	var pieces int
	for i := range ks {
		pieces += len(ks[i].Lines)
	}
	assert.True(t, strings.HasPrefix(lines[len(lines)-1], "total,,,,,"+itoa(pieces)+",0,"), lines[len(lines)-1])
}

func TestTimetableTable(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	shift := kit.Shift{Start: 23*60 + 40, Carry: 10, BetweenSets: 5, BetweenKits: 15,
		CutFrom: 22 * 60, CutMinutes: func(string) float64 { return 30 }}
	slots, err := kit.Timetable(ks, shift)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, kitlist.Timetable(&kitlist.Schedule{Slots: slots, Shift: shift, LatestCut: 21 * 60}).WriteCSV(&b))
	lines := strings.Split(b.String(), "\n")
	// Upper shell, set 1: 37.7 min from 23:40. It needs CSM 450, WR 600 and BX
	// 600, the layouts up to the fourth: 22:00 and 120 min, 30 after 23:30.
	assert.Equal(t, "day 1 23:30,Upper shell,1,1,1–4,1,day 1 23:40,day 2 00:18,day 2 00:00,30,", lines[1])
}

// Days stand at every time or at none, and in the words as in the table.
func TestEveryTimeHasItsDay(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	for _, cutFrom := range []float64{60, -90} {
		c := schedule(t, ks, cutFrom, false)
		tb := kitlist.Timetable(c)
		for _, r := range tb.Rows {
			for _, k := range []int{0, 6, 7, 8} {
				assert.Equal(t, cutFrom < 0, strings.HasPrefix(r[k].String(), "day "), "%v: %s", cutFrom, r[k])
			}
		}
		words := strings.Join(c.Words(), "\n")
		assert.Equal(t, cutFrom < 0, strings.Contains(words, "begins on the first layout by day −1 22:30."), words)
		assert.Equal(t, cutFrom < 0, strings.Contains(words, "day −1 is the day before it"), words)
		assert.Contains(t, words, "All plies cut: when the last layout")
	}
}

// A set that begins inside an order is named as on the kit list.
func TestTimetableSplitOrder(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	rec.Laminating.SetThickness = 1
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, kitlist.Timetable(schedule(t, ks, 0, false)).WriteCSV(&b))
	assert.Contains(t, b.String(), "Upper shell,1,5,rest of order 4,")
}

// In a spread the upper piece is lifted first; every placed piece stands once.
func TestOffTable(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	sample.Spread(rec, "WR 600")
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	var b strings.Builder
	tb := kitlist.OffTable(ks)
	require.NoError(t, tb.WriteCSV(&b))
	require.Len(t, tb.Rows, len(rec.Demand))
	lines := strings.Split(b.String(), "\n")
	assert.True(t, strings.HasPrefix(lines[1], "L1,1,2,"), lines[1])
	assert.True(t, strings.HasPrefix(lines[2], "L1,1,1,"), lines[2])
	assert.True(t, strings.HasPrefix(lines[3], "L1,2,2,"), lines[3])
}
