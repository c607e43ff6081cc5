package plan

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/nest/pack"
	"plyroom/shapes"
)

// fabricWork is everything of the job that is cut from one fabric.
type fabricWork struct {
	fabric *shapes.Fabric
	rules  *shapes.Cutting
	demand []nest.Demand
	shapes map[string]*nest.Shape
	kinds  []demand.Kind
	pieces int
	area   float64 // of all plies as cut, mm²
	strip  *strip
	tables int
	best   *pack.Result
	bound  float64 // of the strip, mm, as the packer proved it
}

// newFabricWork returns nil where the job cuts nothing from the fabric.
func newFabricWork(rec *nest.Record, f *shapes.Fabric) *fabricWork {
	w := &fabricWork{
		fabric: f, rules: &rec.Rules, demand: rec.Demand, shapes: rec.ShapesByID(),
		kinds: demand.Kinds(rec.Demand, f, rec.Rules.AngleTolerance),
	}
	for _, k := range w.kinds {
		w.pieces += len(k.Pieces)
		w.area += float64(len(k.Pieces)) * polygonArea(w.shapes[k.Shape].Cut)
	}
	if w.pieces == 0 {
		return nil
	}
	w.tables = 4
	w.strip = newStrip(f, w.rules, w.tables)
	if t := w.rules.Table; t != nil && t.Kind == shapes.StaticTable && w.strip.width > 0 && w.strip.longest() > 0 {
		// Half as much again as the area needs, and two more; grown where that
		// turns out too few.
		w.tables = int(1.5*w.area/(w.strip.width*w.strip.longest())) + 2
		w.strip = newStrip(f, w.rules, w.tables)
	}
	return w
}

// misfits names the plies that can lie on no roll of the fabric.
func (w *fabricWork) misfits(job *shapes.Job) shapes.Problems {
	var out shapes.Problems
	f := w.fabric
	if t := w.rules.Table; t != nil && t.Width > 0 && f.Width > t.Width {
		out = append(out, shapes.Problem{Severity: shapes.Fault, File: job.File,
			Message: fmt.Sprintf("fabric %q is %s wide, the table %s", f.Name, millimetres(f.Width), millimetres(t.Width)),
			Hint:    "correct cutting.table.width or the fabric's width"})
		return out
	}
	if _, mixed := f.FaceDown(); mixed {
		out = append(out, shapes.Problem{Severity: shapes.Fault, File: job.File,
			Message: fmt.Sprintf("fabric %q: some rolls unroll face up and some face down", f.Name),
			Hint:    "list them as two fabrics, so that each ply is cut from the right side"})
		return out
	}
	longest := w.strip.longest()
	if longest == 0 {
		out = append(out, shapes.Problem{Severity: shapes.Fault, File: job.File,
			Message: fmt.Sprintf("fabric %q: no roll or table is longer than both end allowances (%s)",
				f.Name, millimetres(2*w.rules.EndAllowance)),
			Hint: "give a longer roll, or a smaller cutting.end_allowance"})
		return out
	}
	for _, k := range w.kinds {
		es := demand.Extents(orbRing(w.shapes[k.Shape].Cut.Outline), k.Turns)
		across, along := demand.LeastAcross(es), demand.LeastAlong(es, w.strip.width)
		var message, hint string
		switch {
		case across > w.strip.width+demand.FitSlack:
			message = fmt.Sprintf("too wide for fabric %q: needs %s across the roll in the best allowed rotation, usable are %s",
				f.Name, millimetres(across), millimetres(w.strip.width))
			hint = "use a wider roll, allow another direction or more tolerance, allow a split, or draw the ply in panels"
		case along > longest+demand.FitSlack:
			message = fmt.Sprintf("too long for fabric %q: needs %s along the roll, the longest usable stretch is %s",
				f.Name, millimetres(along), millimetres(longest))
			hint = "use a longer roll or table, allow a split, or draw the ply in panels"
		default:
			continue
		}
		out = append(out, w.perPly(job, k, message, hint)...)
	}
	return out
}

// perPly words one problem for every ply of a kind, each named once.
func (w *fabricWork) perPly(job *shapes.Job, k demand.Kind, message, hint string) shapes.Problems {
	type name struct{ part, ply string }
	var out shapes.Problems
	seen := map[name]bool{}
	for _, i := range k.Pieces {
		d := w.demand[i]
		n := name{d.Part, d.Ply}
		if seen[n] {
			continue
		}
		seen[n] = true
		p := shapes.Problem{Severity: shapes.Fault, File: job.File,
			Ply: fmt.Sprintf("%s, ply %s", d.Part, d.Ply), Message: message, Hint: hint}
		for _, part := range job.Parts {
			for _, ply := range part.Plies {
				if part.Name == d.Part && ply.Name == d.Ply {
					p.File, p.Line = ply.File, ply.Line
				}
			}
		}
		out = append(out, p)
	}
	return out
}

// problem is what the packer is asked.
func (w *fabricWork) problem() *pack.Problem {
	p := &pack.Problem{Width: w.strip.width, Gap: w.rules.Gap, Obstacles: w.strip.obstacles}
	if !math.IsInf(w.strip.end, 1) {
		p.MaxLength = w.strip.end
	}
	for _, k := range w.kinds {
		p.Pieces = append(p.Pieces, piece(w.shapes[k.Shape], k, len(k.Pieces)))
	}
	return p
}

// piece words a kind for the packer.
func piece(s *nest.Shape, k demand.Kind, count int) pack.Piece {
	pc := pack.Piece{Exterior: orbRing(s.Cut.Outline), Count: count}
	for _, h := range s.Cut.Holes {
		pc.Holes = append(pc.Holes, orbRing(h))
	}
	for _, t := range k.Turns {
		o := pack.Orientation{Mirrored: t.Mirrored, From: t.Rotation - t.Slack, To: t.Rotation + t.Slack}
		if t.Any {
			o.From, o.To = 0, 360
		}
		pc.Orientations = append(pc.Orientations, o)
	}
	return pc
}

// missing names what found no room on the rolls there are.
func (w *fabricWork) missing() shapes.Problems {
	if w.best == nil || len(w.best.Unplaced) == 0 {
		return nil
	}
	var out shapes.Problems
	area := 0.0
	for _, u := range w.best.Unplaced {
		k := w.kinds[u.Piece]
		area += float64(u.Count) * polygonArea(w.shapes[k.Shape].Cut)
		counts := map[string]int{}
		var order []string
		for _, i := range k.Pieces[len(k.Pieces)-u.Count:] {
			n := fmt.Sprintf("%s, ply %s", w.demand[i].Part, w.demand[i].Ply)
			if counts[n] == 0 {
				order = append(order, n)
			}
			counts[n]++
		}
		for _, n := range order {
			out = append(out, shapes.Problem{Severity: shapes.Fault, Ply: n,
				Message: fmt.Sprintf("no room for %d of it on the rolls of fabric %q", counts[n], w.fabric.Name)})
		}
	}
	out = append(out, shapes.Problem{Severity: shapes.Fault,
		Message: fmt.Sprintf("fabric %q is short by at least %.1f m", w.fabric.Name, area/w.strip.width/1e3),
		Hint:    "add a roll, or order fewer units; plyroom buy says how much the job needs"})
	return out
}

func polygonArea(p nest.Polygon) float64 {
	a := ringArea(p.Outline)
	for _, h := range p.Holes {
		a -= ringArea(h)
	}
	return a
}

func orbRing(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
