package study

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/shapes"
)

func mustAxis(t *testing.T, text string) Axis {
	t.Helper()
	a, err := ParseAxis(text)
	require.NoError(t, err)
	return a
}

func TestParseAxis(t *testing.T) {
	require.Equal(t, Axis{"width", "WR 600", []string{"1000", "1270", "+50"}}, mustAxis(t, "width=WR 600:1000, 1270.0,+50,1000"))
	require.Equal(t, Axis{"gap", "", []string{"0", "2.5", "5", "job"}}, mustAxis(t, "gap=0..5/2.5,job"))
	require.Equal(t, Axis{"turning", "", []string{"allowed", "forbidden"}}, mustAxis(t, "turning=allowed,forbidden"))
	for text, says := range map[string]string{
		"gap":                  "want NAME=VALUE",
		"gap=":                 "want NAME=VALUE",
		"gapp=1":               `nothing called "gapp"`,
		"gap=-1":               "no figure",
		"gap=NaN":              "no figure",
		"gap=1e9":              "no figure",
		"gap=WR:1":             "whole job",
		"units=1.5":            "no figure",
		"units=0":              "no figure",
		"turning=sometimes":    "allowed, forbidden",
		"turning=1..2/1":       "no word",
		"gap=5..0/1":           "no row",
		"gap=0..1e9/0.0000001": "no row",
		"width=+-5":            "no figure",
	} {
		_, err := ParseAxis(text)
		require.ErrorContains(t, err, says, text)
	}
}

func TestSettings(t *testing.T) {
	make := func(s Setting) *shapes.Job {
		j := clone(sampleJob())
		require.NoError(t, s.apply(j))
		return j
	}
	j := make(Setting{"width", "WR 600", "+200"})
	require.Equal(t, 1200.0, j.Fabrics[0].Width)
	require.InDelta(t, 3.6, j.Fabrics[0].Price.Amount, 1e-12) // 3 a metre of 1 m, so 3.60 of 1.2 m
	require.Equal(t, 2.0, make(Setting{"width", "", "2000"}).Fabrics[1].Price.Amount)

	// Units 2 and 4 are two sets of 1 and 2.
	require.Equal(t, 2, Sets(sampleJob()))
	j = make(Setting{"units", "", "3"})
	require.Equal(t, 3, j.Parts[0].Units)
	require.Equal(t, 6, j.Parts[1].Units)
	require.Equal(t, 3, Sets(j))

	// One ply may spend 5°, the others no more than the 1° they could.
	j = make(Setting{"tolerance", "Shell/S2", "5"})
	require.Equal(t, 5.0, j.Cutting.AngleTolerance)
	require.Equal(t, []float64{1, 5, 1}, []float64{j.Parts[0].Plies[0].Tolerance, j.Parts[0].Plies[1].Tolerance, j.Parts[0].Plies[2].Tolerance})

	// Kits of all parts, or of one; what is left of the job keeps no part that
	// is gone.
	require.Equal(t, []string{"Shell", "Lid"}, make(Setting{"keep_together", "", "yes"}).Cutting.KeepTogether)
	j = make(Setting{"keep_together", "Lid", "yes"})
	require.Equal(t, []string{"Lid"}, j.Cutting.KeepTogether)
	require.Equal(t, []string{"Lid"}, Only(j, "CSM 450").Cutting.KeepTogether)
	require.Empty(t, Only(j, "WR 600").Cutting.KeepTogether)
	require.NoError(t, Setting{"keep_together", "Lid", "no"}.apply(j))
	require.Empty(t, j.Cutting.KeepTogether)

	require.Equal(t, shapes.SameFaces, make(Setting{"turning", "WR 600", "allowed"}).Fabrics[0].Faces)
	require.True(t, make(Setting{"splits", "Shell/S1", "allowed"}).Parts[0].Plies[0].Split.Allowed)
	for _, s := range []Setting{{"width", "no", "1"}, {"tolerance", "no", "1"}, {"units", "no", "1"}, {"keep_together", "no", "yes"}, {"selvedge", "WR 600", "500"}} {
		require.Error(t, s.apply(clone(sampleJob())), s)
	}
	// The job itself is as it was.
	require.Equal(t, 1000.0, sampleJob().Fabrics[0].Width)
}

