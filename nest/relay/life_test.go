package relay

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/remnant"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// A layout that was cut in time stays cut, though its roll has expired since;
// where nobody knows when it was cut, that is said.
func TestCutBeforeItExpired(t *testing.T) {
	job := sixJob()
	job.Date = "2026-11-20"
	job.Fabrics[0].Rolls[0].Expires = "2026-11-25"
	rec := lay(t, job)
	first := wovenLayout(t, rec)

	later := sixJob()
	later.Date = "2026-12-01"
	later.Fabrics[0].Rolls = []shapes.Roll{{Name: "R-2", Lot: "B", Length: 8000, Expires: "2027-06-01"}}
	got, err := Again(context.Background(), rec, []nest.Layout{first}, later, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(got))
	require.Equal(t, shapes.Date("2026-11-20"), got.Layouts[0].CutOn)
	require.Equal(t, "R-1", got.Layouts[0].Layers[0].Roll)
	for _, l := range got.Layouts[1:] {
		require.Empty(t, l.CutOn)
		require.NotEqual(t, "R-1", l.Layers[0].Roll)
	}

	rec.Date = ""
	_, err = Again(context.Background(), rec, []nest.Layout{first}, later, settings, nil)
	require.ErrorContains(t, err, `cut from roll "R-1", which expired on 2026-11-25`)
	later.Cutting.UseExpired = true
	_, err = Again(context.Background(), rec, []nest.Layout{first}, later, settings, nil)
	require.NoError(t, err)
}

// Kits kept together stay together in what is laid again, on rolls and on
// remnants; the rule may not change half way.
func TestTogetherAgain(t *testing.T) {
	job := sixJob()
	job.Cutting.KeepTogether = []string{"P"}
	rec := lay(t, job)
	require.NotNil(t, rec.Together)
	got, err := Again(context.Background(), rec, []nest.Layout{wovenLayout(t, rec)}, job, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(got))
	require.Equal(t, []string{"P"}, got.Rules.KeepTogether)
	require.Nil(t, got.Together)

	changed := sixJob()
	_, err = Again(context.Background(), rec, []nest.Layout{wovenLayout(t, rec)}, changed, settings, nil)
	require.ErrorContains(t, err, "cutting.keep_together names no part in the job and named P")

	piece := remnant.Remnant{ID: "REM-1", Fabric: "WR", Lot: "A", Face: remnant.FaceUp, Outline: nest.Ring{{0, 0}, {2000, 0}, {2000, 1000}, {0, 1000}}}
	got, err = OnRemnants(context.Background(), job, []remnant.Remnant{piece}, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(got))
	kits := map[int]bool{}
	for _, p := range got.Layouts[0].Placed {
		kits[p.Unit] = true
	}
	require.Equal(t, "REM-1", got.Layouts[0].Layers[0].Roll)
	require.Len(t, kits, 1)
}

// A remnant of prepreg does not tell how long it was out of the freezer.
func TestNoRemnantsOfPrepreg(t *testing.T) {
	job := sixJob()
	piece := remnant.Remnant{ID: "REM-1", Fabric: "WR", Face: remnant.FaceUp, Outline: nest.Ring{{0, 0}, {900, 0}, {900, 1000}, {0, 1000}}}
	require.Len(t, Usable(job, []remnant.Remnant{piece}), 1)
	job.Fabrics[0].OutLife = 6000
	require.Empty(t, Usable(job, []remnant.Remnant{piece}))
}
