package relay

import (
	"cmp"
	"context"
	"slices"
	"time"

	"plyroom/nest"
	"plyroom/nest/offcut"
	"plyroom/nest/pack"
	"plyroom/nest/plan"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// remnantShare is the share of the time that goes into filling remnants.
const remnantShare = 0.2

// Usable are the remnants that a job could lay a ply on, in the order in which
// they are filled: the oldest first, and of one day the smallest. Those of
// prepreg are left out: a remnant does not tell how long it was out of the
// freezer.
func Usable(job *shapes.Job, pieces []remnant.Remnant) []remnant.Remnant {
	var out []remnant.Remnant
	for _, r := range pieces {
		if f := cutFrom(job, r.Fabric); f != nil && !f.Prepreg() {
			if _, ok := asRoll(r, f, &job.Cutting); ok {
				out = append(out, r)
			}
		}
	}
	slices.SortStableFunc(out, func(p, q remnant.Remnant) int {
		return cmp.Or(cmp.Compare(p.Cut, q.Cut), cmp.Compare(p.Area(), q.Area()), cmp.Compare(p.ID, q.ID))
	})
	return out
}

// asRoll is a remnant as a roll, where more than ends and selvedges is left.
func asRoll(r remnant.Remnant, f *shapes.Fabric, rules *shapes.Cutting) (shapes.Roll, bool) {
	return remnant.AsRoll(r, remnant.Limits{MinLength: 2*rules.EndAllowance + 1, MinWidth: 2*f.Selvedge + 1})
}

// cutFrom finds a fabric that the job cuts plies from.
func cutFrom(job *shapes.Job, name string) *shapes.Fabric {
	for _, p := range job.Parts {
		for _, ply := range p.Plies {
			if ply.Fabric.Name == name {
				return ply.Fabric
			}
		}
	}
	return nil
}

// OnRemnants fills remnants with plies of a job and lays the rest on its rolls.
// Errors are those of plan.Lay.
func OnRemnants(ctx context.Context, job *shapes.Job, pieces []remnant.Remnant, s plan.Settings, progress func(plan.Progress)) (*nest.Record, error) {
	if len(pieces) == 0 {
		return plan.Lay(ctx, job, s, progress)
	}
	rec, err := Begin(job)
	if err != nil {
		return nil, err
	}
	kept, err := Fill(ctx, rec, nil, job, pieces, &s)
	if err != nil {
		return nil, err
	}
	if len(kept) == 0 {
		return plan.Lay(ctx, job, s, progress)
	}
	return Again(ctx, rec, kept, job, s, progress)
}

// Fill lays pieces of a record that are not cut on remnants, which become rolls
// of the record. A search limited by time leaves that much less in the
// settings.
func Fill(ctx context.Context, rec *nest.Record, cut []nest.Layout, job *shapes.Job, pieces []remnant.Remnant, s *plan.Settings) ([]nest.Layout, error) {
	if len(pieces) == 0 {
		return nil, nil
	}
	done := map[nest.Key]bool{}
	for i := range cut {
		for j := range cut[i].Placed {
			done[cut[i].Placed[j].Key()] = true
		}
	}
	var of []int
	for i := range rec.Demand {
		if !done[rec.Demand[i].Key()] {
			of = append(of, i)
		}
	}
	var out []nest.Layout
	search := pack.Settings{Effort: s.Effort, Seed: s.Seed, Workers: s.Workers}
	each := time.Duration(float64(s.Time) * remnantShare / float64(len(pieces)))
	for _, p := range pieces {
		f := cutFrom(job, p.Fabric)
		if f == nil {
			continue
		}
		roll, ok := asRoll(p, f, &job.Cutting)
		if !ok {
			continue
		}
		AddRolls(rec, p.Fabric, roll)
		ctx, cancel := ctx, context.CancelFunc(func() {})
		if s.Effort == 0 {
			ctx, cancel = context.WithTimeout(ctx, each)
		}
		// A remnant holds plies of one kit that is kept together, or of the rest.
		for _, g := range groups(rec, of) {
			layouts, _, err := offcut.Fill(ctx, rec, g, []offcut.Ground{offcut.OfRoll(f, roll, 0)}, search)
			if err != nil {
				cancel()
				return nil, err
			}
			if len(layouts) > 0 {
				out, of = append(out, layouts...), without(rec, of, layouts)
				break
			}
		}
		cancel()
	}
	s.Time -= time.Duration(float64(s.Time) * remnantShare)
	return out, nil
}

// groups parts pieces of a record, given by their places in the demand: each kit
// that is kept together, then all others.
func groups(rec *nest.Record, of []int) [][]int {
	at := map[kit]int{}
	var out [][]int
	var rest []int
	for _, i := range of {
		d := &rec.Demand[i]
		if !rec.Rules.Keeps(d.Part) {
			rest = append(rest, i)
			continue
		}
		k := kit{d.Part, d.Unit}
		n, ok := at[k]
		if !ok {
			n = len(out)
			at[k] = n
			out = append(out, nil)
		}
		out[n] = append(out[n], i)
	}
	return append(out, rest)
}

type kit struct {
	part string
	unit int
}

// without leaves out the pieces that layouts hold.
func without(rec *nest.Record, of []int, layouts []nest.Layout) []int {
	laid := map[nest.Key]bool{}
	for i := range layouts {
		for k := range layouts[i].Placed {
			laid[layouts[i].Placed[k].Key()] = true
		}
	}
	var out []int
	for _, i := range of {
		if !laid[rec.Demand[i].Key()] {
			out = append(out, i)
		}
	}
	return out
}
