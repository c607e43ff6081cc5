package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/trace"
)

// kitJob is a small job with everything the kits' documents feed on: two units
// from two lots of one fabric and a roll of prepreg, planned stops, a limit of
// thickness, a shift.
const kitJob = `job: Hatch
revision: A
date: 2026-11-30
fabrics:
  - name: WR 600
    construction: plain
    areal_mass: 600
    width: 700
    rolls:
      - {roll: R-1, lot: LOT-A, length: 700}
      - {roll: R-2, lot: LOT-B, length: 700}
  - name: PP 300
    construction: mat
    areal_mass: 300
    width: 1270
    out_life: 240 h
    rolls: [{roll: R-9, lot: LOT-P, length: 10 m, out_used: 12 h, thaw: 6 h, expires: 2027-03-01}]
parts:
  - part: Upper shell
    units: 2
    outlines: shell.svg
    stops: [{after: 1, reason: skin coat}]
    plies:
      - {order: 1, ply: U01, outline: SKIN, fabric: WR 600, direction: 0}
      - {order: 2, ply: U02, outline: SKIN, fabric: PP 300}
cutting: {gap: 3, end_allowance: 20}
laminating:
  resin: epoxy
  working_time: 60 min
  plan_at: 0.75
  pace: 6 kg/h
  set_thickness: 4
  shift: {start: 07:30, crews: 1, carry: 10, cut_from: 06:00}
`

// kitRun lays the job, spoilt in one place, into a folder.
func kitRun(t *testing.T, old, with string, args ...string) (dir string, status int, said string) {
	t.Helper()
	require.Contains(t, kitJob, old)
	dir = t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(strings.Replace(kitJob, old, with, 1)), 0o644))
	sheet := strings.Replace(goodSheet, "PATH", `<path id="SKIN" d="M0 0 H600 V600 H0 Z"/>`, 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "shell.svg"), []byte(sheet), 0o644))
	status, _, said = command(t, append([]string{"nest", filepath.Join(dir, "job.yaml"), "-o", filepath.Join(dir, "OUT"), "--effort", "1"}, args...)...)
	return dir, status, said
}

func readText(t *testing.T, elem ...string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(elem...))
	require.NoError(t, err)
	return string(data)
}

