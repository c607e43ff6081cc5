package plan

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"plyroom/nest"
	"plyroom/nest/kit"
)

// jumble is a record of squares 100 mm wide, side by side: every unit of one
// part needs one piece of each name, and layouts list them as the words say,
// "P1 Q2" being ply P of unit 1 and so on.
func jumble(layouts ...[]string) *nest.Record {
	r := &nest.Record{}
	for i, names := range layouts {
		l := nest.Layout{ID: fmt.Sprintf("L%d", i+1), Length: 100 * float64(len(names)),
			Layers: []nest.Layer{{Layer: 1, Fabric: "F", Lot: fmt.Sprintf("lot %d", i%2)}}}
		for k, n := range names {
			unit := int(n[1] - '0')
			x := 100 * float64(k)
			l.Placed = append(l.Placed, nest.Placed{Part: "Shell", Unit: unit, Ply: n[:1], Order: int(n[0]), Copy: 1, Layer: 1, Fabric: "F",
				Outline: nest.Ring{{x, 0}, {x + 100, 0}, {x + 100, 100}, {x, 100}}})
			r.Demand = append(r.Demand, nest.Demand{Part: "Shell", Unit: unit, Ply: n[:1], Order: int(n[0]), Copy: 1, Fabric: "F", Shape: n[:1]})
		}
		r.Layouts = append(r.Layouts, l)
	}
	return r
}

func laidAs(l *nest.Layout) []string {
	var out []string
	for _, p := range l.Placed {
		out = append(out, fmt.Sprintf("%s%d", p.Ply, p.Unit))
	}
	return out
}

// Two units of P, Q and R. Unit 1 takes one end of the table and unit 2 the
// other: 200 mm each, where they took 400 and 500 before.
func TestAssignGathersKits(t *testing.T) {
	r := jumble([]string{"P1", "Q2", "R1", "P2", "Q1", "R2"})
	require.InDelta(t, 0.8, kit.WalkOf(r).Metres, 1e-12)
	assign(r)
	got := laidAs(&r.Layouts[0])
	require.Contains(t, [][]string{{"P1", "Q1", "R1", "P2", "Q2", "R2"}, {"P2", "Q2", "R2", "P1", "Q1", "R1"}}, got)
	require.InDelta(t, 0.4, kit.WalkOf(r).Metres, 1e-12)
}

// A kit on one layout is worth more than a short way: two visits in place of
// four.
func TestAssignSparesLayouts(t *testing.T) {
	r := jumble([]string{"P1", "Q2"}, []string{"P2", "Q1"})
	require.Equal(t, 4, kit.WalkOf(r).Visits)
	assign(r)
	require.Equal(t, 2, kit.WalkOf(r).Visits)
}

// Where one lot is asked for, nothing passes from lot to lot: layouts 1 and 2
// are of different lots.
func TestAssignKeepsLots(t *testing.T) {
	r := jumble([]string{"P1", "Q2"}, []string{"P2", "Q1"})
	r.Rules.OneLotPerUnit = true
	assign(r)
	require.Equal(t, []string{"P1", "Q2"}, laidAs(&r.Layouts[0]))
}

// Pieces of two layers are cut in one stack and stay together.
func TestAssignKeepsStacks(t *testing.T) {
	r := jumble([]string{"P1", "Q2", "P2", "Q1"})
	l := &r.Layouts[0]
	l.Layers = append(l.Layers, nest.Layer{Layer: 2, Fabric: "G"})
	for _, p := range slices.Clone(l.Placed) {
		p.Layer, p.Fabric, p.Ply = 2, "G", p.Ply+"'"
		l.Placed = append(l.Placed, p)
		r.Demand = append(r.Demand, nest.Demand{Part: p.Part, Unit: p.Unit, Ply: p.Ply, Copy: 1, Fabric: "G", Shape: p.Ply[:1]})
	}
	before := kit.WalkOf(r).Metres
	assign(r)
	require.Less(t, kit.WalkOf(r).Metres, before)
	for i := range 4 {
		require.Equal(t, l.Placed[i].Unit, l.Placed[i+4].Unit)
		require.Equal(t, l.Placed[i].Ply+"'", l.Placed[i+4].Ply)
	}
}

// Whatever the plan: every piece stays placed once on a place of its own kind,
// the walk never grows, and the same plan gets the same answer.
func TestAssignProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		units := rapid.IntRange(1, 6).Draw(t, "units")
		plies := rapid.IntRange(1, 6).Draw(t, "plies")
		var all []string
		for u := 1; u <= units; u++ {
			for p := range plies {
				all = append(all, fmt.Sprintf("%c%d", 'P'+p, u))
			}
		}
		all = rapid.Permutation(all).Draw(t, "order")
		cut := rapid.IntRange(0, len(all)).Draw(t, "cut")
		make := func() *nest.Record { return jumble(slices.Clone(all[:cut]), slices.Clone(all[cut:])) }
		r, again := make(), make()
		weight := func(r *nest.Record) float64 {
			w := kit.WalkOf(r)
			return float64(w.Visits)*visitWorth + w.Metres*1000
		}
		before := weight(r)
		assign(r)
		assign(again)
		require.Equal(t, r, again)
		require.LessOrEqual(t, weight(r), before+1e-6)
		var got []string
		for i := range r.Layouts {
			got = append(got, laidAs(&r.Layouts[i])...)
		}
		for i := range got {
			require.Equal(t, all[i][:1], got[i][:1], "a place keeps its shape")
		}
		slices.Sort(got)
		want := slices.Clone(all)
		slices.Sort(want)
		require.Equal(t, want, got)
	})
}
