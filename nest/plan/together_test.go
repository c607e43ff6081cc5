package plan

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// halves is a job of kits of one panel of 600 × 900 and two strips of 600 × 310
// each. On 1240 usable one strip has room beside a panel: 900 + 3 + 310 = 1213.
func halves(units int) *shapes.Job {
	j := small(roving(), &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 600, 900)},
		&shapes.Ply{Name: "B", Outline: rectangle("STRIP", 600, 310), Count: 2})
	j.Parts[0].Units = units
	return j
}

// Two units laid together: panels with a strip beside each take 600 + 3 + 600,
// and the two strips left stand one above the other: 3 · 600 + 2 · 3 + 2 · 20 =
// 1846 mm. Kept together each unit takes the panel with one strip, and behind it
// the other strip: 2 · 600 + 3; two of them with a gap between, and two ends: 2 ·
// 1203 + 3 + 40 = 2449 mm, in one layout. Worked by hand.
func TestTogetherByHand(t *testing.T) {
	j := halves(2)
	rec := lay(t, j)
	require.Len(t, rec.Layouts, 1)
	require.InDelta(t, 1846, rec.Layouts[0].Length, 1e-3)
	require.Nil(t, rec.Together)

	j.Cutting.KeepTogether = []string{"Upper shell"}
	rec = lay(t, j)
	require.Len(t, rec.Layouts, 1)
	require.InDelta(t, 2449, rec.Layouts[0].Length, 1e-3)
	require.LessOrEqual(t, rec.Layouts[0].BoundLength, 1846.0, "the bound speaks of the plies, not of the rule")
	require.Greater(t, rec.Layouts[0].BoundLength, 1500.0)
	require.InDelta(t, 2449, rec.Together.Kept.Length, 1e-3)
	require.InDelta(t, 1846, rec.Together.Free.Length, 1e-3)
	require.Equal(t, 1, rec.Together.Kept.Layouts)
	require.Equal(t, 2, rec.Together.Kept.Visits)

	// A table of 1300 holds one kit (1243) and not two: a layout each.
	j.Cutting.Table = &shapes.Table{Length: 1300, Width: 1600, Kind: shapes.StaticTable}
	rec = lay(t, j)
	require.Len(t, rec.Layouts, 2)
	require.InDelta(t, 1243, rec.Layouts[1].Length, 1e-3)

	s := Settings{Effort: 5, Seed: 1, Unweighed: true}
	rec, err := Lay(context.Background(), j, s, nil)
	require.NoError(t, err)
	require.Nil(t, rec.Together)
}

// Kept together on rolls that end and have flaws, in spreads, with lots, and in
// part: whatever comes out keeps every rule, each kit's stretch is its own, and
// the books of the joined layouts balance.
func TestTogetherHoldsOnAnyStock(t *testing.T) {
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 7))
		wr, mat := roving(), &shapes.Fabric{Name: "CSM 450", Construction: shapes.Mat, Faces: shapes.SameFaces, ArealMass: 450,
			GlassContent: 0.3, FibreDensity: 2.56, Width: 1270, Selvedge: 15}
		for i := range 1 + rng.IntN(3) {
			r := shapes.Roll{Name: fmt.Sprintf("R%d", i), Lot: string(rune('A' + i)), Length: 5000 + 9000*rng.Float64()}
			if rng.IntN(2) == 0 {
				r.Flaws = []shapes.Span{{From: 900, To: 950 + 300*rng.Float64()}}
			}
			wr.Rolls = append(wr.Rolls, r)
		}
		j := small(wr)
		j.Fabrics = append(j.Fabrics, mat)
		j.Parts = nil
		for p := range 3 {
			part := &shapes.Part{Name: fmt.Sprintf("Part %d", p), Units: 1 + rng.IntN(2)}
			for k := range 2 + rng.IntN(3) {
				o := rectangle(fmt.Sprintf("O%d%d", p, k), 200+600*rng.Float64(), 150+500*rng.Float64())
				part.Plies = append(part.Plies, &shapes.Ply{Order: 2*k + 1, Name: fmt.Sprintf("W%d", k), Outline: o, Fabric: wr, Count: 1 + rng.IntN(2)},
					&shapes.Ply{Order: 2*k + 2, Name: fmt.Sprintf("M%d", k), Outline: o, Fabric: mat, Count: 1})
			}
			j.Parts = append(j.Parts, part)
		}
		j.Cutting.Layers = 2
		j.Cutting.Spreads = [][]string{{"WR 600", "CSM 450"}}
		if rng.IntN(2) == 0 {
			j.Cutting.Table = &shapes.Table{Length: 2000 + 2000*rng.Float64(), Width: 1600, Kind: shapes.StaticTable}
		}
		j.Cutting.KeepTogether = []string{"Part 0", "Part 1"}
		if rng.IntN(2) == 0 {
			j.Cutting.KeepTogether = append(j.Cutting.KeepTogether, "Part 2")
		}
		rec, err := Lay(context.Background(), j, Settings{Effort: 2, Seed: seed, AllowShort: true}, nil)
		require.NoError(t, err, "seed %d", seed)
		require.Empty(t, verify.Check(rec), "seed %d", seed)
		led, err := account.Measure(rec)
		require.NoError(t, err)
		for _, l := range led.Layers {
			require.InDelta(t, 0, l.Books.Imbalance(), 1, "seed %d, %s", seed, l.Layout.ID)
		}
		if len(rec.Short) == 0 {
			require.NotNil(t, rec.Together, "seed %d", seed)
			require.Equal(t, meetings(rec), rec.Together.Kept.Visits, "seed %d", seed)
		}
	}
}

// meetings counts layouts by kit, told apart from nest/kit.
func meetings(rec *nest.Record) int {
	n := 0
	for _, l := range rec.Layouts {
		kits := map[string]bool{}
		for _, p := range l.Placed {
			kits[fmt.Sprint(p.Part, p.Unit)] = true
		}
		n += len(kits)
	}
	return n
}

// 2 m hold the two kits of TestTogetherByHand mixed (1846) and not apart (2449):
// the message says what is to blame.
func TestTogetherIsToldWhereStockRunsShort(t *testing.T) {
	j := halves(2)
	j.Fabrics[0].Rolls = []shapes.Roll{{Name: "R-1", Length: 2000}}
	lay(t, j)
	j.Cutting.KeepTogether = []string{"Upper shell"}
	_, err := Lay(context.Background(), j, Settings{Effort: 5, Seed: 1}, nil)
	var no *CannotLay
	require.ErrorAs(t, err, &no)
	require.ErrorContains(t, err, "without cutting.keep_together the job may find room")
}
