package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/kitlist"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// The page tells when sets leave, why the lay-up stops, and what prepreg has
// left: a roll out for 12 h and 6 h to thaw of 240 h has 222 h.
func TestTimetableStopsAndPrepreg(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	require.False(t, strings.Contains(render(t, rec), `id="shop"`))
	rec.Parts[0].Stops = []shapes.Stop{{After: 1, Reason: "skin <coat>"}}
	f := rec.Fabric("BX 600")
	f.OutLife = 240 * 60
	f.Rolls = []shapes.Roll{{Name: "R-9", Lot: "P", OutUsed: 12 * 60, Thaw: 6 * 60, Expires: "2027-03-01"}}
	for i := range rec.Layouts {
		for k := range rec.Layouts[i].Layers {
			if ly := &rec.Layouts[i].Layers[k]; ly.Fabric == f.Name {
				ly.Roll, ly.Lot = "R-9", "P"
			}
		}
	}
	kits, err := kit.Build(rec)
	require.NoError(t, err)
	shift := kit.Shift{Start: 480, CutFrom: 470, CutMinutes: func(string) float64 { return 10 }, CureAfter: 300 * 60}
	slots, err := kit.Timetable(kits, shift)
	require.NoError(t, err)
	c := &kitlist.Schedule{Slots: slots, Shift: shift, CutGiven: true, LatestCut: 440, Overruns: kit.Overruns(kits, slots, shift)}
	var b bytes.Buffer
	require.NoError(t, Write(&b, Input{Record: rec, Kits: kits, Schedule: c}))
	page := b.String()
	for _, words := range []string{
		`href="#shop"`, "Laying begins at 08:00", "CUTTING DOES NOT KEEP UP", `<tr class="bad"><td class="whole">0`,
		">skin &lt;coat&gt;<", "then a planned stop: skin &lt;coat&gt;",
		`<td class="n">12.0</td><td class="n">6.0</td><td class="n">222.0 h</td>`, "222.0 h out-life left, expires 2027-03-01",
		"needed to cure: TOO LONG",
	} {
		require.True(t, strings.Contains(page, words), words)
	}
	rows := 0
	for _, part := range rec.Parts {
		rows += strings.Count(page, ">"+part.Part+"</td>")
	}
	require.Equal(t, len(slots)+1, rows, "the timetable's rows are those of the schedule; one row tells of the stop")

	require.Equal(t, 1, strings.Count(page, `<tr class="stop"><td`))
	require.Equal(t, 1, strings.Count(page, "CURE NOT INCLUDED"))

	tb := open(t, page, 1440, 900)
	// Times keep to one line, and headers break at blanks only.
	require.True(t, js[bool](tb, `[...document.querySelectorAll("#shop td.whole")].every(e => e.getClientRects().length == 1 && getComputedStyle(e).whiteSpace == "nowrap")`))
	require.True(t, js[bool](tb, `[...document.querySelectorAll("#shop thead th")].every(e => getComputedStyle(e).overflowWrap == "normal")`))
	tb.run("document.getElementById('shop').scrollIntoView()")
	tb.keep("shop.png")
	tb.quiet()
}

// Where the thickness laid at once ends a set, the lay-up stops as at a planned
// stop, and the page lists both; units of a part stop alike.
func TestStopsForThickness(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 2})
	rec.Parts[0].Stops = []shapes.Stop{{After: 1, Reason: "skin coat"}}
	rec.Laminating.SetThickness = 3
	kits, err := kit.Build(rec)
	require.NoError(t, err)
	want := 1
	for i := range kits {
		for _, set := range kits[i].Plan.Sets {
			if set.End == kit.EndThickness && kits[i].Unit == 1 {
				want++
			}
		}
	}
	require.Greater(t, want, 2)
	page := render(t, rec)
	_, table, _ := strings.Cut(page, "Planned stops, and stops for thickness")
	table, _, _ = strings.Cut(table, "</table>")
	require.Equal(t, want-1, strings.Count(table, ">thickness limit</td>"))
	require.Equal(t, want, strings.Count(table, ">cure not included</td>"))
	rec.Laminating.Cure = 180
	require.True(t, strings.Contains(render(t, rec), ">cure 3 h included</td>"))
}

func TestWhatKeepingTogetherCosts(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	require.False(t, strings.Contains(render(t, rec), "together-cap"))
	rec.Rules.KeepTogether = []string{"Upper shell"}
	rec.Together = &nest.Together{
		Kept: nest.KeptFigures{Layouts: 9, Length: 12350, Drawn: 15e6, FabricCost: 30, Priced: true, Visits: 6, Walk: 2500},
		Free: nest.KeptFigures{Layouts: 7, Length: 10000, Drawn: 12e6, FabricCost: 27.5, Priced: true, Visits: 9, Walk: 7000},
	}
	page := render(t, rec)
	for _, words := range []string{"this plan: Upper shell", "draws 2.35" + thin + "m of fabric more and spares 3 meetings of a kit on a layout and 4.5" + thin + "m of walking", ">12.35<", ">27.50<"} {
		require.True(t, strings.Contains(page, words), words)
	}
}
