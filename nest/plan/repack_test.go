package plan

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
)

// twoSizes is a work of eight plies 700 x 600 and eight 270 x 600 on a static
// table of 1020, on which the large ones were laid first, two to a table, then
// the small ones, six to a table.
func twoSizes(t *testing.T, rolls ...shapes.Roll) *work {
	f := roving()
	f.Balanced, f.Rolls = false, rolls
	j := small(f, &shapes.Ply{Name: "L", Count: 8, Outline: rectangle("L", 700, 600)},
		&shapes.Ply{Name: "S", Count: 8, Outline: rectangle("S", 270, 600)})
	j.Cutting.Table = &shapes.Table{Length: 1020, Width: 1600, Kind: shapes.StaticTable}
	p := newPlanner(j, Settings{Effort: 1, Seed: 1}, nil)
	pieces, table, problems := demand.Expand(j, func(f *shapes.Fabric) demand.Room { return p.fullRoom(f).room() })
	require.Empty(t, problems)
	p.setDemand(pieces, table)
	one := p.singles(p.all())[0]
	w := p.newWork(one.Stack, one.either, p.stock.clone())
	require.Len(t, w.stack.Kinds, 2)
	w.best = &pack.Result{}
	for k := range w.stack.Kinds {
		long, from := 700.0, 0
		if s := w.shapes[w.stack.Kinds[k].Shape]; boundOf(s.Cut.Outline)[0] < 500 {
			long, from = 270, 4
		}
		for c := range 8 {
			table, x := from+c/2, 0.0
			if from > 0 {
				table, x = from+c/6, float64(c%6/2)*273
			}
			x += w.strip.stretches[table].x
			w.best.Placements = append(w.best.Placements, pack.Placement{Piece: k, Copy: c, X: x, Y: float64(c%2) * 603})
			w.best.Length = x + long
		}
	}
	return w
}

// Optimum worked by hand: 700 + 3 + 270 = 973 go on a table of 980, two rows
// side by side, so 16 plies take four tables of 973 + 2·20.
func TestRepackFillsTables(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	w := twoSizes(t)
	require.True(t, w.repacks())
	require.InDelta(t, 4*740+(816+40)+(270+40), w.total(w.byStretch()), 1e-6)
	last := 1e9
	for seed := range uint64(6) {
		w.repack(context.Background(), pack.Settings{Effort: 40, Seed: seed}, func(drawn float64) {
			require.Less(t, drawn, last)
			last = drawn
		})
	}
	require.InDelta(t, 4*1013, w.total(w.byStretch()), 1e-6)
	require.InDelta(t, 4*1013, last, 1e-6, "what is told is what is drawn")
	require.Len(t, w.byStretch(), 4)
	copies := map[[2]int]int{}
	for _, c := range w.best.Placements {
		copies[[2]int{c.Piece, 0}]++
	}
	require.Equal(t, map[[2]int]int{{0, 0}: 8, {1, 0}: 8}, copies)
}

// TestRepackKeepsToRolls: no ply goes to another roll while something else is to be
// cut from them.
func TestRepackKeepsToRolls(t *testing.T) {
	w := twoSizes(t, shapes.Roll{Name: "R-1", Length: 4080}, shapes.Roll{Name: "R-2", Length: 4080})
	before := w.byStretch()
	w.repack(context.Background(), pack.Settings{Effort: 40, Seed: 1}, func(float64) {})
	for _, u := range w.byStretch() {
		for _, c := range u.cuts {
			large := u.of < 4
			require.Equal(t, large, w.box(c).Max[0]-w.box(c).Min[0] > 500, "stretch %d", u.of)
		}
	}
	require.InDelta(t, w.total(before), w.total(w.byStretch()), 1e-6, "there is nothing to gain on either")
}

// Plies change rolls where that draws less and nothing else is cut from them, and ends too short to keep count as
// drawn. By hand: two rolls of four tables each; R-1 draws 4·740 and has 1120 left, R-2
// 856 + 310 and has 2914 left. All fits four tables of 1013, on R-1.
func TestRepackAcrossRolls(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	w := twoSizes(t, shapes.Roll{Name: "R-1", Length: 4080}, shapes.Roll{Name: "R-2", Length: 4080})
	w.last = true
	width := w.strip.stretches[0].drawn
	cost := func() float64 { return w.cost(w.byStretch()) / width }
	for least, want := range map[float64]float64{0: 4126, 1120: 4126, 1121: 4126 + 1120, 2914: 4126 + 1120, 2915: 4126 + 1120 + 2914} {
		w.rules.MinRemnant = least
		require.InDelta(t, want, cost(), 1e-6, "%v", least)
	}
	w.rules.MinRemnant = 1200
	last := cost()
	for seed := range uint64(6) {
		w.repack(context.Background(), pack.Settings{Effort: 40, Seed: seed}, func(float64) {})
		require.LessOrEqual(t, cost(), last+1e-6)
		last = cost()
	}
	require.InDelta(t, 4080, last, 1e-6, "28 are left of R-1")
	require.InDelta(t, 4*1013, w.total(w.byStretch()), 1e-6)
	for _, u := range w.byStretch() {
		require.Equal(t, "R-1", w.strip.stretches[u.of].sources[0].roll.Name)
	}
}

