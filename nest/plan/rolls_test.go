package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest/account"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// The search over orders of rolls finds what trying every order finds, with
// fewer trials. Plies are a fluid here: they fill each roll to the brim.
func TestRollOrderAgainstBruteForce(t *testing.T) {
	saved := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "rolls")
		rolls := make([]*shapes.Roll, n)
		c := &rollChoice{most: math.MaxInt, area: float64(rapid.IntRange(1, 120).Draw(t, "area")) * 1e5}
		for i := range rolls {
			rolls[i] = &shapes.Roll{Length: float64(rapid.IntRange(4, 40).Draw(t, "length")) * 100,
				Width: rapid.SampledFrom([]float64{1000, 1300}).Draw(t, "width")}
			w := rolls[i].Width
			c.opens = append(c.opens, 40*w+2e4)
			c.full = append(c.full, w/(w-30))
			c.holds = append(c.holds, (rolls[i].Length-40)*(w-30))
		}
		c.rolls = rolls
		c.lay = func(order []int) (float64, bool, error) {
			left, cost := c.area, 0.0
			for _, i := range order {
				r := rolls[i]
				need := left/(r.Width-30) + 40
				cost += 2e4
				if need <= r.Length {
					if r.Length-need < 500 {
						need = r.Length
					}
					return cost + need*r.Width, true, nil
				}
				cost += r.Length * r.Width
				left -= (r.Length - 40) * (r.Width - 30)
			}
			return cost, false, nil
		}
		require.NoError(t, c.search(nil))
		want, tried := math.Inf(1), 0
		var every func(order []int)
		every = func(order []int) {
			if len(order) > 0 {
				tried++
				cost, complete, _ := c.lay(order)
				if complete {
					want = math.Min(want, cost)
					return
				}
			}
			for i := range n {
				used := false
				for _, o := range order {
					used = used || o == i
				}
				if !used {
					every(append(append([]int(nil), order...), i))
				}
			}
		}
		every(nil)
		if math.IsInf(want, 1) {
			require.Nil(t, c.best)
			return
		}
		require.InDelta(t, want, c.cost, 1)
		require.True(t, c.exact())
		require.LessOrEqual(t, c.bound(c.best, 0), c.cost+1)
		require.LessOrEqual(t, c.trials, tried)
		saved += tried - c.trials
	})
	require.Positive(t, saved)
}

// The listed order would open the short roll first and lose its end.
func TestRollOrderIsChosen(t *testing.T) {
	f := roving()
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 1500}, {Name: "R-2", Length: 9000}}
	rec := lay(t, small(f, &shapes.Ply{Name: "A", Outline: rectangle("PANEL", 1000, 590), Count: 6}))
	require.Len(t, rec.Layouts, 1)
	require.Equal(t, "R-2", rec.Layouts[0].Layers[0].Roll)
}

// A flaw near the free end of a roll leaves too little on the first length of
// the table for any ply: the layout begins behind the flaw, and what is passed
// over is in the books. Roll 1270 wide, table 600 long, flaw from 200 to 260,
// ply 500 × 400, ends 20: 540 mm are laid from 260 on; 200 mm are passed over
// as too short to use and 60 as a flaw.
func TestPassedOver(t *testing.T) {
	wr := roving()
	wr.Rolls = []shapes.Roll{{Name: "R1", Length: 3000, Flaws: []shapes.Span{{From: 200, To: 260}}}}
	job := small(wr, &shapes.Ply{Name: "U01", Outline: rectangle("P", 500, 400)})
	job.Cutting.Table = &shapes.Table{Length: 600, Width: 1600, Kind: shapes.StaticTable}
	rec := lay(t, job)
	require.Len(t, rec.Layouts, 1)
	l := rec.Layouts[0]
	require.InDelta(t, 260, l.Layers[0].RollFrom, 1e-6)
	require.InDelta(t, 260, l.Layers[0].Skipped, 1e-6)
	require.Empty(t, l.Flaws)
	led, err := account.Measure(rec)
	require.NoError(t, err)
	b := led.Total.Books
	require.InDelta(t, 0, b.Imbalance(), 1)
	require.InDelta(t, 800*1270, b.Drawn, 1)
	require.InDelta(t, 60*1270, b.Flaws, 1)
	require.InDelta(t, 200*1270, b.RollEnd, 1)
	require.InDelta(t, 800, led.Total.Length, 1e-6)

	for _, passed := range []float64{0, 200, 261, -1} {
		rec.Layouts[0].Layers[0].Skipped = passed
		found := verify.Check(rec)
		require.NotEmpty(t, found, passed)
		require.Equal(t, verify.RuleInside, found[0].Rule)
		require.Contains(t, found[0].Message, "of roll R1; 260 mm lie before it")
	}
}
