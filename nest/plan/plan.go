package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// trialShare is the share of the time that may go into choosing rolls and
// spreads before the search proper.
const trialShare = 0.35

// Lay plans the whole job. It returns the best plan found, also when the
// context ends early, and only a plan that passes the verifier and whose books
// balance. A job that cannot be laid gives *CannotLay; a plan that fails its
// check gives *Wrong. With Settings.AllowShort a job that the stock cannot
// hold gives a plan of what it can, whose Short names the rest. The progress
// function may be nil; it is called from one goroutine at a time.
//
// Where the job keeps kits together, it is laid a second time without that, with
// equal effort, unless Settings.Unweighed; the record's Together sets both side
// by side.
func Lay(ctx context.Context, job *shapes.Job, s Settings, progress func(Progress)) (*nest.Record, error) {
	if len(job.Cutting.KeepTogether) > 0 && !s.Unweighed {
		return layTogether(ctx, job, s, progress)
	}
	return layOne(ctx, job, s, progress)
}

// layOne lays a job once.
func layOne(ctx context.Context, job *shapes.Job, s Settings, progress func(Progress)) (*nest.Record, error) {
	if s.Time <= 0 {
		s.Time = DefaultTime
	}
	p := newPlanner(job, s, progress)
	problems := p.expand(nil)
	if err := problems.Err(); err != nil {
		return nil, &CannotLay{Problems: problems.Faults()}
	}
	for _, pr := range problems {
		p.notes = append(p.notes, pr.Error())
	}
	if faults := p.misfits(); len(faults) > 0 {
		return nil, &CannotLay{Problems: faults}
	}
	if err := p.divide(ctx); err != nil {
		return nil, err
	}
	rec, err := p.plan(ctx)
	if err != nil {
		return nil, err
	}
	if err := Accept(rec); err != nil {
		return nil, err
	}
	return rec, nil
}

// plan chooses lots, rolls and spreads by short trials, then searches with
// what is chosen.
func (p *planner) plan(ctx context.Context) (*nest.Record, error) {
	until := p.started.Add(p.settings.Time)
	if err := p.chooseLots(ctx); err != nil {
		return nil, err
	}
	scope := p.all()
	base, err := p.lay(ctx, scheme{rest: scope}, budget{trial: true})
	if err != nil {
		return nil, err
	}
	if err := p.chooseRolls(ctx, base); err != nil {
		return nil, err
	}
	options, at, err := p.options(ctx, scope)
	if err != nil {
		return nil, err
	}
	var missing []int
	if len(options[0].missing) > 0 {
		if !p.settings.AllowShort {
			return nil, &CannotLay{Problems: p.shortage(options[0].missing)}
		}
		if scope, err = p.whatFits(ctx); err != nil {
			return nil, err
		}
		for _, i := range p.all() {
			if !slices.Contains(scope, i) {
				missing = append(missing, i)
			}
		}
		if len(scope) == 0 {
			return nil, &CannotLay{Problems: p.shortage(missing)}
		}
		if options, at, err = p.options(ctx, scope); err != nil {
			return nil, err
		}
	}
	chosen := options[at]
	d, err := p.lay(ctx, chosen.scheme, budget{effort: p.settings.Effort, until: until})
	if err != nil {
		return nil, err
	}
	if chosen.layouts != nil && (len(d.missing) > 0 || len(chosen.missing) == 0 && p.drawn(chosen.layouts) < p.drawn(d.layouts)-1) {
		d.layouts, d.pieces, d.missing = chosen.layouts, chosen.pieces, chosen.missing
	}
	if len(d.missing) > 0 {
		// The search may have filled a roll that something else needs.
		first, err := p.lay(ctx, chosen.scheme, budget{trial: true})
		if err != nil {
			return nil, err
		}
		if len(first.missing) > 0 {
			return nil, &CannotLay{Problems: p.shortage(d.missing)}
		}
		d.layouts, d.pieces, d.missing = first.layouts, first.pieces, nil
	}
	d.bound(p.rules)
	rec := p.newRecord()
	rec.Layouts = append(rec.Layouts, d.layouts...)
	for i := range rec.Layouts {
		rec.Layouts[i].ID = fmt.Sprintf("L%d", i+1)
	}
	tradeHands(rec) // before kits change owners, and of what they then have
	assign(rec)
	tradeHands(rec)
	rec.FabricBounds = p.fabricBounds(rec.Layouts)
	rec.SpreadOptions = p.spreadTable(options, rec.Layouts)
	rec.Short = p.shortKits(missing)
	rec.Search.Status = p.status(ctx, d)
	return rec, nil
}

// Accept is the last word on a record before it is written: the verifier's and
// the books'. Its error is a *Wrong where a rule is broken or the books are off by
// more than 1 mm².
func Accept(rec *nest.Record) error {
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

// newRecord is the record without its layouts.
func (p *planner) newRecord() *nest.Record {
	job := p.job
	rec := &nest.Record{
		Format: nest.Format, Units: "mm",
		Job: job.Name, Revision: job.Revision, Currency: job.Currency, Date: job.Date,
		Rules: job.Cutting, Laminating: job.Laminating,
		Shapes: p.table, Demand: p.demand,
		Layouts: []nest.Layout{}, FabricBounds: []nest.FabricBound{}, Divisions: p.divisions,
		Search: nest.Search{Seed: p.settings.Seed, Effort: p.settings.Effort},
		Notes:  append(slices.Clone(job.Notes), p.notes...),
	}
	for _, f := range p.order {
		rec.Fabrics = append(rec.Fabrics, *f)
	}
	for _, part := range job.Parts {
		revision := part.Revision
		if revision == "" {
			revision = job.Revision
		}
		rec.Parts = append(rec.Parts, nest.Part{Part: part.Name, Units: part.Units, Revision: revision, Stops: part.Stops})
	}
	if p.rules.SpreadPolicy == shapes.SpreadNone && p.rules.Layers > 1 && len(p.rules.Spreads) > 0 {
		rec.Notes = append(rec.Notes, fmt.Sprintf(
			"the job allows spreads (%s) and asks for none: this plan cuts every fabric single", p.spreadNames()))
	}
	return rec
}

// status words why the search ended, for the record and the report.
func (p *planner) status(ctx context.Context, d *draft) string {
	switch {
	case errors.Is(ctx.Err(), context.Canceled):
		return "stopped early; the best layouts found so far were kept"
	case d.optimal:
		return "every length reached its bound"
	case p.settings.Effort > 0 && !d.early:
		return "effort spent"
	}
	return "time spent"
}