func TestKitsCommand(t *testing.T) {
	dir, status, said := kitRun(t, "revision: A", "revision: A")
	require.Equal(t, 0, status, said)
	out := filepath.Join(dir, "OUT")

	t.Run("documents of the whole room", func(t *testing.T) {
		require.Equal(t, []string{
			"cutting-room.pdf", "kit-1-Upper-shell-unit-1.csv", "kit-1-Upper-shell-unit-1.pdf",
			"kit-2-Upper-shell-unit-2.csv", "kit-2-Upper-shell-unit-2.pdf", "off-the-table.csv", "overview.csv", "timetable.csv",
		}, names(t, filepath.Join(out, "kits")))
		require.Len(t, strings.Split(strings.TrimSpace(readText(t, out, "kits", "off-the-table.csv")), "\n"), 1+4)
		overview := readText(t, out, "kits", "overview.csv")
		require.Contains(t, overview, "out_life_left_h,expires")
		// 240 h less 12 h out and 6 h of thaw.
		require.Contains(t, overview, "222.00,2027-03-01")
		require.Contains(t, readText(t, out, "kits", "kit-1-Upper-shell-unit-1.csv"), "R-9,LOT-P,222.00,2027-03-01")
	})
	t.Run("the timetable answers the flags", func(t *testing.T) {
		// WR 600 of 0.36 m²: 0.216 kg of fibre at 48 % is 0.45 kg of laminate,
		// 4.5 min at 6 kg/h; PP 300, 0.108 kg at 30 %: 0.36 kg, 3.6 min.
		timetable := readText(t, out, "kits", "timetable.csv")
		require.Contains(t, timetable, "07:20,Upper shell,1,1,1,1,07:30,07:35,")
		require.Contains(t, timetable, "07:25,Upper shell,1,2,2,1,07:35,07:38,")
		status, told, said := command(t, "kits", out, "--start", "09:00", "--crews", "2", "--carry", "0s")
		require.Equal(t, 0, status, said)
		require.Contains(t, told, "Laying begins at 09:00 with 2 crews.")
		require.Contains(t, told, "Cutting keeps up: beginning at 06:00")
		require.Contains(t, told, "estimates")
		timetable = readText(t, out, "kits", "timetable.csv")
		require.Contains(t, timetable, "09:00,Upper shell,1,1,1,1,09:00,09:05,")
		require.Contains(t, timetable, "09:00,Upper shell,2,1,1,2,09:00,09:05,")
		status, told, _ = command(t, "kits", out, "--start", "06:05")
		require.Equal(t, 0, status)
		require.Contains(t, told, "CUTTING DOES NOT KEEP UP: beginning at 06:00")
		// The first kit is laid by 07:38; the second does not fit before 07:40.
		// The 30th of November 2026 is a Monday, day 3 a Wednesday.
		status, told, said = command(t, "kits", out, "--start", "07:30", "--end", "07:40", "--days", "mon,wed")
		require.Equal(t, 0, status, said)
		require.Contains(t, told, "Work ends at 07:40 and goes on at 07:30 on mon, wed; day 1 is Monday, 2026-11-30.")
		timetable = readText(t, out, "kits", "timetable.csv")
		require.Contains(t, timetable, "day 3 07:30,day 3 07:35")
	})
	t.Run("labels in any order, grid and roll", func(t *testing.T) {
		var sizes []int
		for _, args := range [][]string{{"--labels-order", "pile"}, {"--labels-order", "off-table"}, {"--label-grid", "2x5,100x50"}, {"--label-roll", "100x50"}} {
			status, _, said := command(t, append([]string{"kits", out}, args...)...)
			require.Equal(t, 0, status, said)
			pdf := readText(t, out, "labels.pdf")
			require.True(t, strings.HasPrefix(pdf, "%PDF"))
			sizes = append(sizes, strings.Count(pdf, "/Type /Page\n"))
		}
		require.Equal(t, []int{1, 1, 1, 6}, sizes, "four tags and two bag sheets; on a roll a page each")
	})
	t.Run("nest prints labels the same way", func(t *testing.T) {
		dir, status, said := kitRun(t, "revision: A", "revision: A", "--label-roll", "100x50")
		require.Equal(t, 0, status, said)
		require.Equal(t, 6, strings.Count(readText(t, dir, "OUT", "labels.pdf"), "/Type /Page\n"))
		dir, status, said = kitRun(t, "revision: A", "revision: A", "--label-grid", "9x9,64x34")
		require.Equal(t, 2, status)
		require.Contains(t, said, "reaches")
		require.NoDirExists(t, filepath.Join(dir, "OUT"))
	})
	t.Run("usage", func(t *testing.T) {
		for _, c := range []struct {
			args []string
			says string
		}{
			{[]string{"--start", "7"}, "time of day"}, {[]string{"--start", "25:00"}, "--start"}, {[]string{"--crews", "0"}, "--crews 0"},
			{[]string{"--cut-from", "noon"}, "--cut-from"}, {[]string{"--carry", "-5m"}, "--carry"},
			{[]string{"--labels-order", "heap"}, "lay-up, pile and off-table"}, {[]string{"--label-grid", "3x8"}, "no grid of labels"},
			{[]string{"--label-grid", "9x9,64x34"}, "reaches"}, {[]string{"--label-roll", "10x10"}, "too small"},
			{[]string{"--label-roll", "100"}, "no size of label"}, {[]string{"--label-roll", "100x50", "--label-grid", "3x8,64x34"}, "label-grid"},
			{[]string{"--paper", "a5"}, "a4 and letter"},
		} {
			status, _, said := command(t, append([]string{"kits", out}, c.args...)...)
			require.Equal(t, 2, status, "%v: %s", c.args, said)
			require.Contains(t, said, c.says)
		}
	})
	t.Run("trace both ways", func(t *testing.T) {
		again := filepath.Join(dir, "again")
		require.NoError(t, os.Mkdir(again, 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(again, "layouts.json"), []byte(readText(t, out, "layouts.json")), 0o644))
		var whole trace.Trail
		require.NoError(t, json.Unmarshal([]byte(readText(t, out, "trace.json")), &whole))
		require.Len(t, whole.Pieces, 4)
		require.Len(t, strings.Split(strings.TrimSpace(readText(t, out, "trace.csv")), "\n"), 5)
		ask := func(args ...string) (runs []struct {
			Run string `json:"run"`
			trace.Trail
		}) {
			status, told, said := command(t, append([]string{"trace", "--json"}, args...)...)
			require.Equal(t, 0, status, said)
			var doc struct {
				Runs json.RawMessage `json:"runs"`
			}
			require.NoError(t, json.Unmarshal([]byte(told), &doc))
			require.NoError(t, json.Unmarshal(doc.Runs, &runs))
			return runs
		}
		// A roll holds one square, so each unit is of another lot.
		units := map[int]string{}
		for _, lot := range []string{"LOT-A", "LOT-B"} {
			runs := ask("--lot", lot, out, again)
			require.Len(t, runs, 2)
			require.Equal(t, again, runs[1].Run)
			require.Len(t, runs[0].Pieces, 1)
			units[runs[0].Pieces[0].Unit] = lot
		}
		require.Len(t, units, 2)
		for unit, lot := range units {
			runs := ask("--unit", "Upper shell/"+string(rune('0'+unit)), out)
			require.Len(t, runs, 1)
			require.Len(t, runs[0].Pieces, 2)
			require.Equal(t, []string{lot, "LOT-P"}, []string{runs[0].Pieces[0].Lot, runs[0].Pieces[1].Lot})
		}
		require.Len(t, ask("--roll", "R-9", out)[0].Pieces, 2)

		status, told, said := command(t, "trace", out, "--lot", "LOT-P", "--plies")
		require.Equal(t, 0, status, said)
		require.Equal(t, 2, strings.Count(told, "U02"))
		for _, c := range []struct {
			args   []string
			status int
			says   string
		}{
			{[]string{out, "--lot", "LOT-Z"}, 1, `lot "LOT-Z" is in none of the runs; they hold "LOT-A"`},
			{[]string{out, again, "--roll", "LOT-A"}, 1, `roll "LOT-A"`},
			{[]string{out, "--unit", "Upper shell/3"}, 1, `"Upper shell/1"`},
			{[]string{out, "--unit", "Upper shell"}, 2, "no unit"},
			{[]string{out, "--lot", ""}, 2, "may not be empty"},
			{[]string{out}, 2, "lot roll unit"},
			{[]string{out, "--lot", "A", "--roll", "B"}, 2, "lot"},
			{[]string{"--lot", "A"}, 2, "was given nothing"},
			{[]string{filepath.Join(dir, "none"), "--lot", "A"}, 2, "none"},
		} {
			status, _, said := command(t, append([]string{"trace"}, c.args...)...)
			require.Equal(t, c.status, status, "%v: %s", c.args, said)
			require.Contains(t, said, c.says)
		}
	})
}

