package plan

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"
	"time"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
)

// A planner lays one job.
type planner struct {
	*base
	job      *shapes.Job
	settings Settings
	order    []*shapes.Fabric // in the job's order
	stock    *stock           // before anything is cut
	lots     map[Lot]string
	started  time.Time
	trialEnd time.Time // of trials; zero where effort limits them
	// tried remembers what trials laid.
	tried map[string]trial
	cache pack.Cache // outlines as the packer prepares them
	// notes are remarks for the record.
	notes []string

	// divisions are the plies divided on purpose and what that saves.
	divisions []nest.Division

	progress func(Progress)
	mu       sync.Mutex // guards progress
}

// newPlanner readies a job; room is what the whole stock offers to each
// fabric.
func newPlanner(job *shapes.Job, s Settings, progress func(Progress)) *planner {
	p := &planner{job: job, settings: s, progress: progress, started: time.Now(), tried: map[string]trial{}}
	if s.Effort == 0 {
		p.trialEnd = p.started.Add(time.Duration(float64(s.Time) * trialShare))
	}
	p.base = &base{rules: &job.Cutting, fabrics: map[string]*shapes.Fabric{}}
	for _, f := range job.Fabrics {
		if s.IgnoreStock {
			f = withoutStock(f)
		}
		p.order = append(p.order, f)
		p.fabrics[f.Name] = f
	}
	p.stock = newStock(p.order)
	return p
}

// affords reports whether there is time for a trial that takes about so long.
func (p *planner) affords(ctx context.Context, cost time.Duration) bool {
	return ctx.Err() == nil && (p.trialEnd.IsZero() || time.Now().Add(cost).Before(p.trialEnd))
}

// withoutStock is a fabric as if delivered new: no named rolls.
func withoutStock(f *shapes.Fabric) *shapes.Fabric {
	c := *f
	c.Rolls = nil
	return &c
}

// demandOf sets what is to be laid.
func (p *planner) setDemand(pieces []nest.Demand, table []nest.Shape) {
	p.demand, p.table = pieces, table
	p.shapes = make(map[string]*nest.Shape, len(table))
	for i := range table {
		p.shapes[table[i].ID] = &table[i]
	}
}

// fullRoom is what all rolls and the table offer to single plies of a fabric.
func (p *planner) fullRoom(f *shapes.Fabric) *strip {
	return newStrip(p.stock, p.fabrics, []demand.Layer{{Fabric: f.Name}}, true, p.rules, 1)
}

// all lists every place in the demand.
func (p *planner) all() []int {
	out := make([]int, len(p.demand))
	for i := range out {
		out[i] = i
	}
	return out
}

// spreader finds what can be cut together.
func (p *planner) spreader() *demand.Spreader {
	return &demand.Spreader{
		Pieces: p.demand, Table: p.table, Fabrics: p.fabrics, Rules: p.rules, Lot: p.lot,
		Room: func(layers []demand.Layer) demand.Room {
			return newStrip(p.stock, p.fabrics, layers, false, p.rules, 1).room()
		},
	}
}

// misfits names the plies that can lie on no roll of their fabric.
func (p *planner) misfits() shapes.Problems {
	var out shapes.Problems
	for _, f := range p.order {
		var of []int
		for i, d := range p.demand {
			if d.Fabric == f.Name {
				of = append(of, i)
			}
		}
		if len(of) > 0 {
			out = append(out, p.misfitsOf(f, p.single(f, "", of).Stack)...)
		}
	}
	return out
}

func (p *planner) misfitsOf(f *shapes.Fabric, s demand.Stack) shapes.Problems {
	var out shapes.Problems
	if t := p.rules.Table; t != nil && t.Width > 0 && f.Width > t.Width {
		return append(out, shapes.Problem{Severity: shapes.Fault, File: p.job.File,
			Message: fmt.Sprintf("fabric %q is %s wide, the table %s", f.Name, millimetres(f.Width), millimetres(t.Width)),
			Hint:    "correct cutting.table.width or the fabric's width"})
	}
	room := p.fullRoom(f).room()
	if room.Length == 0 {
		return append(out, shapes.Problem{Severity: shapes.Fault, File: p.job.File,
			Message: fmt.Sprintf("fabric %q: no roll or table is longer than both end allowances (%s)",
				f.Name, millimetres(2*p.rules.EndAllowance)),
			Hint: "give a longer roll, or a smaller cutting.end_allowance"})
	}
	for _, k := range s.Kinds {
		es := demand.Extents(orbRing(p.shapes[k.Shape].Cut.Outline), k.Turns)
		across, along := demand.LeastAcross(es), demand.LeastAlong(es, room.Width)
		var message, hint string
		switch {
		case across > room.Width+demand.FitSlack:
			message = fmt.Sprintf("too wide for fabric %q: needs %s across the roll in the best allowed rotation, usable are %s",
				f.Name, millimetres(across), millimetres(room.Width))
			hint = "use a wider roll, allow another direction or more tolerance, allow a split, or draw the ply in panels"
		case along > room.Length+demand.FitSlack:
			message = fmt.Sprintf("too long for fabric %q: needs %s along the roll, the longest usable stretch is %s",
				f.Name, millimetres(along), millimetres(room.Length))
			hint = "use a longer roll or table, allow a split, or draw the ply in panels"
		default:
			continue
		}
		out = append(out, p.perPly(k, message, hint)...)
	}
	return out
}

// perPly words one problem for every ply of a kind, each named once.
func (p *planner) perPly(k demand.CutKind, message, hint string) shapes.Problems {
	type name struct{ part, ply string }
	var out shapes.Problems
	seen := map[name]bool{}
	for _, c := range k.Cuts {
		d := p.demand[c[0]]
		n := name{d.Part, d.Ply}
		if seen[n] {
			continue
		}
		seen[n] = true
		pr := shapes.Problem{Severity: shapes.Fault, File: p.job.File,
			Ply: fmt.Sprintf("%s, ply %s", d.Part, d.Ply), Message: message, Hint: hint}
		for _, part := range p.job.Parts {
			for _, ply := range part.Plies {
				if part.Name == d.Part && ply.Name == d.Ply {
					pr.File, pr.Line = ply.File, ply.Line
				}
			}
		}
		out = append(out, pr)
	}
	return out
}

func (p *planner) report(w *work, i, of int, length float64) {
	if p.progress == nil || length <= 0 {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	drawn := 0.0
	for _, f := range w.strip.fabrics {
		drawn += f.Width
	}
	pr := Progress{
		Fabric: w.name(), Index: i, Of: of,
		Length: length, Bound: math.Min(length, w.least()+2*w.rules.EndAllowance),
		Yield: float64(len(w.stack.Layers)) * w.area / (length * drawn),
	}
	if p.settings.Effort == 0 {
		pr.Share = min(1, float64(time.Since(p.started))/float64(p.settings.Time))
	} else {
		pr.Share = float64(i) / float64(of)
	}
	p.progress(pr)
}

// spreadNames words the groups of spreads for notes.
func (p *planner) spreadNames() string {
	var groups []string
	for _, g := range p.rules.Spreads {
		groups = append(groups, strings.Join(g, " with "))
	}
	return strings.Join(groups, "; ")
}
