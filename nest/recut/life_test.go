package recut

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// A roll that has expired, or that was out too long, is passed over and named;
// so are remnants of prepreg.
func TestNoPlyFromAnExpiredRoll(t *testing.T) {
	rec := run(t, func(j *shapes.Job) {
		j.Date = "2026-11-20"
		j.Fabrics[0].OutLife = 6000
		j.Fabrics[0].Rolls[0].Expires = "2026-11-25"
		j.Cutting.KeepTogether = []string{"P/Q"}
	})
	key := rec.Demand[0].Key()
	pieces := []remnant.Remnant{{ID: "RM-ABCDEFGH", Fabric: "F", Face: remnant.FaceUp, Outline: remnant.Rectangle(900, 1000)}}
	find := func(day shapes.Date) (string, error) {
		e, err := Find(context.Background(), rec, key, Stock{Day: day, Remnants: pieces}, search)
		if err != nil {
			return "", err
		}
		return e.Cut.Roll, nil
	}
	for day, want := range map[shapes.Date]string{"": "R-1", "2026-11-25": "R-1", "2026-11-26": "R-2"} {
		roll, err := find(day)
		require.NoError(t, err)
		require.Equal(t, want, roll, "on %s", day)
	}
	rec.Fabrics[0].Rolls[1].OutUsed = 6000
	_, err := find("2026-11-26")
	require.ErrorContains(t, err, "roll R-1: it expired on 2026-11-25")
	require.ErrorContains(t, err, "roll R-2: its out-life of 100.0 h is used up")
	rec.Rules.UseExpired = true
	roll, err := find("2026-11-26")
	require.NoError(t, err)
	require.Equal(t, "R-1", roll)
}