func TestPrepreg(t *testing.T) {
	for _, c := range []struct {
		name, old, with string
		args            []string
		status          int
		says            []string
	}{
		{"expired", "expires: 2027-03-01", "expires: 2026-11-29", nil, 1, []string{`roll "R-9"`, `fabric "PP 300"`, "expired on 2026-11-29", "--use-expired"}},
		{"last day", "expires: 2027-03-01", "expires: 2026-11-30", nil, 0, nil},
		{"a later date", "revision: A", "revision: A", []string{"--date", "2027-03-02"}, 1, []string{`roll "R-9"`, "the job is cut on 2027-03-02"}},
		{"told to", "expires: 2027-03-01", "expires: 2026-11-29", []string{"--use-expired"}, 0, nil},
		{"used up", "out_used: 12 h", "out_used: 234 h", nil, 1, []string{`roll "R-9"`, "used up: 234.0 h out, 6.0 h to thaw"}},
		// 3 min are left after the thaw; cutting to laying takes an hour and more.
		{"too little left", "out_used: 12 h", "out_used: 233.95 h", nil, 0, []string{"Upper shell, unit 1 of 2: prepreg has 0.0 h out-life left", "TOO LONG"}},
		{"no such day", "revision: A", "revision: A", []string{"--date", "2026-02-30"}, 2, []string{"--date", "2026-02-30"}},
		{"no such time", "revision: A", "revision: A", []string{"--date", "2026-12-01T25:00"}, 2, []string{"--date", "25:00"}},
		{"a log without a day", "date: 2026-11-30\n", "", []string{"--roll-log", "rolls.csv"}, 2, []string{"--roll-log", "--date"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir, status, said := kitRun(t, c.old, c.with, c.args...)
			require.Equal(t, c.status, status, said)
			for _, s := range c.says {
				require.Contains(t, said, s)
			}
			if c.status != 0 {
				require.NoDirExists(t, filepath.Join(dir, "OUT"))
			} else if slices.Contains(c.args, "--use-expired") {
				require.Contains(t, readText(t, dir, "OUT", "layouts.json"), "it is used all the same")
			}
		})
	}
}

