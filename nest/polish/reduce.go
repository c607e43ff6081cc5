package polish

import (
	"github.com/paulmach/orb"
)

// reducer drops the relations of one pair of bodies that others imply. They
// bound the relative position to a convex region: it is clipped out of the box
// within reach, and only relations that own an edge of it are needed.
type reducer struct {
	corner, clipped []corner
	keep            []bool
	needed          []relation
}

// corner is a vertex of the region and the owner of the edge that starts there:
// a relation, or -1 for the box.
type corner struct {
	at    orb.Point
	owner int
}

// reduce returns the needed relations; all of them must hold at r, up to tol.
func (d *reducer) reduce(all []relation, r orb.Point, reach, tol float64) []relation {
	if len(all) < 2 {
		return all
	}
	d.corner = append(d.corner[:0],
		corner{orb.Point{-reach, -reach}, -1}, corner{orb.Point{reach, -reach}, -1},
		corner{orb.Point{reach, reach}, -1}, corner{orb.Point{-reach, reach}, -1})
	for k := range all {
		d.clip(k, all[k].normal, all[k].least-dot(all[k].normal, r))
		if len(d.corner) < 3 {
			// A region without area, as between the cheeks of a tight slot:
			// rounding could drop the wrong one.
			return distinct(all)
		}
	}
	d.keep = d.keep[:0]
	for range all {
		d.keep = append(d.keep, false)
	}
	for _, c := range d.corner {
		if c.owner >= 0 {
			d.keep[c.owner] = true
		}
	}
	d.needed = d.needed[:0]
	for k, rel := range all {
		if !d.keep[k] {
			// Every corner must satisfy what is dropped.
			least := rel.least - dot(rel.normal, r)
			for _, c := range d.corner {
				if dot(rel.normal, c.at) < least-tol {
					return distinct(all)
				}
			}
			continue
		}
		d.needed = append(d.needed, rel)
	}
	return d.needed
}

// clip cuts the region down to normal·x >= least.
func (d *reducer) clip(owner int, normal orb.Point, least float64) {
	d.clipped = d.clipped[:0]
	n := len(d.corner)
	for k, a := range d.corner {
		b := d.corner[(k+1)%n]
		ha, hb := dot(normal, a.at)-least, dot(normal, b.at)-least
		if ha >= 0 {
			d.clipped = append(d.clipped, a)
			if hb < 0 {
				// The boundary leaves here and runs along the cut.
				d.clipped = append(d.clipped, corner{between(a.at, b.at, ha, hb), owner})
			}
		} else if hb >= 0 {
			d.clipped = append(d.clipped, corner{between(a.at, b.at, ha, hb), a.owner})
		}
	}
	d.corner, d.clipped = d.clipped, d.corner
}

func between(a, b orb.Point, ha, hb float64) orb.Point {
	t := ha / (ha - hb)
	return orb.Point{a[0] + float64(t*(b[0]-a[0])), a[1] + float64(t*(b[1]-a[1]))}
}

// distinct drops relations whose normal an earlier one has too; the stricter of
// the two stays, in the earlier one's place.
func distinct(all []relation) []relation {
	kept := all[:0:0]
next:
	for _, rel := range all {
		for k := range kept {
			if kept[k].normal == rel.normal {
				if rel.least > kept[k].least {
					kept[k] = rel
				}
				continue next
			}
		}
		kept = append(kept, rel)
	}
	return kept
}
