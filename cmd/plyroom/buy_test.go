package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"plyroom/nest/buy"
	"plyroom/shapes"
)

// buyFiles is a job with a rack, an open order and a price break.
func buyFiles(t *testing.T) string {
	t.Helper()
	dir := studyFiles(t)
	path := filepath.Join(dir, "job.yaml")
	job := strings.Replace(read(t, path), "price: 3, faces: different}", `price: 30 per roll, delivery_length: 2 m, faces: different,
     buying: {sold_by: roll, minimum: 2, lead_time: 5, price_breaks: [{from: 4, price: 14 per roll}], widths: [{width: 1500}], orders: [{order: PO-1, length: 1 m, due: 2026-12-01}]},
     rolls: [{roll: R-2, lot: B, length: 1 m, received: 2026-02-01}, {roll: R-1, lot: A, length: 500, received: 2026-01-01, reserved: 100}]}`, 1)
	require.NoError(t, os.WriteFile(path, []byte(job), 0o644))
	return path
}

func TestBuy(t *testing.T) {
	job := buyFiles(t)
	xlsx := filepath.Join(filepath.Dir(job), "buy.xlsx")
	status, told, said := command(t, "buy", job, "--units", "8", "--effort", "1", "--allowance", "10", "--groups", "1,2", "--widths",
		"--by", "2026-12-20", "--xlsx", xlsx, "--json")
	require.Equal(t, 0, status, said)
	var l buy.List
	require.NoError(t, json.Unmarshal([]byte(told), &l))
	// All, sets of 1, sets of 2, the other width: as many as were foretold.
	for _, s := range []string{"nest 1 of 4: 8 of each part", "nest 2 of 4: 1 of each part", "nest 4 of 4: 8 of each part, WR 600 1500 mm wide"} {
		require.Contains(t, said, s)
	}
	require.NotContains(t, said, "nest 5")
	wr := l.Fabrics[0]
	require.Equal(t, "WR 600", wr.Fabric)
	require.InDelta(t, wr.Need*0.1, wr.Allowance, 1e-9)
	// 0.4 + 1 from the rack, 1 from the order, oldest lot first.
	require.Equal(t, []string{"R-1", "R-2", "PO-1"}, []string{l.Draws[0].Name, l.Draws[1].Name, l.Draws[2].Name})
	require.InDelta(t, 0.4, l.Draws[0].Take, 1e-9)
	require.InDelta(t, wr.Need*1.1-2.4, wr.Short, 1e-9)
	require.GreaterOrEqual(t, wr.Rolls, 2)
	require.Equal(t, "2026-12-15", string(wr.OrderBy))
	require.Len(t, l.Groups, 3)
	require.InDelta(t, l.Groups[2].Metres, wr.Need+l.Fabrics[1].Need, 1e-9)
	require.Len(t, l.Widths, 2)

	f, err := excelize.OpenFile(xlsx)
	require.NoError(t, err)
	require.Equal(t, []string{"To buy", "From stock", "Nested together", "Widths", "Units"}, f.GetSheetList())
	v, err := f.GetCellValue("To buy", "A2")
	require.NoError(t, err)
	require.Equal(t, "WR 600", v)

	status, told, said = command(t, "buy", job, "--units", "3", "--effort", "1", "--groups", "1")
	require.Equal(t, 0, status, said)
	for _, s := range []string{"3 × Upper shell", "From stock and open orders", "R-1", "sets nested together", "total: need"} {
		require.Contains(t, told, s)
	}
	status, told, said = command(t, "buy", job, "--units", "Upper shell=14", "--effort", "1", "--csv")
	require.Equal(t, 0, status, said)
	rows, err := csv.NewReader(strings.NewReader(told)).ReadAll()
	require.NoError(t, err)
	require.Equal(t, "error_m", rows[0][3])
	require.Equal(t, "42", rows[1][1], "a skin and two fins each")
	require.NotEqual(t, "0.00", rows[2][3]+rows[1][3], "estimated")
}

func TestBuyUsage(t *testing.T) {
	job := buyFiles(t)
	for _, args := range [][]string{
		{"--units", "0"}, {"--units", "x"}, {"--units", "Hull=2"}, {"--units", "Upper shell=0"}, {"--units", "-1"},
		{"--allowance", "101"}, {"--allowance", "NaN"}, {"--allowance", "nan"}, {"--allowance", "Inf"}, {"--allowance", "-1"},
		{"--units", "100001"}, {"--units", "Upper shell=100001"}, {"--units", "99999999999999999999"}, {"--units", "nan"}, {"--units", "100000"}, {"--by", "soon"}, {"--groups", "0"}, {"--full", "-1"},
	} {
		status, _, said := command(t, append([]string{"buy", job, "--effort", "1"}, args...)...)
		require.Equal(t, 2, status, "%v: %s", args, said)
		require.Regexp(t, `(?m)^plyroom: `, said, "%v", args)
	}
	status, _, said := command(t, "buy", job, "--units", "100000", "--effort", "1")
	require.Equal(t, 2, status)
	require.Contains(t, said, "600000 pieces; a job has at most 200000")
	status, _, said = command(t, "buy", "nowhere.yaml", "--allowance", "nan")
	require.Equal(t, 2, status)
	require.Contains(t, said, "--allowance NaN: give percent from 0 to 100", "before anything is read")
	status, _, said = command(t, "buy", job, "--units", "Hull=2", "--effort", "1")
	require.Equal(t, 2, status)
	require.Contains(t, said, `"Upper shell"`)
}

