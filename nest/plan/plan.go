package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/demand"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// Lay plans the whole job. It returns the best plan found, also when the
// context ends early, and only a plan that passes the verifier and whose books
// balance. A job that cannot be laid gives *CannotLay; a plan that fails its
// check gives *Wrong. The progress function may be nil; it is called from one
// goroutine at a time.
func Lay(ctx context.Context, job *shapes.Job, s Settings, progress func(Progress)) (*nest.Record, error) {
	if s.Time <= 0 {
		s.Time = DefaultTime
	}
	stock := func(f *shapes.Fabric) *shapes.Fabric {
		if s.IgnoreStock {
			return withoutStock(f)
		}
		return f
	}
	pieces, table, problems := demand.Expand(job, func(f *shapes.Fabric) demand.Room {
		strip := newStrip(stock(f), &job.Cutting, 1)
		return demand.Room{Width: strip.width, Length: strip.longest(), Gap: job.Cutting.Gap}
	})
	if err := problems.Err(); err != nil {
		return nil, &CannotLay{Problems: problems.Faults()}
	}
	rec := newRecord(job, pieces, table, s)
	for _, p := range problems {
		rec.Notes = append(rec.Notes, p.Error())
	}
	var work []*fabricWork
	for _, f := range job.Fabrics {
		f = stock(f)
		if w := newFabricWork(rec, f); w != nil {
			work = append(work, w)
			problems = append(problems, w.misfits(job)...)
		}
	}
	if err := problems.Err(); err != nil {
		return nil, &CannotLay{Problems: problems.Faults()}
	}
	sr := &searcher{settings: s, progress: progress, started: time.Now(), work: work}
	early, err := sr.run(ctx)
	if err != nil {
		return nil, err
	}
	var short shapes.Problems
	for _, w := range work {
		short = append(short, w.missing()...)
	}
	if len(short) > 0 {
		return nil, &CannotLay{Problems: short}
	}
	for _, w := range work {
		w.write(rec)
	}
	rec.Search.Status = sr.status(ctx, early)
	if err := accept(rec); err != nil {
		return nil, err
	}
	return rec, nil
}

// accept is the last word on a plan: the verifier's and the books'.
func accept(rec *nest.Record) error {
	var findings []string
	for _, v := range verify.Check(rec) {
		findings = append(findings, v.String())
	}
	if len(findings) == 0 {
		led, err := account.Measure(rec)
		if err != nil {
			return err
		}
		for _, l := range led.Layers {
			if off := l.Books.Imbalance(); math.Abs(off) > 1 {
				findings = append(findings, fmt.Sprintf("layout %s: the books are off by %.2f mm²", l.Layout.ID, off))
			}
		}
	}
	if len(findings) > 0 {
		return &Wrong{Findings: findings}
	}
	return nil
}

func newRecord(job *shapes.Job, pieces []nest.Demand, table []nest.Shape, s Settings) *nest.Record {
	rec := &nest.Record{
		Format: nest.Format, Units: "mm",
		Job: job.Name, Revision: job.Revision, Currency: job.Currency,
		Rules: job.Cutting, Laminating: job.Laminating,
		Shapes: table, Demand: pieces,
		Layouts: []nest.Layout{}, FabricBounds: []nest.FabricBound{},
		Search: nest.Search{Seed: s.Seed, Effort: s.Effort},
		Notes:  slices.Clone(job.Notes),
	}
	for _, f := range job.Fabrics {
		if s.IgnoreStock {
			f = withoutStock(f)
		}
		rec.Fabrics = append(rec.Fabrics, *f)
	}
	for _, p := range job.Parts {
		revision := p.Revision
		if revision == "" {
			revision = job.Revision
		}
		rec.Parts = append(rec.Parts, nest.Part{Part: p.Name, Units: p.Units, Revision: revision})
	}
	if len(job.Cutting.Spreads) > 0 && job.Cutting.Layers > 1 {
		var groups []string
		for _, g := range job.Cutting.Spreads {
			groups = append(groups, strings.Join(g, " with "))
		}
		rec.Notes = append(rec.Notes, fmt.Sprintf(
			"the job allows spreads (%s); this plan cuts every fabric single", strings.Join(groups, "; ")))
	}
	return rec
}

// withoutStock is a fabric as if delivered new: no named rolls.
func withoutStock(f *shapes.Fabric) *shapes.Fabric {
	c := *f
	c.Rolls = nil
	return &c
}

// status words why the search ended, for the record and the report.
func (sr *searcher) status(ctx context.Context, early bool) string {
	switch {
	case errors.Is(ctx.Err(), context.Canceled):
		return "stopped early; the best layouts found so far were kept"
	case sr.settings.Effort > 0 && !early:
		return "effort spent"
	case early:
		return "time spent"
	}
	return "every length reached its bound"
}