// What is left is not laid again on a roll that has expired, and check says so of
// a record that was laid on one.
func TestExpiredLater(t *testing.T) {
	dir, status, said := kitRun(t, "revision: A", "revision: A")
	require.Equal(t, 0, status, said)
	later := filepath.Join(dir, "later.yaml")
	require.NoError(t, os.WriteFile(later, []byte(strings.Replace(kitJob, "date: 2026-11-30", "date: 2027-03-02", 1)), 0o644))
	relay := func(to string, more ...string) (int, string) {
		status, _, said := command(t, append([]string{"relay", filepath.Join(dir, "OUT"), "--job", later, "--cut", "L1", "--effort", "1", "-o", filepath.Join(dir, to)}, more...)...)
		return status, said
	}
	status, said = relay("AGAIN")
	require.Equal(t, 1, status)
	require.Contains(t, said, `roll "R-9" of fabric "PP 300" may not be used: it expired on 2027-03-01`)
	status, said = relay("ANYWAY", "--use-expired")
	require.Equal(t, 0, status, said)

	path := filepath.Join(dir, "ANYWAY", "layouts.json")
	status, _, said = command(t, "check", path)
	require.Equal(t, 0, status, said)
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(readText(t, path), `"use_expired": true`, `"use_expired": false`, 1)), 0o644))
	status, told, said := command(t, "check", path)
	require.Equal(t, 1, status)
	require.Contains(t, told+said, "rule 13 (life)")
}

// The log of moves counts towards what a roll has been out: 100 h from the log
// and 12 h of the job leave 122 h.
func TestRollLog(t *testing.T) {
	log := filepath.Join(t.TempDir(), "rolls.csv")
	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{[]string{"out", "R-9", "--at", "2026-11-20T08:00"}, 0, "out at 2026-11-20T08:00"},
		{[]string{"out", "R-9", "--at", "2026-11-20T09:00"}, 1, "is out already"},
		{[]string{"back", "R-8", "--at", "2026-11-20T09:00"}, 1, "is not out"},
		{[]string{"back", "R-9", "--at", "2026-11-24T08:00", "--note", "resealed"}, 0, "back at"},
		{[]string{"out", "R-9", "--at", "2026-11-30T03:00"}, 0, "out at"},
		{[]string{"back", "R-9", "--at", "yesterday"}, 2, "--at"},
		{[]string{"out"}, 2, "ROLL --log FILE"},
		{[]string{"show", "--at", "2026-11-30T07:00"}, 0, "100.00"},
	} {
		status, told, said := command(t, append(append([]string{"roll"}, c.args...), "--log", log)...)
		require.Equal(t, c.status, status, "%v: %s", c.args, said)
		require.Contains(t, told+said, c.says, c.args)
	}
	status, _, said := command(t, "roll")
	require.Equal(t, 2, status)
	require.Contains(t, said, "out, back or show")

	dir, status, said := kitRun(t, "revision: A", "revision: A", "--roll-log", log, "--date", "2026-11-30T07:00")
	require.Equal(t, 0, status, said)
	require.Contains(t, readText(t, dir, "OUT", "kits", "overview.csv"), "122.00,2027-03-01")
	_, status, said = kitRun(t, "out_life: 240 h", "out_life: 100 h", "--roll-log", log)
	require.Equal(t, 1, status)
	require.Contains(t, said, "129.0 h out", "without a time the whole day counts: 96 h, 21 h, and 12 h before the log")
	require.NotContains(t, said, "goroutine")
}
