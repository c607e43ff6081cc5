package recut

import (
	"context"
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/offcut"
	"plyroom/nest/pack"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// A Stock is the fabric a ply may be cut from again.
type Stock struct {
	// Remnants are tried in their order.
	Remnants []remnant.Remnant
	// Fresh are rolls of the ply's fabric that the run does not list.
	Fresh []shapes.Roll
	// Earlier are the recuts of the run so far.
	Earlier []Entry
	// Day is the day the ply is cut, against which rolls expire; empty for that
	// of the run.
	Day shapes.Date
}

// NoPlace says that there is no fabric to cut a ply from again.
type NoPlace struct {
	Key nest.Key
	// Tried words the fabric that was tried.
	Tried []string
	// OneLot tells that only lots of the ply's own kit were allowed.
	OneLot bool
}

func (e *NoPlace) Error() string {
	s := fmt.Sprintf("%s has no place on what is left", e.Key)
	if len(e.Tried) > 0 {
		s += fmt.Sprintf(" (tried: %s)", list(e.Tried))
	}
	if e.OneLot {
		s += "; the job asks for one lot in a kit, and fabric of other lots was passed over"
	}
	return s + "; add a remnant, or list a new roll in a job file"
}

func list(words []string) string {
	if len(words) > 8 {
		words = append(slices.Clone(words[:8]), fmt.Sprintf("and %d more", len(words)-8))
	}
	out := ""
	for i, w := range words {
		if i > 0 {
			out += ", "
		}
		out += w
	}
	return out
}

// Find lays one ply of a run again and returns the entry that tells of it, with
// its record. Only a record that keeps every rule and whose books balance is
// returned.
func Find(ctx context.Context, rec *nest.Record, key nest.Key, s Stock, search pack.Settings) (*Entry, error) {
	i := slices.IndexFunc(rec.Demand, func(d nest.Demand) bool { return d.Key() == key })
	if i < 0 {
		return nil, fmt.Errorf("the run has no piece %s", key)
	}
	e := &Entry{Format: Format, Number: len(s.Earlier) + 1, Job: rec.Job, Revision: rec.Revision,
		Part: key.Part, Unit: key.Unit, Ply: key.Ply, Copy: key.Copy, Spoiled: placeOf(rec, key)}
	one := alone(rec, rec.Demand[i])
	if s.Day != "" {
		one.Date = s.Day
	}
	no := &NoPlace{Key: key}
	lots := lotsOf(rec, rec.Demand[i])
	for _, c := range candidates(rec, rec.Demand[i], s) {
		if lots != nil && !lots[c.ground.Roll.Lot] {
			no.OneLot = true
			continue
		}
		if why := rec.Fabric(rec.Demand[i].Fabric).Unfit(&c.ground.Roll, one.Date); why != "" && !rec.Rules.UseExpired {
			no.Tried = append(no.Tried, c.words+": "+why)
			continue
		}
		l, _, err := offcut.Lay(ctx, one, []int{0}, c.ground, search)
		if err != nil {
			return nil, err
		}
		if l == nil {
			no.Tried = append(no.Tried, c.words)
			continue
		}
		l.ID = e.Name()
		one.Layouts = []nest.Layout{*l}
		if c.ground.Roll.Name != "" {
			one.Fabrics[0].Rolls = []shapes.Roll{ahead(c.ground.Roll, c.ground.From)}
		}
		ly := l.Layers[0]
		e.Cut = Place{Kind: c.kind, Layout: l.ID, Fabric: ly.Fabric, Roll: ly.Roll, Lot: ly.Lot, RollFrom: ly.RollFrom, Length: l.Length}
		e.LaidDeg, e.Remnant, e.Record = l.Placed[0].LaidDeg, c.ground.Remnant, one
		return e, e.accept()
	}
	return nil, no
}

// ahead is a roll without the flaws that lie before a place: they are in the
// books of what was cut there.
func ahead(r shapes.Roll, from float64) shapes.Roll {
	r.Flaws = slices.DeleteFunc(slices.Clone(r.Flaws), func(f shapes.Span) bool { return f.From < from })
	return r
}

// placeOf is where a ply had been cut.
func placeOf(rec *nest.Record, key nest.Key) Place {
	for _, l := range rec.Layouts {
		for i := range l.Placed {
			if p := &l.Placed[i]; p.Key() == key {
				for _, ly := range l.Layers {
					if ly.Layer == p.Layer {
						return Place{Layout: l.ID, Fabric: ly.Fabric, Roll: ly.Roll, Lot: ly.Lot, RollFrom: ly.RollFrom, Length: l.Length}
					}
				}
			}
		}
	}
	return Place{}
}

// lotsOf are the lots that the ply's kit has of its fabric, where the job asks
// for one lot in a kit; nil where it does not.
func lotsOf(rec *nest.Record, d nest.Demand) map[string]bool {
	if !rec.Rules.OneLotPerUnit {
		return nil
	}
	out := map[string]bool{}
	for _, l := range rec.Layouts {
		for i := range l.Placed {
			if p := &l.Placed[i]; p.Part == d.Part && p.Unit == d.Unit && p.Fabric == d.Fabric {
				for _, ly := range l.Layers {
					if ly.Layer == p.Layer {
						out[ly.Lot] = true
					}
				}
			}
		}
	}
	return out
}

// A candidate is a ground and what it is.
type candidate struct {
	ground offcut.Ground
	kind   string
	words  string
}

// candidates lists grounds in the order in which they are tried: remnants, roll
// ends too short to keep, begun rolls from the shortest on, rolls not begun.
func candidates(rec *nest.Record, d nest.Demand, s Stock) []candidate {
	var out, ends, begun, fresh []candidate
	f := rec.Fabric(d.Fabric)
	if f == nil {
		return nil
	}
	for _, r := range s.Remnants {
		if r.Fabric == f.Name && !f.Prepreg() { // nobody knows how long it was out
			out = append(out, candidate{offcut.OfRemnant(f, r), FromRemnant, "remnant " + r.ID})
		}
	}
	used := map[string]float64{}
	for _, l := range rec.Layouts {
		for _, ly := range l.Layers {
			if ly.Fabric == f.Name {
				used[ly.Roll] = math.Max(used[ly.Roll], nest.Round(ly.RollFrom+l.Length))
			}
		}
	}
	for _, e := range s.Earlier {
		if e.Cut.Fabric == f.Name && e.Cut.Kind != FromRemnant {
			used[e.Cut.Roll] = math.Max(used[e.Cut.Roll], nest.Round(e.Cut.RollFrom+e.Cut.Length))
		}
	}
	rolls := append(slices.Clone(f.Rolls), s.Fresh...)
	if len(rolls) == 0 {
		rolls = []shapes.Roll{{}}
	}
	for _, r := range rolls {
		if remnant.IsID(r.Name) {
			continue // what is left of it may be in the store again
		}
		from, cut := used[r.Name]
		left := r.Length - from
		c := candidate{offcut.OfRoll(f, r, from), FromRoll, "roll " + r.Name}
		switch {
		case r.Length > 0 && left <= 2*rec.Rules.EndAllowance:
		case !cut:
			fresh = append(fresh, c)
		case r.Length > 0 && left < rec.Rules.MinRemnant:
			c.kind, c.words = FromRollEnd, "the end of roll "+r.Name
			ends = append(ends, c)
		default:
			begun = append(begun, c)
		}
	}
	slices.SortStableFunc(begun, func(a, b candidate) int {
		return int(math.Copysign(1, left(a)-left(b)))
	})
	return slices.Concat(out, ends, begun, fresh)
}

func left(c candidate) float64 {
	if c.ground.Roll.Length == 0 {
		return math.MaxFloat64
	}
	return c.ground.Roll.Length - c.ground.From
}

// alone is a record that asks for one piece, as it is named in the run.
func alone(rec *nest.Record, d nest.Demand) *nest.Record {
	out := *rec
	out.Demand = []nest.Demand{d}
	out.Parts, out.Fabrics, out.Shapes = nil, nil, nil
	for _, p := range rec.Parts {
		if p.Part == d.Part {
			out.Parts = append(out.Parts, p)
		}
	}
	for _, f := range rec.Fabrics {
		if f.Name == d.Fabric {
			out.Fabrics = append(out.Fabrics, f)
		}
	}
	for _, s := range rec.Shapes {
		if s.ID == d.Shape {
			out.Shapes = append(out.Shapes, s)
		}
	}
	out.Rules.Spreads, out.Rules.KeepTogether, out.Together = nil, nil, nil
	out.Layouts, out.FabricBounds, out.SpreadOptions, out.Short = nil, []nest.FabricBound{}, nil, nil
	out.Notes = []string{fmt.Sprintf("%s is cut again", d.Key())}
	out.Search = nest.Search{Status: "one ply laid"}
	return &out
}
