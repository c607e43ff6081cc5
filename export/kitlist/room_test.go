package kitlist_test

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/kitlist"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

func room(t *testing.T, r kitlist.Room) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, kitlist.WriteRoom(&b, r, kitlist.Settings{}))
	return b.Bytes()
}

// schedule is the timetable of kits with layouts of 30 min each.
func schedule(t *testing.T, ks []kit.Kit, cutFrom float64, given bool) *kitlist.Schedule {
	t.Helper()
	shift := kit.Shift{Start: 480, Crews: 2, CutFrom: cutFrom, CutMinutes: func(string) float64 { return 30 }}
	slots, err := kit.Timetable(ks, shift)
	require.NoError(t, err)
	return &kitlist.Schedule{Slots: slots, Shift: shift, CutGiven: given}
}

// The document names every placed piece once with its kit, in the order off the
// table, and says what the walk is.
func TestRoomSays(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	data := room(t, kitlist.Room{Kits: ks, Schedule: schedule(t, ks, 0, false)})
	assert.True(t, bytes.Equal(data, room(t, kitlist.Room{Kits: ks, Schedule: schedule(t, ks, 0, false)})), "same bytes twice")
	path, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("NOT TESTED: pdftotext is not installed (Debian package poppler-utils)")
	}
	cmd := exec.Command(path, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	require.NoError(t, err)
	text := squeeze(string(out))
	for _, want := range []string{
		"CUTTING ROOM", "Hub fairing, 9 kW turbine", "revision C", "Timetable (estimates)", "OFF THE TABLE", "CAUTION",
		"Laying begins at 08:00 with 2 crews.", kitlist.WalkWords(ks), "override them",
	} {
		assert.Contains(t, text, want)
	}
	assert.Equal(t, 1, strings.Count(text, "CAUTION"), "once per document")
	assert.Regexp(t, `Upper shell, 1 T1 1 U01 `, text, "the job's name for the bag")
	assert.Regexp(t, `Upper shell, 1 2 2 U02 `, text, "a bag without a name")
	for i := range ks {
		for j := range ks[i].Lines {
			assert.Contains(t, text, ks[i].Lines[j].Demand.Ply)
		}
	}
	for _, l := range []string{"Layout L1 ", "Layout L2 "} {
		assert.Equal(t, 1, strings.Count(text, l))
	}
}

// Worked by hand from the slack: the table is told when it must begin, or how
// late the worst set is and what would help.
func TestScheduleWords(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	c := schedule(t, ks, 0, true)
	slack := kit.Slack(c.Slots)
	require.Greater(t, slack, 0.0)
	assert.Contains(t, c.Words()[1], "Cutting keeps up: beginning at 00:00")

	late := schedule(t, ks, slack+12, true)
	assert.InDelta(t, -12, kit.Slack(late.Slots), 1e-9)
	assert.Contains(t, late.Words()[1], "the worst set is 12 min late")
	assert.Contains(t, late.Words()[1], "or laying at 08:12")

	open := schedule(t, ks, 60, false)
	assert.Equal(t, "Cutting keeps up where the table begins on the first layout by 01:00.", open.Words()[1])

	ks[0].Life = &kit.Life{Left: 90, LeftFabric: "PP", Expires: "2027-03-01"}
	c.Overruns = []kit.Overrun{{Kit: &ks[0], Needed: 130}}
	words := strings.Join(c.Words(), "\n")
	assert.Contains(t, words, "prepreg has 1.5 h out-life left, expires 2027-03-01; about 2.1 h pass from cutting to the beginning of cure")
	assert.Equal(t, 130.0, c.Overrun(&ks[0]).Needed)
	assert.Nil(t, c.Overrun(&ks[1]))
	assert.Nil(t, (*kitlist.Schedule)(nil).Overrun(&ks[0]))
}

// The kit list says what prepreg has left, why a set ends, and what is too
// thick.
func TestPDFSaysLimits(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	for i := range rec.Parts {
		rec.Parts[i].Stops = []shapes.Stop{{After: 2, Reason: "skin coat"}}
	}
	rec.Laminating.SetThickness = 1
	plain, err := kit.Build(rec)
	require.NoError(t, err)
	without := squeeze(strings.Join(pages(t, &plain[0], kitlist.Settings{}), "\n"))
	for _, want := range []string{"then a planned stop: skin coat, cure not included", "then let it cure: thickness limit, cure not included", "Cure not included: the job"} {
		assert.Contains(t, without, want)
	}
	rec.Laminating.Cure = 150
	rec.Fabrics[0].OutLife = 6000
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	text := squeeze(strings.Join(pages(t, &ks[0], kitlist.Settings{Overrun: &kit.Overrun{Kit: &ks[0], Needed: 7000}}), "\n"))
	for _, want := range []string{
		"then a planned stop: skin coat, cure 2.5 h included", "then let it cure: thickness limit, cure 2.5 h included", "Minutes are those of", "Plies thicker than is laid at once",
		"at most 1 mm cured laid at once", "100.0 h out-life left", "About 116.6 h are needed to the beginning of cure: TOO LONG", "100.0 h left",
	} {
		assert.Contains(t, text, want)
	}
}

// Every stop is marked in the timetable, and one sentence says that cure is not
// in it, or how long it is.
func TestTimetableSaysCure(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	rec.Parts[0].Stops = []shapes.Stop{{After: 2, Reason: "skin coat"}}
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	c := schedule(t, ks, 0, false)
	words := strings.Join(c.Words(), "\n")
	assert.Equal(t, 1, strings.Count(words, "CURE NOT INCLUDED"))
	var b strings.Builder
	require.NoError(t, kitlist.Timetable(c).WriteCSV(&b))
	assert.Equal(t, 1, strings.Count(b.String(), `"then a planned stop: skin coat, cure not included"`))
	if path, err := exec.LookPath("pdftotext"); err == nil {
		cmd := exec.Command(path, "-layout", "-", "-")
		cmd.Stdin = bytes.NewReader(room(t, kitlist.Room{Kits: ks, Schedule: c}))
		out, err := cmd.Output()
		require.NoError(t, err)
		assert.Contains(t, squeeze(string(out)), "Upper shell, unit 1 of 1, wet set 1 · then a planned stop: skin coat, cure not included")
	}
	rec.Laminating.Cure = 45
	ks, err = kit.Build(rec)
	require.NoError(t, err)
	c = schedule(t, ks, 0, false)
	c.Shift.Cure = 45
	words = strings.Join(c.Words(), "\n")
	assert.Contains(t, words, "At every stop 45 min of cure is included")
	assert.NotContains(t, words, "NOT INCLUDED")

	c = schedule(t, kits(t, sample.Options{Units: 1}), 0, false)
	assert.NotContains(t, strings.ToLower(strings.Join(c.Words(), "\n")), "cure", "it stops nowhere")
}

// A spread names what lies on each layer.
func TestRoomSpread(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	sample.Spread(rec, "WR 600")
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	path, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("NOT TESTED: pdftotext is not installed (Debian package poppler-utils)")
	}
	cmd := exec.Command(path, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(room(t, kitlist.Room{Kits: ks}))
	out, err := cmd.Output()
	require.NoError(t, err)
	text := squeeze(string(out))
	assert.Contains(t, text, "layer 1: WR 600")
	assert.Contains(t, text, "layer 2: CSM 450 · roll R-2207 · lot 2231-B")
	assert.NotContains(t, text, "Timetable", "none was given")
}
