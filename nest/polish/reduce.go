package polish

import (
	"math"

	"github.com/paulmach/orb"
)

const (
	// reduceRelax is how far all bounds are moved outward while the region is
	// made, relative to the reach.
	reduceRelax = 1e-6
	// reduceMargin is how clear of the region a relation must be to be
	// dropped, relative to the reach. Rounding moves the region's corners by
	// at most about 1e-16/reduceRelax.
	reduceMargin = 1e-8
)

// reducer drops the relations of one pair of bodies that others imply. They
// bound the relative position to a convex region: it is clipped out of the box
// within reach, and only relations that touch it are needed.
//
// The region may have no width, as between the cheeks of a tight slot, where
// rounding would decide which part of it is left. So all bounds are moved
// outward by the same small distance first. A relation implied by the moved
// bounds is implied by the bounds as they are: its normal is a sum of multiples
// of theirs, which, as all have length 1, come to at least 1 together, so that
// moving them gives way at least as much as it takes.
type reducer struct {
	region, clipped []orb.Point
	needed          []relation
}

// reduce returns the needed relations; all of them must hold at r.
func (d *reducer) reduce(all []relation, r orb.Point, reach float64) []relation {
	all = distinct(all)
	if len(all) < 2 {
		return all
	}
	relax := float64(reduceRelax * reach)
	size := reach + relax
	d.region = append(d.region[:0], orb.Point{-size, -size}, orb.Point{size, -size},
		orb.Point{size, size}, orb.Point{-size, size})
	for _, rel := range all {
		d.clip(rel.normal, rel.least-dot(rel.normal, r)-relax)
	}
	d.needed = d.needed[:0]
	for _, rel := range all {
		clear := math.Inf(1)
		for _, c := range d.region {
			clear = min(clear, dot(rel.normal, c))
		}
		if clear-(rel.least-dot(rel.normal, r)-relax) < reduceMargin*reach {
			d.needed = append(d.needed, rel)
		}
	}
	return d.needed
}

// clip cuts the region down to normal·x >= least.
func (d *reducer) clip(normal orb.Point, least float64) {
	d.clipped = d.clipped[:0]
	n := len(d.region)
	for k, a := range d.region {
		b := d.region[(k+1)%n]
		ha, hb := dot(normal, a)-least, dot(normal, b)-least
		if ha >= 0 {
			d.clipped = append(d.clipped, a)
		}
		if (ha >= 0) != (hb >= 0) {
			t := ha / (ha - hb)
			d.clipped = append(d.clipped, orb.Point{
				a[0] + float64(t*(b[0]-a[0])),
				a[1] + float64(t*(b[1]-a[1])),
			})
		}
	}
	d.region, d.clipped = d.clipped, d.region
}

// distinct drops relations whose normal an earlier one has too; the stricter of
// the two stays, in the earlier one's place. It works in place.
func distinct(all []relation) []relation {
	kept := all[:0]
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
