package kitlist_test

import (
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/kitlist"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// rows reads a kit list back, by column key.
func rows(t *testing.T, k *kit.Kit) []map[string]string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, kitlist.WriteCSV(&b, k))
	all, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, r := range all[1:] {
		m := map[string]string{}
		for i, key := range all[0] {
			m[key] = r[i]
		}
		out = append(out, m)
	}
	return out
}

func kits(t *testing.T, opt sample.Options) []kit.Kit {
	t.Helper()
	ks, err := kit.Build(sample.Record(opt))
	require.NoError(t, err)
	return ks
}

func TestCSVLines(t *testing.T) {
	for _, k := range kits(t, sample.Options{}) {
		got := rows(t, &k)
		require.Len(t, got, len(k.Lines)+1)
		var fibre, resin, net float64
		for i, l := range k.Lines {
			r := got[i]
			assert.Equal(t, strconv.Itoa(l.Demand.Order), r["order"])
			assert.Equal(t, l.Demand.Ply, r["ply"])
			assert.Equal(t, l.Place.Layout, r["layout"])
			assert.Equal(t, strconv.Itoa(l.Place.Position), r["position"])
			assert.Equal(t, l.Place.Lot, r["lot"])
			assert.Equal(t, l.Face(), r["face"])
			assert.Equal(t, l.Hand(), r["hand"])
			assert.Equal(t, "placed", r["status"])
			if l.Directionless() {
				assert.Equal(t, "any", r["direction_deg"])
				assert.Empty(t, r["laid_deg"])
			} else {
				assert.InDelta(t, l.AskedDeg, number(t, r["direction_deg"]), 0.005)
				assert.InDelta(t, l.LaidDeg(), number(t, r["laid_deg"]), 0.005)
			}
			fibre += number(t, r["fibre_kg"])
			resin += number(t, r["resin_kg"])
			net += number(t, r["net_area_m2"])
		}
		total := got[len(got)-1]
		assert.Equal(t, "total", total["order"])
		assert.InDelta(t, fibre, number(t, total["fibre_kg"]), 1e-4)
		assert.InDelta(t, resin, number(t, total["resin_kg"]), 1e-4)
		assert.InDelta(t, net, number(t, total["net_area_m2"]), 1e-4)
	}
}

// Off the table a bag has the number and the name it has in the kit lists.
func TestOffTableNamesBags(t *testing.T) {
	ks := kits(t, sample.Options{Units: 1})
	var b strings.Builder
	require.NoError(t, kitlist.OffTable(ks).WriteCSV(&b))
	all, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	require.NoError(t, err)
	bag, order := slices.Index(all[0], "bag"), slices.Index(all[0], "order")
	require.Equal(t, "bag_name", all[0][bag+1])
	for _, r := range all[1:] {
		want := []string{"2", ""}
		if r[order] == "1" {
			want = []string{"1", "T1"}
		}
		assert.Equal(t, want, r[bag:bag+2])
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

func itoa(v int) string { return strconv.Itoa(v) }

func TestCSVPanels(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	rec.Demand[1].Panel = &nest.Panel{Ply: "U02", Number: 2, Of: 3, Joint: shapes.JointLap, Overlap: 50}
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	got := rows(t, &ks[0])
	assert.Equal(t, []string{"2", "3", "lap", "50.0"}, []string{got[1]["panel"], got[1]["panels"], got[1]["joint"], got[1]["overlap_mm"]})
	assert.Equal(t, "", got[0]["panel"])
}

// Film shows no fibre, not 0; a ply that is not placed is short.
func TestCSVBlanks(t *testing.T) {
	rec := sample.Record(sample.Options{Units: 1})
	f := rec.Fabric("CSM 450")
	f.Construction, f.ArealMass, f.GlassContent = shapes.Film, 0, 0
	rec.Layouts[0].Placed = rec.Layouts[0].Placed[1:]
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	short := 0
	for _, k := range ks {
		for _, r := range rows(t, &k) {
			if r["fabric"] == "CSM 450" {
				for _, key := range []string{"fibre_kg", "resin_kg", "laminate_kg", "thickness_mm"} {
					assert.Equal(t, "", r[key], key)
				}
				assert.NotEqual(t, "", r["net_area_m2"])
			}
			if r["status"] == "SHORT" {
				short++
				assert.Equal(t, "", r["layout"])
				assert.Equal(t, "", r["position"])
				assert.Equal(t, "", r["face"])
			}
		}
	}
	assert.Equal(t, 1, short)
}

func TestCSVHostileNames(t *testing.T) {
	for _, k := range kits(t, sample.Options{Units: 1, Name: func(s string) string { return "=cmd|'" + s + "\n\"x\"" }}) {
		for _, r := range rows(t, &k) {
			for key, v := range r {
				assert.False(t, strings.HasPrefix(v, "="), "%s: %q", key, v)
			}
			assert.True(t, strings.HasPrefix(r["job"], "'=cmd|'Hub fairing"), r["job"])
		}
	}
}
