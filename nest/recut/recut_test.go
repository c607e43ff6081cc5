package recut

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/pack"
	"plyroom/nest/plan"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

var search = pack.Settings{Effort: 1}

// run lays two units of a handed pair and of a ply divided into panels.
func run(t *testing.T, change func(*shapes.Job)) *nest.Record {
	t.Helper()
	f := &shapes.Fabric{Name: "F", Construction: shapes.Biaxial, ArealMass: 600, GlassContent: 0.5, Width: 1000, Selvedge: 20, Faces: shapes.DifferentFaces,
		Layers: []shapes.FabricLayer{{Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}},
		Rolls:  []shapes.Roll{{Name: "R-1", Lot: "A", Length: 9000}, {Name: "R-2", Lot: "B", Length: 9000}}}
	skew := &shapes.Outline{Name: "SKEW", Exterior: orb.Ring{{0, 0}, {700, 0}, {650, 300}, {0, 250}}}
	wide := &shapes.Outline{Name: "WIDE", Exterior: orb.Ring{{0, 0}, {600, 0}, {600, 1500}, {0, 1500}}}
	job := &shapes.Job{Name: "J", Revision: "A", Fabrics: []*shapes.Fabric{f},
		Parts: []*shapes.Part{{Name: "P/Q", Units: 2, Plies: []*shapes.Ply{
			{Order: 1, Name: "A", Outline: skew, Fabric: f, Count: 2, OppositeHand: 1, Direction: 10},
			{Order: 2, Name: "B", Outline: wide, Fabric: f, Count: 1, Split: &shapes.Split{Joint: shapes.JointLap, Overlap: 50}},
		}}},
		Cutting: shapes.Cutting{Gap: 3, EndAllowance: 20, MinRemnant: 500, Layers: 1}}
	if change != nil {
		change(job)
	}
	rec, err := plan.Lay(context.Background(), job, plan.Settings{Effort: 1, Seed: 1}, nil)
	require.NoError(t, err)
	return rec
}

// Every piece of the run, of either hand and every panel, can be cut again, and
// says who it is.
func TestEveryPiece(t *testing.T) {
	rec := run(t, nil)
	for _, d := range rec.Demand {
		e, err := Find(context.Background(), rec, d.Key(), Stock{}, search)
		require.NoError(t, err)
		require.Equal(t, FromRoll, e.Cut.Kind)
		require.Len(t, e.Record.Layouts, 1)
		p := e.Record.Layouts[0].Placed
		require.Len(t, p, 1)
		require.Equal(t, d.Key(), p[0].Key())
		require.Equal(t, d.OppositeHand, p[0].OppositeHand)
		require.NotEmpty(t, e.Spoiled.Layout)
	}
	e, err := Find(context.Background(), rec, rec.Demand[0].Key(), Stock{}, search)
	require.NoError(t, err)
	e.Copy++
	require.NotEmpty(t, e.Check(), "another ply than the one named")
	e.Copy--
	require.Empty(t, e.Check())
	e.Remnant = &remnant.Remnant{ID: "RM-ABCDEFGH", Outline: remnant.Rectangle(300, 300)}
	require.NotEmpty(t, e.Check(), "outside of its remnant")
	require.NotEmpty(t, (&Entry{}).Check())
	_, err = Find(context.Background(), rec, nest.Key{Part: "X"}, Stock{}, search)
	require.Error(t, err)
}

