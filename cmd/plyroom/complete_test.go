package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/trace"
)

// completeJob asks for three units with everything that could lose or double a
// ply: a ply in lapped panels, handed plies, several copies, two fabrics that
// are cut in one pass, cut-outs that hold other plies, two lots.
const completeJob = `job: Complete
revision: A
fabrics:
  - name: WR 600
    construction: plain
    balanced: true
    areal_mass: 600
    width: 700
    rolls: [{roll: R-1, lot: A, length: 4 m}, {roll: R-2, lot: B, length: 30 m}]
  - {name: CSM 450, construction: mat, areal_mass: 450, width: 700}
parts:
  - part: Shell
    units: 3
    outlines: shell.svg
    plies:
      - {order: 1, ply: S1, outline: SKIN, fabric: CSM 450}
      - {order: 2, ply: S2, outline: SKIN, fabric: WR 600, direction: 0}
      - {order: 3, ply: S3, outline: WIDE, fabric: WR 600, direction: 0, split: lap 40 mm}
      - {order: 4, ply: S4, outline: SKEW, fabric: WR 600, direction: 45, count: 4, opposite_hand: 2}
  - part: Lid
    units: 2
    outlines: shell.svg
    plies:
      - {order: 1, ply: S1, outline: SKEW, fabric: CSM 450, count: 2}
      - {order: 2, ply: S2, outline: SKEW, fabric: WR 600, direction: 0}
cutting: {gap: 3, end_allowance: 20, layers: 2, spreads: [[WR 600, CSM 450]], spread_policy: time, rates: {cut: 1, layout: 10 s, layer: 5 s}, table: {length: 1800, width: 1600}KEEP}
laminating: {resin: epoxy, working_time: 60, plan_at: 0.75, pace: 6}
`

const completeSheet = `<svg xmlns="http://www.w3.org/2000/svg" width="3000mm" height="2000mm" viewBox="0 0 3000 2000">
<path id="SKIN" d="M0 0 H600 V400 H0 Z M200 100 H400 V300 H200 Z"/>
<path id="WIDE" d="M1000 0 H1900 V900 H1000 Z"/>
<path id="SKEW" d="M0 1000 H170 L120 1120 L0 1100 Z"/>
</svg>`

// completeRun lays the job into a folder.
func completeRun(t *testing.T, keep string, args ...string) (dir, out string) {
	t.Helper()
	dir = t.TempDir()
	out = filepath.Join(dir, "OUT")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(strings.Replace(completeJob, "KEEP", keep, 1)), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "shell.svg"), []byte(completeSheet), 0o644))
	status, _, said := command(t, append([]string{"nest", filepath.Join(dir, "job.yaml"), "-o", out, "--effort", "1"}, args...)...)
	require.Contains(t, []int{0, 1}, status, said)
	return dir, out
}

// rowsOf reads a table, each row by its columns' names.
func rowsOf(t *testing.T, path string) []map[string]string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	all, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(data), "\ufeff"))).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = line[i]
		}
		if row["order"] != "total" {
			out = append(out, row)
		}
	}
	return out
}

func keyOfRow(t *testing.T, row map[string]string) nest.Key {
	t.Helper()
	unit, err := strconv.Atoi(row["unit"])
	require.NoError(t, err)
	n, err := strconv.Atoi(row["copy"])
	require.NoError(t, err)
	return nest.Key{Part: row["part"], Unit: unit, Ply: row["ply"], Copy: n}
}