// TestRepackLeavesFlawsAlone: where a flaw lies, layouts take their whole
// stretch.
func TestRepackLeavesFlawsAlone(t *testing.T) {
	w := twoSizes(t, shapes.Roll{Name: "R-1", Length: 9000, Flaws: []shapes.Span{{From: 8000, To: 8100}}})
	require.False(t, w.repacks())
}

// TestSearchGoesOnWithoutPairs: four rolls of one table each cannot be improved
// pair by pair, since plies would change rolls. What is left of the search goes
// to all of them at once, and never makes worse what there is.
func TestSearchGoesOnWithoutPairs(t *testing.T) {
	var rolls []shapes.Roll
	for _, name := range []string{"R-1", "R-2", "R-3", "R-4", "R-5", "R-6"} {
		rolls = append(rolls, shapes.Roll{Name: name, Length: 1060})
	}
	w := twoSizes(t, rolls...)
	require.True(t, w.repacks())
	require.False(t, w.repack(context.Background(), pack.Settings{Effort: 40, Seed: 1}, func(float64) {}))
	before := w.best.Length
	_, err := w.again(context.Background(), nil, pack.Settings{Effort: 40, Seed: 1}, func(float64) {})
	require.NoError(t, err)
	require.Less(t, w.best.Length, before)
	require.Empty(t, w.best.Unplaced)
	found := *w.best
	_, err = w.again(context.Background(), nil, pack.Settings{Effort: 1, Seed: 9, NoPolish: true}, func(float64) {})
	require.NoError(t, err)
	require.LessOrEqual(t, w.best.Length, found.Length)
}

// TestRepackLeavesRoom: a ply of 1020 that is laid after a spread needs a length that
// R-2 has left as long as the spread keeps R-1 full, though R-1's end is then too short
// to keep.
func TestRepackLeavesRoom(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	f := roving()
	f.Balanced = false
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 10220}, {Name: "R-2", Length: 6632}}
	j := small(f, &shapes.Ply{Name: "A", Count: 60, Outline: rectangle("A", 488, 600)},
		&shapes.Ply{Name: "B", Count: 1, Outline: rectangle("B", 980, 1200)})
	j.Cutting.Layers, j.Cutting.SpreadPolicy, j.Cutting.Spreads = 2, shapes.SpreadTime, [][]string{{f.Name, f.Name}}
	j.Cutting.Table = &shapes.Table{Length: 1020, Width: 1600, Kind: shapes.StaticTable}
	for seed := range uint64(3) {
		rec, err := Lay(context.Background(), j, Settings{Effort: 20, Seed: seed, RollsAsListed: true}, nil)
		require.NoError(t, err)
		require.Equal(t, "effort spent", rec.Search.Status)
	}
}

// The same with a kit that is kept together: what the search found is not thrown away
// for want of room.
func TestRepackLeavesRoomForKits(t *testing.T) {
	if testing.Short() {
		t.Skip("SKIPPED: a long search")
	}
	f := roving()
	f.Balanced = false
	f.Rolls = []shapes.Roll{{Name: "R-1", Length: 4080}, {Name: "R-2", Length: 2593}}
	j := small(f, &shapes.Ply{Name: "A", Count: 22, Outline: rectangle("A", 470, 600)})
	j.Parts = append(j.Parts, &shapes.Part{Name: "Lower shell", Units: 1, Plies: []*shapes.Ply{
		{Name: "B", Count: 1, Order: 1, Fabric: f, Outline: rectangle("B", 980, 1200)}}})
	j.Cutting.KeepTogether = []string{"Upper shell"}
	j.Cutting.Table = &shapes.Table{Length: 1020, Width: 1600, Kind: shapes.StaticTable}
	for seed := range uint64(4) {
		p := newPlanner(j, Settings{Effort: 20, Seed: seed, RollsAsListed: true}, nil)
		require.Empty(t, p.expand(nil))
		d, err := p.lay(context.Background(), scheme{rest: p.all()}, budget{effort: 20})
		require.NoError(t, err)
		require.Empty(t, d.missing, "seed %d", seed)
	}
}