// Remnants come first, then the end of a roll too short to keep, then rolls
// begun, then new ones; what earlier recuts took is gone.
func TestOrderOfPlaces(t *testing.T) {
	rec := run(t, nil)
	key := nest.Key{Part: "P/Q", Unit: 2, Ply: "A", Copy: 1}
	used := 0.0
	for _, l := range rec.Layouts {
		require.Equal(t, "R-1", l.Layers[0].Roll)
		used = max(used, l.Layers[0].RollFrom+l.Length)
	}
	find := func(s Stock) Place {
		e, err := Find(context.Background(), rec, key, s, search)
		require.NoError(t, err)
		return e.Cut
	}
	begun := find(Stock{})
	require.Equal(t, "R-1", begun.Roll)
	require.InDelta(t, used, begun.RollFrom, 1e-6)
	next := find(Stock{Earlier: []Entry{{Format: Format, Number: 1, Cut: begun}}})
	require.InDelta(t, used+begun.Length, next.RollFrom, 1e-6)
	require.Equal(t, "R2", next.Layout)

	// An end that is too short to keep, and still long enough.
	rec.Rules.MinRemnant = 1e6
	require.Equal(t, FromRollEnd, find(Stock{}).Kind)
	rec.Fabrics[0].Rolls[0].Length = used + 100
	require.Equal(t, "R-2", find(Stock{}).Roll, "nothing fits on the end")

	piece := remnant.Remnant{Format: remnant.Format, ID: "RM-ABCDEFGH", Fabric: "F", Lot: "Z", Face: remnant.FaceUp, Outline: remnant.Rectangle(900, 500)}
	small, other := piece, piece
	small.ID, small.Outline = "RM-BBBBBBBB", remnant.Rectangle(300, 300)
	other.ID, other.Fabric = "RM-CCCCCCCC", "G"
	got := find(Stock{Remnants: []remnant.Remnant{small, other, piece}})
	require.Equal(t, Place{Kind: FromRemnant, Layout: "R1", Fabric: "F", Roll: piece.ID, Lot: "Z", Length: got.Length}, got)

	// One lot in a kit: neither remnant nor the other roll will do.
	rec.Rules.OneLotPerUnit = true
	_, err := Find(context.Background(), rec, key, Stock{Remnants: []remnant.Remnant{piece}}, search)
	var no *NoPlace
	require.ErrorAs(t, err, &no)
	require.True(t, no.OneLot)
	require.Equal(t, []string{"the end of roll R-1"}, no.Tried)
	require.Equal(t, "R-3", find(Stock{Fresh: []shapes.Roll{{Name: "R-3", Lot: "A", Length: 2000}}}).Roll)
}

// Many recuts at once: each number is given once, and the list stays whole.
func TestList(t *testing.T) {
	dir := t.TempDir()
	got, err := List(dir)
	require.NoError(t, err)
	require.Empty(t, got)
	var wg sync.WaitGroup
	var entered, meanwhile atomic.Int32
	for range 8 {
		wg.Go(func() {
			for range 5 {
				list, err := List(dir)
				if err != nil {
					t.Errorf("%v", err)
				}
				switch err := Enter(dir, Entry{Format: Format, Number: len(list) + 1, Ply: "A"}); {
				case err == nil:
					entered.Add(1)
				case errors.Is(err, ErrMeanwhile):
					meanwhile.Add(1)
				default:
					t.Errorf("%v", err)
				}
			}
		})
	}
	wg.Wait()
	require.EqualValues(t, 40, entered.Load()+meanwhile.Load())
	got, err = List(dir)
	require.NoError(t, err)
	require.Len(t, got, int(entered.Load()))
	files, err := os.ReadDir(filepath.Join(dir, ListName))
	require.NoError(t, err)
	require.Len(t, files, len(got), "no leftovers")
	require.NoError(t, Strike(dir, len(got)))
	require.NoError(t, os.WriteFile(file(dir, 1), []byte(`{"format": 9}`), 0o644))
	_, err = List(dir)
	require.ErrorContains(t, err, "0001.json")
}

func TestSchema(t *testing.T) {
	c := jsonschema.NewCompiler()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	require.NoError(t, err)
	require.NoError(t, c.AddResource("recut.json", doc))
	sch, err := c.Compile("recut.json")
	require.NoError(t, err)
	rec := run(t, nil)
	e, err := Find(context.Background(), rec, rec.Demand[0].Key(), Stock{}, search)
	require.NoError(t, err)
	e.Date, e.Why, e.Folder, e.Run = "2027-03-01", "torn", "recut-1", "0"
	data, err := json.Marshal(e)
	require.NoError(t, err)
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	require.NoError(t, sch.Validate(v))
}
