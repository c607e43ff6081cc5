package kit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest/kit"
	"plyroom/shapes"
)

func planOf(t *testing.T, lam *shapes.Laminating) *kit.Plan {
	t.Helper()
	r := eightPlies()
	r.Laminating = lam
	kits, err := kit.Build(r)
	require.NoError(t, err)
	return kits[0].Plan
}

// Worked case 3, second half: 6 kg/h, 60 min (D).
func TestWetSets(t *testing.T) {
	p := planOf(t, &shapes.Laminating{WorkingTime: 60, PlanAt: 1, Pace: 6})
	require.Len(t, p.Sets, 2)
	assert.Equal(t, [2]int{1, 4}, [2]int{p.Sets[0].First, p.Sets[0].Last})
	assert.Equal(t, [2]int{5, 8}, [2]int{p.Sets[1].First, p.Sets[1].Last})
	assert.InDelta(t, 5.25, p.Sets[0].Mass, 1e-9)
	assert.InDelta(t, 52.5, p.Sets[0].Minutes, 1e-9)
	assert.InDelta(t, 4.95, p.Sets[1].Mass, 1e-9)
	assert.InDelta(t, 49.5, p.Sets[1].Minutes, 1e-9)

	p = planOf(t, &shapes.Laminating{WorkingTime: 60, PlanAt: 0.75, Pace: 6})
	var got [][2]int
	var mass []float64
	for _, s := range p.Sets {
		got = append(got, [2]int{s.First, s.Last})
		mass = append(mass, s.Mass)
	}
	assert.Equal(t, [][2]int{{1, 3}, {4, 6}, {7, 8}}, got)
	assert.InDeltaSlice(t, []float64{3.75, 4.20, 2.25}, mass, 1e-9)
	assert.Empty(t, p.Alone)
	assert.InDelta(t, 45, p.Window, 1e-12)
	assert.InDelta(t, 102, p.Minutes, 1e-9)
}

// The share planned where the job says nothing is the default (C).
func TestDefaultShare(t *testing.T) {
	p := planOf(t, &shapes.Laminating{WorkingTime: 60, Pace: 6})
	assert.Len(t, p.Sets, 3)
	assert.Equal(t, kit.DefaultPlanAt, p.PlanAt)
}

// A sum that meets the limit exactly fits: 1.00 + 1.50 + 1.25 = 3.75 kg in
// 37.5 min.
func TestExactFit(t *testing.T) {
	p := planOf(t, &shapes.Laminating{WorkingTime: 37.5, PlanAt: 1, Pace: 6})
	assert.Equal(t, 3, p.Sets[0].Last)
}

// 12 kg/h needs 1.50/12·60 = 7.5 min a ply where 5 min are planned: 18 kg/h,
// 10 min at 75 % of it planned, or 2 panels.
func TestPlyTooSlowAlone(t *testing.T) {
	p := planOf(t, &shapes.Laminating{WorkingTime: 5 / 0.75, PlanAt: 0.75, Pace: 12})
	var lines []int
	for _, a := range p.Alone {
		lines = append(lines, a.Line)
	}
	// 1.25 kg takes 6.25 min and 1.20 kg 6 min; only the outer plies fit (5).
	assert.Equal(t, []int{1, 2, 3, 4, 5, 6}, lines)
	a := p.Alone[0]
	assert.InDelta(t, 7.5, a.Minutes, 1e-9)
	assert.InDelta(t, 18, a.Pace, 1e-9)
	assert.InDelta(t, 10, a.WorkingTime, 1e-9)
	assert.Equal(t, 2, a.Panels)
	assert.Equal(t, []string{
		"more hands: a pace of 18.0 kg/h",
		"a slower resin: 10 min working time",
		"split the ply into 2 panels",
	}, a.Proposals())
	assert.Len(t, p.Sets, 8)
}

// Resin 6.45 kg under a limit of 2 kg: sets of 2.40, 2.70 and 1.35 kg take
// 2 + 2 + 1 mixes. With a tenth of the mix lost in pots 6.45/0.9 = 7.167 kg.
func TestMixes(t *testing.T) {
	p := planOf(t, &shapes.Laminating{WorkingTime: 60, PlanAt: 0.75, Pace: 6, MixLimit: 2})
	assert.InDelta(t, 2.40, p.Sets[0].Resin, 1e-9)
	assert.InDelta(t, 2.70, p.Sets[1].Resin, 1e-9)
	assert.InDelta(t, 1.35, p.Sets[2].Resin, 1e-9)
	assert.Equal(t, 5, p.Mixes)

	p = planOf(t, &shapes.Laminating{MixLimit: 2, Waste: 0.1})
	assert.InDelta(t, 7.1667, p.ToMix, 0.0001)
	assert.Equal(t, 4, p.Mixes)
	assert.Empty(t, p.Sets)
	assert.Zero(t, p.Minutes)
}
