package relay

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"plyroom/nest"
	"plyroom/nest/plan"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

func isRemnant(roll string) bool { return remnant.IsID(roll) }

// Again lays the pieces of a record that are not in the kept layouts, on the
// rolls and under the rules that the job now states, and returns one record of
// both. Kept layouts are the record's own, or the part of one that is cut (see
// Part); they come first and are numbered anew. The job's plies are not looked
// at: the record's demand is what is laid.
//
// Errors are those of plan.Lay, and a job that contradicts what is cut.
func Again(ctx context.Context, rec *nest.Record, kept []nest.Layout, job *shapes.Job, s plan.Settings, progress func(plan.Progress)) (*nest.Record, error) {
	if err := agree(rec, kept, job); err != nil {
		return nil, err
	}
	racks := map[string]*rack{}
	var left []*shapes.Fabric
	out := *rec
	out.Fabrics = nil
	for _, f := range job.Fabrics {
		r, err := rackOf(rec, kept, f)
		if err != nil {
			return nil, err
		}
		racks[f.Name] = r
		left = append(left, r.left)
		out.Fabrics = append(out.Fabrics, *r.listed)
	}
	missing, err := restOf(rec, kept, left, job)
	if err != nil {
		return nil, err
	}
	if err := usedUp(missing.job, racks); err != nil {
		return nil, err
	}
	out.Rules, out.Date, out.Currency = job.Cutting, job.Date, job.Currency
	out.Layouts, out.SpreadOptions, out.Together, out.Short = nil, nil, nil, nil
	out.Notes = slices.Clone(rec.Notes)
	out.Search = nest.Search{Seed: s.Seed, Effort: s.Effort, Status: "nothing was left to lay"}
	s.Unweighed = true // what a part of the plies costs would tell nothing
	for _, l := range kept {
		l = copied(l)
		if l.CutOn == "" {
			l.CutOn = rec.Date
		}
		for k := range l.Layers {
			ly := &l.Layers[k]
			if ly.Roll == "" && len(racks[ly.Fabric].listed.Rolls) > 0 {
				ly.Roll = Unnamed
			}
		}
		out.Layouts = append(out.Layouts, l)
	}
	if len(missing.keys) > 0 {
		s.Lots = missing.lots(kept, s.Lots)
		fresh, err := plan.Lay(ctx, missing.job, s, progress)
		if err != nil {
			return nil, err
		}
		missing.take(&out, fresh, racks)
	}
	finish(&out, rec, job)
	return &out, plan.Accept(&out)
}

// agree says where the job contradicts what is cut.
func agree(rec *nest.Record, kept []nest.Layout, job *shapes.Job) error {
	if len(kept) == 0 {
		return nil
	}
	for _, r := range []struct {
		name     string
		was, now float64
	}{
		{"gap", rec.Rules.Gap, job.Cutting.Gap},
		{"end_allowance", rec.Rules.EndAllowance, job.Cutting.EndAllowance},
		{"angle_tolerance", rec.Rules.AngleTolerance, job.Cutting.AngleTolerance},
	} {
		if r.was != r.now {
			return fmt.Errorf("cutting.%s is %g in the job and was %g when the layouts that are kept were cut; lay the rest under the same rule", r.name, r.now, r.was)
		}
	}
	was, now := slices.Sorted(slices.Values(rec.Rules.KeepTogether)), slices.Sorted(slices.Values(job.Cutting.KeepTogether))
	if !slices.Equal(was, now) {
		return fmt.Errorf("cutting.keep_together names %s in the job and named %s when the layouts that are kept were cut; lay the rest under the same rule", names(now), names(was))
	}
	for i := range kept {
		for _, ly := range kept[i].Layers {
			if !slices.ContainsFunc(job.Fabrics, func(f *shapes.Fabric) bool { return f.Name == ly.Fabric }) {
				return fmt.Errorf("the job has no fabric %q, from which layout %s is cut", ly.Fabric, kept[i].ID)
			}
			f := rec.Fabric(ly.Fabric)
			if f == nil || rec.Date != "" || kept[i].CutOn != "" || job.Cutting.UseExpired {
				continue
			}
			if r := rollOf(f, ly.Roll); r != nil && r.ExpiredOn(job.Date) {
				return fmt.Errorf("layout %s is cut from roll %q, which expired on %s, and the run does not say on which day; say --use-expired where it was cut in time", kept[i].ID, r.Name, r.Expires)
			}
		}
	}
	return nil
}

func names(parts []string) string {
	if len(parts) == 0 {
		return "no part"
	}
	return strings.Join(parts, ", ")
}

// usedUp names fabrics of which pieces are missing and every roll is used up.
func usedUp(job *shapes.Job, racks map[string]*rack) error {
	var out shapes.Problems
	for _, p := range job.Parts {
		for _, ply := range p.Plies {
			if racks[ply.Fabric.Name].gone {
				out = append(out, shapes.Problem{Severity: shapes.Fault, File: job.File, Ply: p.Name + ", ply " + ply.Name,
					Message: fmt.Sprintf("every roll of fabric %q is used up", ply.Fabric.Name), Hint: "list another roll in the job"})
			}
		}
	}
	if len(out) > 0 {
		return &plan.CannotLay{Problems: out}
	}
	return nil
}

