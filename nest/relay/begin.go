package relay

import (
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/plan"
	"plyroom/shapes"
)

// Begin is the record of a job of which nothing is cut: its demand, shapes and
// rules, without layouts. Plies are divided as the widest and longest roll of
// their fabric asks for.
func Begin(job *shapes.Job) (*nest.Record, error) {
	pieces, table, problems := demand.Expand(job, func(f *shapes.Fabric) demand.Room { return room(job, f) })
	if err := problems.Err(); err != nil {
		return nil, &plan.CannotLay{Problems: problems.Faults()}
	}
	rec := &nest.Record{
		Format: nest.Format, Units: "mm",
		Job: job.Name, Revision: job.Revision, Currency: job.Currency, Date: job.Date,
		Rules: job.Cutting, Laminating: job.Laminating,
		Shapes: table, Demand: pieces,
		Layouts: []nest.Layout{}, FabricBounds: []nest.FabricBound{},
		Notes: slices.Clone(job.Notes),
	}
	for _, p := range problems {
		rec.Notes = append(rec.Notes, p.Error())
	}
	for _, f := range job.Fabrics {
		rec.Fabrics = append(rec.Fabrics, *f)
	}
	for _, p := range job.Parts {
		revision := p.Revision
		if revision == "" {
			revision = job.Revision
		}
		rec.Parts = append(rec.Parts, nest.Part{Part: p.Name, Units: p.Units, Revision: revision, Stops: p.Stops})
	}
	return rec, nil
}

// room is what rolls and table offer to plies of a fabric.
func room(job *shapes.Job, f *shapes.Fabric) demand.Room {
	width, length := 0.0, 0.0
	if len(f.Rolls) == 0 {
		width, length = f.Width, math.Inf(1)
	}
	for _, r := range f.Rolls {
		width = math.Max(width, widthOf(f, r))
		if r.Length == 0 {
			length = math.Inf(1)
		}
		length = math.Max(length, r.Length)
	}
	if t := job.Cutting.Table; t != nil && t.Kind == shapes.StaticTable && t.Length > 0 {
		length = math.Min(length, t.Length)
	}
	return demand.Room{Width: width - 2*f.Selvedge, Length: length - 2*job.Cutting.EndAllowance, Gap: job.Cutting.Gap}
}

// AddRolls lists rolls of a fabric in a record, such as remnants that pieces
// are cut from.
func AddRolls(rec *nest.Record, fabric string, rolls ...shapes.Roll) {
	f := rec.Fabric(fabric)
	if f == nil {
		return
	}
	f.Rolls = append(slices.Clone(f.Rolls), rolls...)
}