func TestRules(t *testing.T) {
	words := func(kind string) (out []string) {
		for _, r := range Rules(sampleJob(), []string{kind}) {
			out = append(out, r.Words)
		}
		return out
	}
	require.Equal(t, []string{"Shell, ply S1: tolerance 5°", "Shell, ply S2: tolerance 5°"}, words("ply_tolerance"))
	require.Equal(t, []string{"all plies of WR 600: tolerance 5°"}, words("tolerance"))
	require.Equal(t, []string{"WR 600 50 mm wider", "CSM 450 50 mm wider"}, words("width"))
	require.Equal(t, []string{"WR 600 used to its edges"}, words("selvedge"))
	require.Equal(t, []string{"plies of WR 600 may be turned over"}, words("turning"))
	require.Equal(t, []string{"no gap between plies"}, words("gap"))
	require.Equal(t, []string{"no end allowance"}, words("end_allowance"))
	require.Equal(t, []string{"Shell, ply S1 may be divided"}, words("splits"))
	require.Empty(t, words("keep_together"))
	j := sampleJob()
	j.Cutting.KeepTogether = []string{"Lid"}
	require.Equal(t, "kits need not be kept together", Rules(j, []string{"keep_together"})[0].Words)
	// A ply that is too wide is divided whatever it says, and one that may be
	// already has nothing to relax.
	j.Parts[0].Plies[0].Split = &shapes.Split{Joint: shapes.JointLap, Overlap: 50}
	require.Len(t, Rules(j, []string{"splits"}), 1)
	j.Parts[0].Plies[0].Split.Allowed = true
	require.Empty(t, Rules(j, []string{"splits"}))
	j.Parts[0].Plies[0].Split.Allowed, j.Fabrics[0].Width = false, 500
	require.Empty(t, Rules(j, []string{"splits"}))
	kinds, err := ParseRelax("all")
	require.NoError(t, err)
	require.Equal(t, Relaxable, kinds)
	_, err = ParseRelax("gap,colour")
	require.ErrorContains(t, err, "colour")
}

// What would be laid twice is laid once: a width of one fabric leaves the
// other's nests alone, and the job's own value is the job.
func TestNestsAreShared(t *testing.T) {
	p, err := NewPlan(sampleJob(), Spec{Effort: 1, Seed: 1, Seeds: 1, Relax: []string{"width"},
		Axes: []Axis{mustAxis(t, "width=WR 600:1000,1200")}})
	require.NoError(t, err)
	require.Len(t, p.Cases, 2+1+2)
	// WR at 1000, 1200, 1050; CSM at 1270, 1320.
	require.Len(t, p.Nests, 5)

	j := sampleJob()
	j.Cutting.Layers, j.Cutting.Spreads = 2, [][]string{{"CSM 450", "WR 600"}}
	require.Equal(t, [][]string{{"WR 600", "CSM 450"}}, groups(j), "what may be spread together is laid together")
	require.Equal(t, j.Cutting.Spreads, Only(j, "WR 600", "CSM 450").Cutting.Spreads)
	require.Empty(t, Only(j, "WR 600").Cutting.Spreads, "no spread names a fabric that is gone")
	j.Cutting.SpreadPolicy = shapes.SpreadNone
	require.Len(t, groups(j), 2)
}

func TestPlanRefuses(t *testing.T) {
	for says, spec := range map[string]Spec{
		"nothing is varied": {Effort: 1, Seeds: 1},
		"effort":            {Seeds: 1, Relax: Relaxable},
		"seeds":             {Effort: 1, Relax: Relaxable},
		"varied twice":      {Effort: 1, Seeds: 1, Axes: []Axis{mustAxis(t, "gap=0"), mustAxis(t, "gap=1")}},
		`no fabric "WR"`:    {Effort: 1, Seeds: 1, Axes: []Axis{mustAxis(t, "width=WR:job")}},
		`no part "Hull"`:    {Effort: 1, Seeds: 1, Axes: []Axis{mustAxis(t, "units=Hull:2")}},
	} {
		_, err := NewPlan(sampleJob(), spec)
		require.ErrorContains(t, err, says)
	}
}

// Where the plies do not fit is a result, not an end.
func TestImpossibleIsAResult(t *testing.T) {
	p, err := NewPlan(sampleJob(), Spec{Effort: 1, Seed: 1, Seeds: 2, Axes: []Axis{mustAxis(t, "width=WR 600:15,500,1000")}})
	require.NoError(t, err)
	s, err := Open(t.TempDir(), p, false)
	require.NoError(t, err)
	require.NoError(t, s.Run(t.Context(), Choice{}, (&pretend{}).lay, nil))
	results, err := s.Read()
	require.NoError(t, err)
	tb := p.Merge(results)
	require.Contains(t, tb.Rows[0].Cannot, "leave nothing")
	require.Contains(t, tb.Rows[1].Cannot, "Shell, ply S1 is too wide")
	require.True(t, tb.Rows[2].Best)
}

