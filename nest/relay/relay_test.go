package relay

import (
	"context"
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/offcut"
	"plyroom/nest/pack"
	"plyroom/nest/plan"
	"plyroom/nest/remnant"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

var settings = plan.Settings{Effort: 1, Seed: 1, Workers: 1}

// sixJob asks for three units of a pair of hands, 700 × 300, and a square of
// another fabric; a static table of 2 m makes several layouts.
func sixJob() *shapes.Job {
	woven := &shapes.Fabric{Name: "WR", Construction: shapes.Plain, ArealMass: 600, GlassContent: 0.5, Width: 1000, Selvedge: 20, Faces: shapes.SameFaces,
		Rolls: []shapes.Roll{{Name: "R-1", Lot: "A", Length: 8000}}}
	mat := &shapes.Fabric{Name: "CSM", Construction: shapes.Mat, ArealMass: 450, GlassContent: 0.5, Width: 1000, Selvedge: 20, Faces: shapes.SameFaces}
	skew := &shapes.Outline{Name: "SKEW", Exterior: orb.Ring{{0, 0}, {700, 0}, {650, 300}, {0, 250}}}
	square := &shapes.Outline{Name: "SQ", Exterior: orb.Ring{{0, 0}, {400, 0}, {400, 400}, {0, 400}}}
	return &shapes.Job{Name: "Six", Revision: "A", Fabrics: []*shapes.Fabric{woven, mat},
		Parts: []*shapes.Part{{Name: "P", Units: 3, Plies: []*shapes.Ply{
			{Order: 1, Name: "A", Outline: skew, Fabric: woven, Count: 2, OppositeHand: 1},
			{Order: 2, Name: "B", Outline: square, Fabric: mat, Count: 1},
			{Order: 3, Name: "C", Outline: square, Fabric: woven, Count: 1},
		}}},
		Cutting: shapes.Cutting{Gap: 3, EndAllowance: 20, MinRemnant: 300, Layers: 1,
			Table: &shapes.Table{Length: 1600, Width: 1600, Kind: shapes.StaticTable}}}
}

func lay(t *testing.T, job *shapes.Job) *nest.Record {
	t.Helper()
	rec, err := plan.Lay(context.Background(), job, settings, nil)
	require.NoError(t, err)
	return rec
}

// wovenLayout is the first layout of the woven fabric.
func wovenLayout(t *testing.T, rec *nest.Record) nest.Layout {
	t.Helper()
	for _, l := range rec.Layouts {
		if l.Layers[0].Fabric == "WR" {
			return l
		}
	}
	t.Fatal("no layout of WR")
	return nest.Layout{}
}

func where(rec *nest.Record) map[nest.Key]string {
	out := map[nest.Key]string{}
	for _, l := range rec.Layouts {
		for i := range l.Placed {
			ly := l.Layers[l.Placed[i].Layer-1]
			out[l.Placed[i].Key()] = fmt.Sprintf("%s %s at %.6f %v", ly.Fabric, ly.Roll, ly.RollFrom, l.Placed[i].Outline)
		}
	}
	return out
}

func TestNothingChanged(t *testing.T) {
	job := sixJob()
	rec := lay(t, job)
	got, err := Again(context.Background(), rec, rec.Layouts, job, settings, nil)
	require.NoError(t, err)
	require.Equal(t, where(rec), where(got), "all of it is cut")
	got, err = Again(context.Background(), rec, nil, job, settings, nil)
	require.NoError(t, err)
	require.Len(t, where(got), len(rec.Demand))
	require.Empty(t, verify.Check(got))
}

// What is cut keeps its place; the rest is laid behind it, whatever happened to
// the roll.
func TestRestIsLaidAgain(t *testing.T) {
	rec := lay(t, sixJob())
	first := wovenLayout(t, rec)
	used := first.Layers[0].RollFrom + first.Length
	tests := []struct {
		name   string
		change func(f *shapes.Fabric)
		rolls  []string
	}{
		{"as before", func(*shapes.Fabric) {}, []string{"R-1"}},
		{"flaw ahead", func(f *shapes.Fabric) { f.Rolls[0].Flaws = []shapes.Span{{From: used + 100, To: used + 200}} }, []string{"R-1"}},
		{"measured narrower", func(f *shapes.Fabric) { f.Rolls[0].Width = 900 }, []string{"R-1", "R-1 (rest)"}},
		{"swapped", func(f *shapes.Fabric) { f.Rolls = []shapes.Roll{{Name: "R-2", Lot: "B", Length: 9000, Width: 1100}} }, []string{"R-1", "R-2"}},
		{"no named roll any more", func(f *shapes.Fabric) { f.Rolls = nil }, []string{"R-1", Unnamed}},
		{"another roll behind", func(f *shapes.Fabric) {
			f.Rolls[0].Length = used
			f.Rolls = append(f.Rolls, shapes.Roll{Name: "R-3", Lot: "A", Length: 9000})
		}, []string{"R-1", "R-3"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			job := sixJob()
			tt.change(job.Fabrics[0])
			got, err := Again(context.Background(), rec, []nest.Layout{first}, job, settings, nil)
			require.NoError(t, err)
			require.Empty(t, verify.Check(got))
			require.Equal(t, rec.Demand, got.Demand)
			for k, b := range rec.FabricBounds {
				require.LessOrEqual(t, got.FabricBounds[k].Length, b.Length+1e-6, "bounds are not made stronger")
				if tt.name == "as before" {
					require.Equal(t, b, got.FabricBounds[k])
				}
			}
			before, after := where(rec), where(got)
			require.Len(t, after, len(rec.Demand))
			for i := range first.Placed {
				require.Equal(t, before[first.Placed[i].Key()], after[first.Placed[i].Key()])
			}
			seen := map[string]bool{}
			for _, l := range got.Layouts {
				if l.Layers[0].Fabric == "WR" {
					seen[l.Layers[0].Roll] = true
				}
			}
			for _, r := range tt.rolls {
				require.True(t, seen[r], "%s of %v", r, seen)
			}
			require.Len(t, seen, len(tt.rolls))
			again, err := Again(context.Background(), rec, []nest.Layout{first}, job, settings, nil)
			require.NoError(t, err)
			require.Equal(t, got, again, "the same again")
		})
	}
}

// Stopped in the middle of a layout: two pieces are cut, the rest of its length
// is fabric again.
func TestStoppedInALayout(t *testing.T) {
	job := sixJob()
	rec := lay(t, job)
	l := wovenLayout(t, rec)
	part := Part(l, job.Cutting.EndAllowance, func(i int) bool { return i < 1 })
	require.Len(t, part.Placed, 1)
	require.Less(t, part.Length, l.Length)
	got, err := Again(context.Background(), rec, []nest.Layout{part}, job, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(got))
	require.Len(t, where(got), len(rec.Demand))
}

func TestContradictions(t *testing.T) {
	rec := lay(t, sixJob())
	kept := []nest.Layout{wovenLayout(t, rec)}
	for says, change := range map[string]func(*shapes.Job){
		"gap":        func(j *shapes.Job) { j.Cutting.Gap = 5 },
		"no fabric":  func(j *shapes.Job) { j.Fabrics = j.Fabrics[1:] },
		"selvedge":   func(j *shapes.Job) { j.Fabrics[0].Selvedge = 30 },
		"is used up": func(j *shapes.Job) { j.Fabrics[0].Rolls[0].Length = kept[0].Length },
		"too wide":   func(j *shapes.Job) { j.Fabrics[0].Rolls[0].Width = 300 },
	} {
		job := sixJob()
		change(job)
		_, err := Again(context.Background(), rec, kept, job, settings, nil)
		require.ErrorContains(t, err, says)
	}
}

// Remnants are filled first, and the rest of the job comes from rolls.
func TestRemnantsFirst(t *testing.T) {
	job := sixJob()
	rec, err := Begin(job)
	require.NoError(t, err)
	pieces := []remnant.Remnant{
		{ID: "RM-AAAAAAAA", Fabric: "WR", Lot: "Z", Face: remnant.FaceUp, Outline: remnant.Rectangle(900, 500)},
		{ID: "RM-BBBBBBBB", Fabric: "WR", Face: remnant.FaceUp, Outline: remnant.Rectangle(200, 200)},
		{ID: "RM-CCCCCCCC", Fabric: "CSM", Face: remnant.FaceUp, Outline: remnant.Rectangle(500, 500)},
	}
	var grounds []offcut.Ground
	for _, p := range pieces {
		roll, ok := remnant.AsRoll(p, remnant.Limits{})
		require.True(t, ok)
		grounds = append(grounds, offcut.OfRoll(rec.Fabric(p.Fabric), roll, 0))
		AddRolls(rec, p.Fabric, roll)
	}
	var all []int
	for i := range rec.Demand {
		all = append(all, i)
	}
	kept, left, err := offcut.Fill(context.Background(), rec, all, grounds, pack.Settings{Effort: 1})
	require.NoError(t, err)
	require.Len(t, kept, 2)
	require.Equal(t, "RM-AAAAAAAA", kept[0].Layers[0].Roll)
	require.Equal(t, "RM-CCCCCCCC", kept[1].Layers[0].Roll)
	require.Len(t, left, len(all)-2)
	got, err := Again(context.Background(), rec, kept, job, settings, nil)
	require.NoError(t, err)
	require.Empty(t, verify.Check(got))
	require.Len(t, where(got), len(rec.Demand))
	require.NotNil(t, rollOf(got.Fabric("WR"), "RM-AAAAAAAA"))
	require.Nil(t, rollOf(got.Fabric("WR"), "RM-BBBBBBBB"), "nothing is cut from it")
}

// Spreads are kept and laid again too: two layers of one roll, two fabrics in
// one pass, and half a spread.
func TestSpreads(t *testing.T) {
	job := sixJob()
	job.Cutting.Layers, job.Cutting.SpreadPolicy = 2, shapes.SpreadTime
	job.Cutting.Spreads = [][]string{{"WR", "WR"}, {"WR", "CSM"}}
	rec := lay(t, job)
	at := -1
	for i, l := range rec.Layouts {
		if len(l.Layers) == 2 && (at < 0 || len(l.Placed) > len(rec.Layouts[at].Placed)) {
			at = i
		}
	}
	require.GreaterOrEqual(t, at, 0, "the job is spread")
	narrow := sixJob()
	narrow.Cutting = job.Cutting
	narrow.Fabrics[0].Rolls[0].Width = 960
	for name, kept := range map[string][]nest.Layout{
		"whole": {rec.Layouts[at]},
		"half": {Part(rec.Layouts[at], job.Cutting.EndAllowance, func(i int) bool {
			// One cut: the lowest leftmost plies of all layers, one over the other.
			return rec.Layouts[at].Placed[i].X == rec.Layouts[at].Placed[0].X && rec.Layouts[at].Placed[i].Y == rec.Layouts[at].Placed[0].Y
		})},
	} {
		t.Run(name, func(t *testing.T) {
			require.NotEmpty(t, kept[0].Placed)
			for _, j := range []*shapes.Job{job, narrow} {
				got, err := Again(context.Background(), rec, kept, j, settings, nil)
				require.NoError(t, err)
				require.Empty(t, verify.Check(got))
				require.Len(t, where(got), len(rec.Demand))
			}
		})
	}
}