// complete asks that every demanded ply stands in exactly one kit list, in that
// of its own unit, and that every line points to the ply placed in the layout,
// layer, roll and lot it names, or says that it is short. The walk off the table
// and the trail hold the placed plies, each once.
func complete(t *testing.T, out string) {
	t.Helper()
	rec := record(t, out)
	where := map[nest.Key]string{}
	for _, l := range rec.Layouts {
		for i := range l.Placed {
			p := &l.Placed[i]
			for _, ly := range l.Layers {
				if ly.Layer == p.Layer {
					where[p.Key()] = fmt.Sprint(l.ID, " layer ", p.Layer, " roll ", ly.Roll, " lot ", ly.Lot)
				}
			}
		}
	}
	missing := rec.ShortKeys()
	require.Len(t, where, len(rec.Demand)-len(missing))
	place := func(row map[string]string) string {
		return fmt.Sprint(row["layout"], " layer ", row["layer"], " roll ", row["roll"], " lot ", row["lot"])
	}

	kits := map[nest.Key]bool{}
	lists, err := filepath.Glob(filepath.Join(out, "kits", "kit-*.csv"))
	require.NoError(t, err)
	units := 0
	for _, p := range rec.Parts {
		units += p.Units
	}
	require.Len(t, lists, units)
	for _, list := range lists {
		rows := rowsOf(t, list)
		for _, row := range rows {
			k := keyOfRow(t, row)
			require.False(t, kits[k], "%s stands twice", k)
			kits[k] = true
			require.Equal(t, rows[0]["part"]+rows[0]["unit"], row["part"]+row["unit"], "one kit, one list")
			if missing[k] {
				require.Empty(t, row["layout"], k)
				require.NotEqual(t, "placed", row["status"])
				continue
			}
			require.Equal(t, where[k], place(row), "%s", k)
		}
	}
	require.Len(t, kits, len(rec.Demand))
	for _, d := range rec.Demand {
		require.True(t, kits[d.Key()], "%s is in no kit", d.Key())
	}

	for _, name := range []string{filepath.Join("kits", "off-the-table.csv"), "trace.csv"} {
		seen := map[nest.Key]bool{}
		for _, row := range rowsOf(t, filepath.Join(out, name)) {
			k := keyOfRow(t, row)
			require.False(t, seen[k], "%s: %s stands twice", name, k)
			seen[k] = true
			if row["layout"] == "" {
				require.True(t, missing[k], "%s: %s", name, k)
				continue
			}
			require.Equal(t, where[k], place(row), "%s: %s", name, k)
		}
		require.GreaterOrEqual(t, len(seen), len(where), name)
	}
}

func TestEveryPlyIsInOneKit(t *testing.T) {
	dir, out := completeRun(t, "")
	rec := record(t, out)
	spread, panels := false, false
	for _, l := range rec.Layouts {
		spread = spread || len(l.Layers) > 1
	}
	for _, d := range rec.Demand {
		panels = panels || d.Panel != nil
	}
	require.True(t, spread, "nothing is cut in one pass")
	require.True(t, panels, "nothing is divided")
	complete(t, out)

	t.Run("made again", func(t *testing.T) {
		status, _, said := command(t, "kits", out)
		require.Equal(t, 0, status, said)
		complete(t, out)
	})
	t.Run("kept together", func(t *testing.T) {
		_, out := completeRun(t, ", keep_together: all")
		complete(t, out)
	})
	t.Run("short", func(t *testing.T) {
		path := filepath.Join(dir, "short.yaml")
		require.NoError(t, os.WriteFile(path, []byte(strings.NewReplacer("KEEP", "", "length: 30 m", "length: 1 m", "units: 3", "units: 2", "units: 2", "units: 1").Replace(completeJob)), 0o644))
		out := filepath.Join(dir, "SHORT")
		status, _, said := command(t, "nest", path, "-o", out, "--effort", "1", "--allow-short")
		require.Equal(t, 1, status, said)
		require.NotEmpty(t, record(t, out).Short)
		complete(t, out)
	})
	t.Run("the rest laid again", func(t *testing.T) {
		// One layout whole, and one that holds three or more up to its second.
		again, whole, part := filepath.Join(dir, "AGAIN"), "", ""
		for _, l := range rec.Layouts {
			switch {
			case part == "" && len(l.Placed) >= 3*len(l.Layers):
				part = l.ID + ":2"
			case whole == "":
				whole = l.ID
			}
		}
		require.NotEmpty(t, part)
		cut := whole + "," + part
		status, _, said := command(t, "relay", out, "--job", filepath.Join(dir, "job.yaml"), "--cut", cut, "-o", again, "--effort", "1")
		require.Equal(t, 0, status, said)
		require.Len(t, record(t, again).Demand, len(rec.Demand))
		complete(t, again)
	})
	t.Run("one cut again", func(t *testing.T) {
		key := rec.Demand[len(rec.Demand)-1].Key()
		status, _, said := command(t, "recut", out, "--ply", fmt.Sprintf("%s/%d/%s/%d", key.Part, key.Unit, key.Ply, key.Copy), "--why", "torn")
		require.Equal(t, 0, status, said)
		var trail trace.Trail
		require.NoError(t, json.Unmarshal([]byte(readText(t, out, "recut-1", "trace.json")), &trail))
		require.Len(t, trail.Pieces, 1)
		p := trail.Pieces[0]
		require.Equal(t, key, nest.Key{Part: p.Part, Unit: p.Unit, Ply: p.Ply, Copy: p.Copy})
		// The kit still holds the ply once; the recut replaces it there.
		complete(t, out)
	})
}