// Stopped in the middle of the first of many nests, it tells what it knows.
func TestBuyStops(t *testing.T) {
	job := buyFiles(t)
	ctx, cancel := contextFor(t, 500*time.Millisecond)
	defer cancel()
	var told, said bytes.Buffer
	began := time.Now()
	status := execute(ctx, []string{"buy", job, "--units", "40", "--time", "1h", "--groups", "1,2", "--widths", "--json"}, &told, &said)
	require.Equal(t, 0, status, said.String())
	require.Less(t, time.Since(began), time.Minute)
	require.Contains(t, said.String(), "stopped early")
	var l buy.List
	require.NoError(t, json.Unmarshal(told.Bytes(), &l))
	require.True(t, l.Stopped)
	require.Equal(t, []int{4}, l.Batches)
	require.Positive(t, l.Fabrics[0].Need)
	require.Positive(t, l.Fabrics[0].Error)
	require.Empty(t, l.Groups)
}

// On the rack itself and with a store of remnants, which it leaves as it is.
func TestBuyRackAndRemnants(t *testing.T) {
	job := buyFiles(t)
	store := filepath.Join(filepath.Dir(job), "store")
	require.NoError(t, os.Mkdir(store, 0o755))
	status, _, said := command(t, "remnants", "add", store, "--fabric", "WR 600", "--size", "900x700")
	require.Equal(t, 0, status, said)
	before := names(t, store)
	var plain, l buy.List
	for _, run := range []struct {
		more []string
		into *buy.List
	}{{nil, &plain}, {[]string{"--rack", "--remnants", store}, &l}} {
		status, told, said := command(t, append([]string{"buy", job, "--units", "8", "--effort", "1", "--json"}, run.more...)...)
		require.Equal(t, 0, status, said)
		require.NoError(t, json.Unmarshal([]byte(told), run.into))
	}
	require.False(t, plain.OnRack)
	require.Positive(t, plain.Fabrics[0].RollEnds, "R-2 is drawn to its end")
	require.True(t, l.OnRack)
	require.Zero(t, l.Fabrics[0].RollEnds)
	require.Len(t, l.Remnants, 1)
	require.Positive(t, l.Remnants[0].Plies)
	require.Equal(t, before, names(t, store), "nothing is held or used")
	require.Equal(t, plain.Fabrics[0].Plies, l.Fabrics[0].Plies)
	// What is drawn and what is short make up the need.
	sum := l.Fabrics[0].Short
	for _, d := range l.Draws {
		if d.Fabric == "WR 600" {
			sum += d.Take
		}
	}
	require.InDelta(t, l.Fabrics[0].Need, sum, 1e-6)
	require.LessOrEqual(t, l.Fabrics[0].Need, plain.Fabrics[0].Need+plain.Fabrics[0].RollEnds)

	status, told, said := command(t, "buy", job, "--units", "8", "--effort", "1", "--rack", "--remnants", store)
	require.Equal(t, 0, status, said)
	for _, s := range []string{"laid on the rolls and open orders themselves", "From remnants, before any roll"} {
		require.Contains(t, told, s)
	}
	status, _, said = command(t, "buy", job, "--units", "13", "--rack")
	require.Equal(t, 2, status)
	require.Contains(t, said, "--rack lays every unit")
	status, _, said = command(t, "buy", job, "--remnants", filepath.Join(store, "no"))
	require.Equal(t, 2, status)
	require.Contains(t, said, "no folder of remnants")
}

// Rolls past their day are not drawn, whether the job, --date or today says
// which day it is.
func TestBuyLeavesExpiredRolls(t *testing.T) {
	job := buyFiles(t)
	text := read(t, job)
	refused := func(file string, more ...string) map[string]string {
		status, told, said := command(t, append([]string{"buy", file, "--units", "1", "--effort", "1", "--json"}, more...)...)
		require.Equal(t, 0, status, said)
		var l buy.List
		require.NoError(t, json.Unmarshal([]byte(told), &l))
		out := map[string]string{}
		for _, d := range l.Draws {
			if d.Refused != "" {
				out[d.Name] = d.Refused
				require.Zero(t, d.Take)
			}
		}
		return out
	}
	old := filepath.Join(filepath.Dir(job), "old.yaml")
	require.NoError(t, os.WriteFile(old, []byte(strings.Replace(text, "length: 500, received: 2026-01-01", "length: 500, received: 2026-01-01, expires: 2020-12-31", 1)), 0o644))
	require.Equal(t, map[string]string{"R-1": "expired on 2020-12-31"}, refused(old), "today")
	require.Empty(t, refused(old, "--date", "2020-12-31"))
	require.Equal(t, map[string]string{"R-1": "expires on 2020-12-31, before the day of need", "PO-1": "comes too late"}, refused(old, "--date", "2020-12-01", "--by", "2021-01-15"))
}

// What is asked for and cannot be told is said.
func TestBuySaysWhatTheJobDoesNotTell(t *testing.T) {
	o := buyFlags{widths: true, by: "2026-12-20"}
	job := &shapes.Job{Fabrics: []*shapes.Fabric{{Name: "WR 600"}}}
	said := strings.Join(o.unanswered(job), "\n")
	require.Contains(t, said, "no delivery widths stated")
	require.Contains(t, said, "no lead time stated, so no last day to order")
	job.Fabrics[0].Buying = &shapes.Buying{LeadTime: 5, Widths: []shapes.DeliveryWidth{{Width: 1270}}}
	require.Empty(t, o.unanswered(job))
}
