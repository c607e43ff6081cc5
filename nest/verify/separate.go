package verify

import (
	"fmt"
	"math"
)

// separate checks rules 4 and 5 among the plies of one layer. Polygons that
// are nil are left out. The violations name items by index only.
func separate(polys []*polygon, gap float64) []Violation {
	var out []Violation
	var o overlapper
	least := (gap - GapTolerance) * unitsPerMM
	reach := int64(math.Ceil(max(least, 0)))
	eachPair(polys, reach, func(i, j int) bool {
		if v, bad := o.apart(polys[i], polys[j], gap, least); bad {
			v.Items = []int{i, j}
			out = append(out, v)
		}
		return len(out) < MaxFindings
	})
	if len(out) == MaxFindings {
		out[MaxFindings-1].Message += fmt.Sprintf("; %d found, the search ends here", MaxFindings)
	}
	return out
}

// apart checks one pair: gap is in mm, least in lattice units.
func (o *overlapper) apart(p, q *polygon, gap, least float64) (Violation, bool) {
	if ev, bad := o.overlap(p, q); bad {
		at := ev.at.mm()
		depth := ev.depth / unitsPerMM
		return Violation{
			Rule: RuleOverlap, At: &at, Measured: depth, Limit: RoundingAllowance, Unit: "mm",
			Message: fmt.Sprintf("the plies overlap, %.6g mm deep or more", depth),
		}, true
	}
	if least <= 0 {
		return Violation{}, false
	}
	d, where := o.boundaryDistance(p, q, least)
	if d >= least {
		return Violation{}, false
	}
	at := where.mm()
	return Violation{
		Rule: RuleGap, At: &at, Measured: d / unitsPerMM, Limit: gap, Unit: "mm",
		Message: fmt.Sprintf("the plies are %.6g mm apart, the gap is %.6g mm", d/unitsPerMM, gap),
	}, true
}