// Figures by hand. Two sets are Shell twice and Lid four times: WR has two of
// 900 and four of 200 mm, six gaps of 3 (the last one too) and two ends of 20,
// 2658 mm before what the seed adds.
func TestMergeByHand(t *testing.T) {
	p, err := NewPlan(sampleJob(), Spec{Effort: 1, Seed: 1, Seeds: 2, Axes: []Axis{mustAxis(t, "gap=job")}})
	require.NoError(t, err)
	s, err := Open(t.TempDir(), p, false)
	require.NoError(t, err)
	require.NoError(t, s.Run(t.Context(), Choice{}, (&pretend{}).lay, nil))
	results, err := s.Read()
	require.NoError(t, err)
	r := p.Merge(results).Rows[0]
	wr := r.Fabrics[0]
	for _, v := range []float64{wr.Metres.Least, wr.Metres.Most} {
		require.GreaterOrEqual(t, v, 2.658/2)
		require.Less(t, v, 2.698/2)
	}
	require.InDelta(t, wr.Metres.Mean*3, wr.Cost.Mean, 1e-9)            // 3 a metre
	require.InDelta(t, wr.Metres.Mean*1.0, wr.Area.Mean, 1e-9)          // 1 m wide
	require.InDelta(t, (0.54+2*0.03)/wr.Area.Mean, wr.Yield.Mean, 1e-3) // net per set
	require.InDelta(t, r.Total.Metres.Mean, wr.Metres.Mean+r.Fabrics[1].Metres.Mean, 1e-9)
}

func TestStoreRefusesOthers(t *testing.T) {
	dir := t.TempDir()
	spec := Spec{Effort: 1, Seed: 1, Seeds: 1, Axes: []Axis{mustAxis(t, "gap=0,3")}}
	p, err := NewPlan(sampleJob(), spec)
	require.NoError(t, err)
	s, err := Open(dir, p, false)
	require.NoError(t, err)
	require.NoError(t, s.Run(t.Context(), Choice{}, (&pretend{}).lay, nil))

	other := func(change func(*shapes.Job)) error {
		j := sampleJob()
		change(j)
		q, err := NewPlan(j, spec)
		require.NoError(t, err)
		_, err = Open(dir, q, true)
		return err
	}
	var no *OtherStudy
	require.ErrorAs(t, other(func(j *shapes.Job) { j.Revision = "B" }), &no)
	require.ErrorContains(t, no, "Cover, revision A")
	require.ErrorAs(t, other(func(j *shapes.Job) { j.Parts[0].Plies[0].Outline = rectangle("SKIN", 901, 600) }), &no)
	require.ErrorContains(t, no, "has changed since")
	require.NoError(t, other(func(j *shapes.Job) { j.Fabrics[0].Rolls = nil }), "stock has no part in it")

	// Another grid takes the place of the first only where asked, and keeps
	// what both have.
	spec.Axes = []Axis{mustAxis(t, "gap=3,5")}
	q, err := NewPlan(sampleJob(), spec)
	require.NoError(t, err)
	_, err = Open(dir, q, false)
	require.ErrorContains(t, err, "other axes or values")
	s, err = Open(dir, q, true)
	require.NoError(t, err)
	l := &pretend{}
	require.NoError(t, s.Run(t.Context(), Choice{}, l.lay, nil))
	require.Equal(t, 2, l.calls, "two fabrics at a gap of 5")

	// A result of another job under this one's name, a damaged one, and a
	// folder that is something else.
	there, err := ReadSpec(dir)
	require.NoError(t, err)
	require.Equal(t, q.Spec, *there)
	path := filepath.Join(dir, nestsName, q.Nests[0].ID+ending)
	good, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, good[:len(good)/2], 0o644))
	_, err = s.Read()
	require.ErrorContains(t, err, "damaged")
	o, err := (&Store{dir: dir, plan: q}).Get(q.Nests[1].ID)
	require.NoError(t, err)
	o.Study = "0"
	o.ID = q.Nests[0].ID
	require.NoError(t, s.Put(o))
	_, err = s.Read()
	require.ErrorContains(t, err, "another job or revision")
	photos := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(photos, "a.jpg"), nil, 0o644))
	_, err = Open(photos, q, true)
	require.ErrorContains(t, err, "left alone")
}