// lots are the lots that the kits of the rest must have, as its job names them:
// what they have in kept layouts, or what was settled for them.
func (m rest) lots(kept []nest.Layout, settled map[plan.Lot]string) map[plan.Lot]string {
	have := lotsOf(kept)
	fabric := map[[2]string]string{}
	for _, p := range m.job.Parts {
		for _, ply := range p.Plies {
			fabric[[2]string{p.Name, ply.Name}] = ply.Fabric.Name
		}
	}
	out := map[plan.Lot]string{}
	for k, key := range m.keys {
		f := fabric[[2]string{k.Part, k.Ply}]
		was := plan.Lot{Fabric: f, Part: key.Part, Unit: key.Unit}
		lot, ok := have[was]
		if !ok {
			lot, ok = settled[was]
		}
		if ok {
			out[plan.Lot{Fabric: f, Part: k.Part, Unit: k.Unit}] = lot
		}
	}
	return out
}

// take puts the layouts of the rest behind those that are kept.
func (m rest) take(out, fresh *nest.Record, racks map[string]*rack) {
	keys := m.takeDemand(out, fresh)
	for _, l := range fresh.Layouts {
		l = copied(l)
		for k := range l.Layers {
			ly := &l.Layers[k]
			a := racks[ly.Fabric].ahead[ly.Roll]
			ly.Roll, ly.RollFrom = a.roll, nest.Round(ly.RollFrom+a.from)
		}
		for i := range l.Placed {
			p := &l.Placed[i]
			key := keys[p.Key()]
			p.Part, p.Unit, p.Copy = key.Part, key.Unit, key.Copy
		}
		out.Layouts = append(out.Layouts, l)
	}
	lacks := map[[2]any]int{}
	for _, s := range fresh.Short {
		for _, miss := range s.Missing {
			key := keys[nest.Key{Part: s.Part, Unit: s.Unit, Ply: miss.Ply, Copy: miss.Copy}]
			kit := [2]any{key.Part, key.Unit}
			at, ok := lacks[kit]
			if !ok {
				at = len(out.Short)
				lacks[kit] = at
				out.Short = append(out.Short, nest.Short{Part: key.Part, Unit: key.Unit})
			}
			out.Short[at].Missing = append(out.Short[at].Missing, nest.Missing{Ply: miss.Ply, Copy: key.Copy, Fabric: miss.Fabric})
		}
	}
	out.Search = fresh.Search
	for _, n := range fresh.Notes {
		if !slices.Contains(out.Notes, n) {
			out.Notes = append(out.Notes, n)
		}
	}
}

// copied is a layout that may be changed without changing its source.
func copied(l nest.Layout) nest.Layout {
	l.Layers, l.Placed, l.Flaws = slices.Clone(l.Layers), slices.Clone(l.Placed), slices.Clone(l.Flaws)
	return l
}

// finish numbers the layouts and sets what depends on all of them: roll ends,
// bounds, and the length of layouts that nothing follows any more. was is the
// record before.
func finish(rec, was *nest.Record, job *shapes.Job) {
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		l.ID = fmt.Sprintf("L%d", i+1)
		l.RollEnd = 0
		if !followed(rec, l) {
			trim(l, rec.Rules.EndAllowance)
		}
	}
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		for k := range l.Layers {
			ly := &l.Layers[k]
			ly.RollEnd = 0
			ly.Skipped = passedOver(rec, ly)
			roll := rollOf(rec.Fabric(ly.Fabric), ly.Roll)
			if roll == nil || roll.Length == 0 || follows(rec, ly) {
				continue
			}
			rest := nest.Round(roll.Length - ly.RollFrom - l.Length)
			switch {
			case rest <= 0 || rest >= rec.Rules.MinRemnant:
			case len(l.Layers) == 1:
				l.RollEnd = rest
			default:
				ly.RollEnd = rest
			}
		}
	}
	rec.FabricBounds = bounds(rec, was, job)
}

// passedOver is what lies between a layer and the layout before it on its roll,
// or the roll's free end, where a flaw lies in it, mm.
func passedOver(rec *nest.Record, ly *nest.Layer) float64 {
	f := rec.Fabric(ly.Fabric)
	if f == nil || ly.Roll == "" {
		return 0
	}
	roll := rollOf(f, ly.Roll)
	end := 0.0
	for i := range rec.Layouts {
		l := &rec.Layouts[i]
		for k := range l.Layers {
			if o := &l.Layers[k]; o != ly && o.Fabric == ly.Fabric && o.Roll == ly.Roll && o.RollFrom < ly.RollFrom {
				end = math.Max(end, o.RollFrom+l.Length)
			}
		}
	}
	if roll == nil || !slices.ContainsFunc(roll.Flaws, func(w shapes.Span) bool {
		return math.Min(w.To, ly.RollFrom)-math.Max(w.From, end) > 1e-6
	}) {
		return 0
	}
	return nest.Round(ly.RollFrom - end)
}

// followed reports whether another layout begins on a roll of this one exactly
// where it ends.
func followed(rec *nest.Record, l *nest.Layout) bool {
	for _, ly := range l.Layers {
		for i := range rec.Layouts {
			for _, o := range rec.Layouts[i].Layers {
				if o.Fabric == ly.Fabric && o.Roll == ly.Roll && math.Abs(o.RollFrom-ly.RollFrom-l.Length) < 1e-5 {
					return true
				}
			}
		}
	}
	return false
}

// follows reports whether any layout lies further along a layer's roll.
func follows(rec *nest.Record, ly *nest.Layer) bool {
	for i := range rec.Layouts {
		for k := range rec.Layouts[i].Layers {
			o := &rec.Layouts[i].Layers[k]
			if o != ly && o.Fabric == ly.Fabric && o.Roll == ly.Roll && o.RollFrom > ly.RollFrom {
				return true
			}
		}
	}
	return false
}
