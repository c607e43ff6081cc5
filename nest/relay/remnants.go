package relay

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
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
			if _, ok := asRoll(r, &job.Cutting); ok {
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
func asRoll(r remnant.Remnant, rules *shapes.Cutting) (shapes.Roll, bool) {
	return remnant.AsRoll(r, remnant.Limits{MinLength: 2*rules.EndAllowance + 1, MinWidth: 2*r.Selvedge + 1})
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

// OnRemnants lays a job on remnants and rolls together, so that least fabric is
// drawn from rolls: without remnants, and with them filled in two orders, the
// oldest first and the largest first. Each is laid by a short trial, what draws
// least is laid with the whole search, and is kept unless the trial without
// remnants drew less even so. Of equals the one that uses least of the remnants
// stands. Where the job asks for one lot in a kit, a kit gets of a remnant only
// where the plan without remnants has its plies of that fabric from the same
// lot.
//
// Errors are those of plan.Lay.
func OnRemnants(ctx context.Context, job *shapes.Job, pieces []remnant.Remnant, s plan.Settings, progress func(plan.Progress)) (*nest.Record, error) {
	if len(pieces) == 0 {
		return plan.Lay(ctx, job, s, progress)
	}
	trial := s
	trial.Effort, trial.Unweighed = trialEffort, true
	if s.Effort == 0 {
		trial.Effort, trial.Time = 0, time.Duration(float64(s.Time)*trialShare)
	}
	without, err := plan.Lay(ctx, job, trial, nil)
	var cannot *plan.CannotLay
	if err != nil && !errors.As(err, &cannot) {
		return nil, err
	}
	lots := map[plan.Lot]string{}
	if job.Cutting.OneLotPerUnit {
		if err != nil {
			return nil, err // remnants are no lot of their own
		}
		lots = lotsOf(without.Layouts)
	}
	best := option{rec: without}
	for _, order := range [][]remnant.Remnant{pieces, largestFirst(pieces)} {
		o := option{pieces: order, with: true}
		o.rec, err = onRemnants(ctx, job, order, lots, trial, nil)
		if err != nil && !errors.As(err, &cannot) {
			return nil, err
		}
		if o.rec != nil && o.better(&best) {
			best = o
		}
	}
	if s.Effort == 0 {
		s.Time -= 3 * trial.Time
	}
	if !best.with {
		return plan.Lay(ctx, job, s, progress)
	}
	rec, err := onRemnants(ctx, job, best.pieces, lots, s, progress)
	if err != nil {
		if errors.As(err, &cannot) {
			return best.rec, nil
		}
		return nil, err
	}
	if final := (option{rec: rec, with: true}); best.better(&final) {
		rec = best.rec
	}
	if without != nil {
		rec.Notes = append(rec.Notes, fmt.Sprintf("remnants: %.2f m² are drawn from rolls; a short search without remnants drew %.2f m²", fresh(rec)/1e6, fresh(without)/1e6))
	}
	return rec, nil
}

// A trial of a way to use remnants takes so much effort, or so much of the
// time.
const (
	trialEffort = 1
	trialShare  = 0.1
)

// An option is a plan that uses remnants in one order, or none.
type option struct {
	pieces []remnant.Remnant
	with   bool
	rec    *nest.Record // nil where it cannot be laid
}

// better reports whether an option lacks fewer pieces than another, draws less
// from rolls, or as much and less from remnants.
func (o *option) better(p *option) bool {
	if o.rec == nil || p.rec == nil {
		return o.rec != nil
	}
	if a, b := len(o.rec.ShortKeys()), len(p.rec.ShortKeys()); a != b {
		return a < b
	}
	if a, b := fresh(o.rec), fresh(p.rec); math.Abs(a-b) > 1 {
		return a < b
	}
	return spent(o.rec) < spent(p.rec)-1
}

// fresh is the area of fabric that a record draws from rolls, and spent what it
// draws from remnants, roll ends counted, mm².
func fresh(rec *nest.Record) float64 { return drawn(rec, false) }
func spent(rec *nest.Record) float64 { return drawn(rec, true) }

func drawn(rec *nest.Record, remnants bool) float64 {
	sum := 0.0
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		for _, ly := range l.Layers {
			f := rec.Fabric(ly.Fabric)
			if f == nil {
				continue
			}
			width, r := f.Width, rollOf(f, ly.Roll)
			if r != nil {
				width = widthOf(f, *r)
			}
			if (r != nil && r.Piece != nil) != remnants {
				continue
			}
			sum += float64(l.Draws(&ly) * width)
		}
	}
	return sum
}

func largestFirst(pieces []remnant.Remnant) []remnant.Remnant {
	out := slices.Clone(pieces)
	slices.SortStableFunc(out, func(p, q remnant.Remnant) int {
		return cmp.Or(cmp.Compare(q.Area(), p.Area()), cmp.Compare(p.ID, q.ID))
	})
	return out
}

// onRemnants fills remnants in their order and lays the rest on rolls.
func onRemnants(ctx context.Context, job *shapes.Job, pieces []remnant.Remnant, lots map[plan.Lot]string, s plan.Settings, progress func(plan.Progress)) (*nest.Record, error) {
	rec, err := Begin(job)
	if err != nil {
		return nil, err
	}
	s.Lots = lots
	kept, err := Fill(ctx, rec, nil, job, pieces, &s)
	if err != nil {
		return nil, err
	}
	if len(kept) == 0 {
		return plan.Lay(ctx, job, s, progress)
	}
	return Again(ctx, rec, kept, job, s, progress)
}

// lotsOf are the lots that kits have of each fabric in some layouts.
func lotsOf(ls []nest.Layout) map[plan.Lot]string {
	out := map[plan.Lot]string{}
	for i := range ls {
		for k := range ls[i].Placed {
			p := &ls[i].Placed[k]
			for _, ly := range ls[i].Layers {
				if ly.Layer == p.Layer {
					out[plan.Lot{Fabric: p.Fabric, Part: p.Part, Unit: p.Unit}] = ly.Lot
				}
			}
		}
	}
	return out
}

// sameLot lists the pieces that may lie on a remnant: where the job asks for
// one lot in a kit, only those whose kits have that fabric from the same lot.
func sameLot(rec *nest.Record, of []int, r remnant.Remnant, job *shapes.Job, lots map[plan.Lot]string) []int {
	if !job.Cutting.OneLotPerUnit {
		return of
	}
	var out []int
	for _, i := range of {
		d := &rec.Demand[i]
		if lot, ok := lots[plan.Lot{Fabric: d.Fabric, Part: d.Part, Unit: d.Unit}]; ok && lot == r.Lot {
			out = append(out, i)
		}
	}
	return out
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
	lots := lotsOf(cut)
	for k, lot := range s.Lots {
		lots[k] = lot
	}
	var out []nest.Layout
	search := pack.Settings{Effort: s.Effort, Seed: s.Seed, Workers: s.Workers}
	each := time.Duration(float64(s.Time) * remnantShare / float64(len(pieces)))
	for _, p := range pieces {
		f := cutFrom(job, p.Fabric)
		if f == nil {
			continue
		}
		roll, ok := asRoll(p, &job.Cutting)
		if !ok {
			continue
		}
		AddRolls(rec, p.Fabric, roll)
		ctx, cancel := ctx, context.CancelFunc(func() {})
		if s.Effort == 0 {
			ctx, cancel = context.WithTimeout(ctx, each)
		}
		mine := sameLot(rec, of, p, job, lots)
		// A remnant holds plies of one kit that is kept together, or of the rest.
		for _, g := range groups(rec, mine) {
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
