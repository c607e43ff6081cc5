package plan

import (
	"context"
	"errors"
	"slices"
	"time"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

// Kits that are kept together are laid each for itself, one behind the other on
// the same fabric, and their plies share a cut with plies of the same kit only.
// So each has a stretch of every layout to itself, and takes no more layouts
// than if it were laid alone: join only ever puts whole layouts together.

// group is the kit that a piece is laid with; the zero key stands for all that
// need not be kept together.
func (p *planner) group(piece int) kitKey {
	if d := &p.demand[piece]; p.rules.Keeps(d.Part) {
		return kitKey{d.Part, d.Unit}
	}
	return kitKey{}
}

// groups parts pieces by group: the kits that are kept together in the order of
// the demand, then the rest.
func (p *planner) groups(of []int) [][]int {
	if len(p.rules.KeepTogether) == 0 {
		return [][]int{of}
	}
	at := map[kitKey]int{}
	var out [][]int
	var rest []int
	for _, i := range sorted(of) {
		g := p.group(i)
		if g == (kitKey{}) {
			rest = append(rest, i)
			continue
		}
		n, ok := at[g]
		if !ok {
			n = len(out)
			at[g] = n
			out = append(out, nil)
		}
		out[n] = append(out[n], i)
	}
	if len(rest) > 0 {
		out = append(out, rest)
	}
	return out
}

func sorted(of []int) []int {
	out := slices.Clone(of)
	slices.Sort(out)
	return out
}

// spread finds what can be cut together, group by group. Stacks of the same
// layers come one after the other, so that they can be joined.
func (p *planner) spread(s *demand.Spreader, of []int, c demand.Choice) (stacks []demand.Stack, rest []int) {
	groups := p.groups(of)
	first := map[string]int{}
	for _, g := range groups {
		some, left := s.Spread(g, c)
		stacks, rest = append(stacks, some...), append(rest, left...)
	}
	if len(groups) < 2 {
		return stacks, rest
	}
	for i := range stacks {
		key := layersKey(stacks[i].Layers)
		if _, ok := first[key]; !ok {
			first[key] = i
		}
	}
	slices.SortStableFunc(stacks, func(a, b demand.Stack) int {
		return first[layersKey(a.Layers)] - first[layersKey(b.Layers)]
	})
	return stacks, rest
}

// layTogether lays a job that keeps kits together, and then, with the same
// settings, one that need not, to tell what it costs. The time is shared
// between the two. Nothing is compared where the search was stopped or stock
// ran short: the two plans would not be of equal effort, or of equal plies.
func layTogether(ctx context.Context, job *shapes.Job, s Settings, progress func(Progress)) (*nest.Record, error) {
	if s.Time <= 0 {
		s.Time = DefaultTime
	}
	if s.Effort == 0 {
		s.Time /= 2
	}
	rec, err := layOne(ctx, job, s, shareOf(progress, 0))
	var no *CannotLay
	if errors.As(err, &no) {
		no.Problems = append(no.Problems, shapes.Problem{Severity: shapes.Doubt, File: job.File,
			Message: "kits that are kept together take more fabric", Hint: "without cutting.keep_together the job may find room"})
	}
	if err != nil || ctx.Err() != nil || len(rec.Short) > 0 {
		return rec, err
	}
	free := *job
	free.Cutting.KeepTogether = nil
	other, err := layOne(ctx, &free, s, shareOf(progress, 0.5))
	if err != nil || ctx.Err() != nil {
		rec.Notes = append(rec.Notes, "what keeping kits together costs is not known: the plan without it was not finished")
		return rec, nil
	}
	rec.Together = &nest.Together{Kept: keptFigures(job, rec), Free: keptFigures(job, other)}
	return rec, nil
}

// shareOf tells the progress of one half of the work.
func shareOf(progress func(Progress), from float64) func(Progress) {
	if progress == nil {
		return nil
	}
	return func(p Progress) {
		p.Share = from + p.Share/2
		progress(p)
	}
}

// keptFigures measures a plan.
func keptFigures(job *shapes.Job, rec *nest.Record) nest.KeptFigures {
	p := newPlanner(job, Settings{Time: time.Minute}, nil)
	p.setDemand(rec.Demand, rec.Shapes)
	o := p.figures("", rec.Layouts)
	w := kit.WalkOf(rec)
	return nest.KeptFigures{Layouts: o.Layouts, Fabrics: o.Fabrics, Length: o.Length, Drawn: o.Drawn,
		FabricCost: o.FabricCost, Priced: o.Priced, Minutes: o.Minutes,
		Visits: w.Visits, Walk: nest.Round(w.Metres * 1000)}
}
