package relay

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/shapes"
)

// baseOf names the whole ply that a demanded piece is, or is a panel of.
func baseOf(d *nest.Demand) nest.Key {
	k := d.Key()
	if d.Panel != nil {
		k.Ply = d.Panel.Ply
	}
	return k
}

// dividedAnew lists the plies that may be divided as the job says, each with
// how: those of which nothing is cut, that the job allows to be divided, and
// that were whole or have a panel without room on the rolls that are left. A
// ply that was divided to save fabric stays as it is.
func dividedAnew(rec *nest.Record, cut map[nest.Key]bool, fabrics map[string]*shapes.Fabric, job *shapes.Job) map[nest.Key]*shapes.Split {
	splits := map[[2]string]*shapes.Split{}
	for _, p := range job.Parts {
		for _, ply := range p.Plies {
			if ply.Split != nil {
				splits[[2]string{p.Name, ply.Name}] = ply.Split
			}
		}
	}
	table := rec.ShapesByID()
	out := map[nest.Key]*shapes.Split{}
	settled := map[nest.Key]bool{}
	narrow := map[nest.Key]bool{}
	for i := range rec.Demand {
		d := &rec.Demand[i]
		base, f := baseOf(d), fabrics[d.Fabric]
		split := splits[[2]string{base.Part, base.Ply}]
		if cut[d.Key()] || split == nil || f == nil || table[d.Shape] == nil ||
			d.Panel != nil && (d.Panel.OnPurpose || table[d.Panel.Whole] == nil) {
			settled[base] = true
			continue
		}
		if d.Panel == nil || !demand.Fits(table[d.Shape].Cut, *d, f, room(job, f), job.Cutting.AngleTolerance) {
			narrow[base] = true
		}
		out[base] = split
	}
	for base := range out {
		if settled[base] || !narrow[base] {
			delete(out, base)
		}
	}
	for base, split := range out {
		own := *split
		own.Beside = beside(rec, base, out)
		out[base] = &own
	}
	return out
}

// beside are the seams that stay as they are of plies of the same outline laid
// just before or after a ply in its unit.
func beside(rec *nest.Record, of nest.Key, anew map[nest.Key]*shapes.Split) []shapes.Seams {
	var unit []*nest.Demand
	for i := range rec.Demand {
		if d := &rec.Demand[i]; d.Part == of.Part && d.Unit == of.Unit {
			unit = append(unit, d)
		}
	}
	slices.SortStableFunc(unit, func(a, b *nest.Demand) int { return cmp.Compare(a.Order, b.Order) })
	at := slices.IndexFunc(unit, func(d *nest.Demand) bool { return baseOf(d) == of })
	order := unit[at].Order
	before, after := 0, 0 // orders of the neighbours
	for _, d := range unit {
		if d.Order < order {
			before = d.Order
		} else if d.Order > order && after == 0 {
			after = d.Order
		}
	}
	var out []shapes.Seams
	for _, d := range unit {
		p := d.Panel
		if p == nil || p.Number != 1 || d.Order != before && d.Order != after || anew[baseOf(d)] != nil {
			continue
		}
		if s := (shapes.Seams{AxisDeg: p.AxisDeg, Along: p.Seams, Across: p.CrossSeams}); sameOutline(rec, unit[at], d) {
			out = append(out, s)
		}
	}
	return out
}

// sameOutline reports whether two plies are of one drawn outline.
func sameOutline(rec *nest.Record, a, b *nest.Demand) bool {
	table := rec.ShapesByID()
	s, t := table[a.Shape], table[b.Shape]
	return s != nil && t != nil && s.Name == t.Name && s.Source == t.Source
}

// takeDemand puts the plies that were free to be divided anew into the demand as
// the rest has them, and returns where each piece of the rest has gone.
func (m rest) takeDemand(out, fresh *nest.Record) map[nest.Key]nest.Key {
	keys := map[nest.Key]nest.Key{}
	for k, key := range m.keys {
		keys[k] = key
	}
	pieces := map[nest.Key][]nest.Demand{}
	for i := range fresh.Demand {
		d := fresh.Demand[i]
		base := m.keys[baseOf(&d)]
		if d.Panel != nil {
			keys[d.Key()] = nest.Key{Part: base.Part, Unit: base.Unit, Ply: d.Ply, Copy: base.Copy}
		}
		if m.free[base] {
			pieces[base] = append(pieces[base], d)
		}
	}
	table, old := fresh.ShapesByID(), out.ShapesByID()
	out.Shapes = slices.Clone(out.Shapes)
	ids := map[string]string{}
	id := func(of string) string {
		if ids[of] == "" {
			s := *table[of]
			for n := len(out.Shapes) + 1; ; n++ {
				if s.ID = fmt.Sprintf("S%d", n); !slices.ContainsFunc(out.Shapes, func(o nest.Shape) bool { return o.ID == s.ID }) {
					break
				}
			}
			ids[of] = s.ID
			out.Shapes = append(out.Shapes, s)
		}
		return ids[of]
	}
	var all []nest.Demand
	done := map[nest.Key]bool{}
	for i := range out.Demand {
		was := out.Demand[i]
		base := baseOf(&was)
		switch {
		case len(pieces[base]) == 0:
			all = append(all, was)
			continue
		case done[base]:
			continue
		}
		done[base] = true
		for _, d := range pieces[base] {
			d.Part, d.Unit, d.Copy = base.Part, base.Unit, base.Copy
			if d.Panel == nil && was.Panel == nil && reflect.DeepEqual(table[d.Shape].Cut, old[was.Shape].Cut) {
				d.Shape = was.Shape
			} else {
				d.Shape = id(d.Shape)
			}
			if d.Panel != nil {
				p := *d.Panel
				p.Whole = id(p.Whole)
				d.Panel = &p
			}
			all = append(all, d)
		}
	}
	out.Demand = all
	used := map[string]bool{}
	for i := range all {
		used[all[i].Shape] = true
		if p := all[i].Panel; p != nil {
			used[p.Whole] = true
		}
	}
	if len(pieces) > 0 { // panels that are no more
		out.Shapes = slices.DeleteFunc(out.Shapes, func(s nest.Shape) bool { return !used[s.ID] })
	}
	out.Divisions = append(slices.Clone(out.Divisions), m.divisions(fresh)...)
	return keys
}

// divisions are what dividing plies of the rest saves, in the record's names:
// units of one part, each a part of the rest, are put together.
func (m rest) divisions(fresh *nest.Record) []nest.Division {
	part := map[string]string{}
	for k, key := range m.keys {
		part[k.Part] = key.Part
	}
	var out []nest.Division
	for _, d := range fresh.Divisions {
		var plies []nest.DividedPly
		for _, p := range d.Plies {
			p.Part = part[p.Part]
			at := slices.IndexFunc(plies, func(o nest.DividedPly) bool { return o.Part == p.Part && o.Ply == p.Ply && o.Panels == p.Panels })
			if at < 0 {
				plies = append(plies, p)
				continue
			}
			plies[at].Pieces += p.Pieces
			plies[at].LapArea = nest.Round(plies[at].LapArea + p.LapArea)
		}
		d.Plies = plies
		out = append(out, d)
	}
	return out
}
