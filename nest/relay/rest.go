package relay

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// A rest is the job of the missing pieces.
type rest struct {
	job *shapes.Job
	// keys leads from a piece of that job to the piece of the record.
	keys map[nest.Key]nest.Key
	// free are the plies that may be divided anew, each named as a whole.
	free map[nest.Key]bool
}

// restOf makes a job of those demanded pieces that no kept layout holds. Units
// may lack different pieces, so each unit is a part of its own there. A piece is
// listed in the shape that is cut, with no trim to add and no leave to divide
// it: a shape that is half cut must not change. But a ply of which nothing is
// cut may be divided as the job says, where it was whole, and where one of its
// panels no longer fits the rolls.
func restOf(rec *nest.Record, kept []nest.Layout, fabrics []*shapes.Fabric, job *shapes.Job) (rest, error) {
	cut := map[nest.Key]bool{}
	for i := range kept {
		for j := range kept[i].Placed {
			cut[kept[i].Placed[j].Key()] = true
		}
	}
	out := rest{keys: map[nest.Key]nest.Key{}, free: map[nest.Key]bool{}}
	out.job = &shapes.Job{Name: rec.Job, Revision: rec.Revision, Date: job.Date, Currency: job.Currency,
		Fabrics: fabrics, Cutting: job.Cutting, File: job.File}
	out.job.Cutting.KeepTogether = nil
	byName := map[string]*shapes.Fabric{}
	for _, f := range fabrics {
		byName[f.Name] = f
	}
	table := rec.ShapesByID()
	again := dividedAnew(rec, cut, byName, job)
	outlines := map[string]*shapes.Outline{}
	lines := map[lineKey]*line{}
	var order []lineKey
	for i := range rec.Demand {
		d := &rec.Demand[i]
		if cut[d.Key()] {
			continue
		}
		f, s := byName[d.Fabric], table[d.Shape]
		if f == nil || s == nil {
			return out, fmt.Errorf("%s: the job has no fabric %q, or the record no shape %q", d.Key(), d.Fabric, d.Shape)
		}
		base := baseOf(d)
		split := again[base]
		key, name, outline := d.Key(), d.Ply, d.Shape
		if split != nil {
			if out.free[base] {
				continue // a panel of a ply that is listed whole
			}
			out.free[base] = true
			if d.Panel != nil {
				s = table[d.Panel.Whole]
			}
			key, name, outline = base, base.Ply, "net "+s.ID
		}
		if outlines[outline] == nil {
			outlines[outline] = outlineOf(s, split != nil)
		}
		k := lineKey{d.Part, d.Unit, name}
		l := lines[k]
		if l == nil {
			l = &line{ply: &shapes.Ply{Order: d.Order, Name: name, Outline: outlines[outline], Fabric: f, Split: split,
				Direction: d.DirectionDeg, Tolerance: d.ToleranceDeg, Bag: d.Bag, Note: d.Note, File: job.File}}
			if split != nil {
				l.ply.Trim = s.Trim
			}
			lines[k] = l
			order = append(order, k)
		}
		if d.OppositeHand {
			l.opposite = append(l.opposite, key)
		} else {
			l.first = append(l.first, key)
		}
	}
	parts := map[string]*shapes.Part{}
	for _, k := range order {
		l, title := lines[k], unitName(rec, k.part, k.unit)
		// The last copies are the opposite ones.
		l.ply.Count, l.ply.OppositeHand = len(l.first)+len(l.opposite), len(l.opposite)
		for n, key := range append(slices.Clone(l.first), l.opposite...) {
			out.keys[nest.Key{Part: title, Unit: 1, Ply: k.ply, Copy: n + 1}] = key
		}
		if parts[title] == nil {
			parts[title] = &shapes.Part{Name: title, Units: 1}
			out.job.Parts = append(out.job.Parts, parts[title])
			if job.Cutting.Keeps(k.part) {
				out.job.Cutting.KeepTogether = append(out.job.Cutting.KeepTogether, title)
			}
		}
		parts[title].Plies = append(parts[title].Plies, l.ply)
	}
	return out, nil
}

type lineKey struct {
	part string
	unit int
	ply  string
}

// A line is one line of the rest's lay-up and the pieces it stands for.
type line struct {
	ply             *shapes.Ply
	first, opposite []nest.Key
}

// unitName names one unit of a part as a part, unlike any part of the record.
func unitName(rec *nest.Record, part string, unit int) string {
	name := fmt.Sprintf("%s, unit %d", part, unit)
	for slices.ContainsFunc(rec.Parts, func(p nest.Part) bool { return strings.HasPrefix(p.Part, name) }) {
		name += "."
	}
	return name
}

// outlineOf is a shape as it is cut, or net, as an outline.
func outlineOf(s *nest.Shape, net bool) *shapes.Outline {
	p := s.Cut
	if net {
		p = s.Net
	}
	o := &shapes.Outline{Name: s.Name, Exterior: toOrb(p.Outline), Marks: s.Marks, Source: s.Source}
	for _, h := range p.Holes {
		o.Holes = append(o.Holes, toOrb(h))
	}
	return o
}

func toOrb(r nest.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = orb.Point(p)
	}
	return out
}
