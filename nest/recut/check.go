package recut

import (
	"fmt"
	"math"
	"slices"

	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/plan"
	"plyroom/nest/remnant"
	"plyroom/nest/verify"
)

// Check asks the verifier and the books about a recut, and that the ply lies in
// the outline of its remnant; none means that it may be cut. For the rules that
// look at whole units the piece stands as the only one of a first unit, and a
// panel as a ply of its own.
func (e *Entry) Check() []string {
	one := e.Record
	if one == nil || len(one.Parts) != 1 || len(one.Demand) != 1 || len(one.Layouts) != 1 || len(one.Layouts[0].Placed) != 1 {
		return []string{"the record does not hold one ply in one layout"}
	}
	rec := *one
	rec.Parts, rec.Demand = slices.Clone(one.Parts), slices.Clone(one.Demand)
	rec.Parts[0].Units, rec.Demand[0].Unit, rec.Demand[0].Panel = 1, 1, nil
	l := one.Layouts[0]
	l.ID, l.Placed = "L1", slices.Clone(l.Placed)
	p := &l.Placed[0]
	if d := one.Demand[0]; p.Key() != d.Key() || p.Key() != e.Key() {
		return []string{fmt.Sprintf("the ply laid is %s; %s, unit %d, ply %s, copy %d is meant", p.Key(), e.Part, e.Unit, e.Ply, e.Copy)}
	}
	p.Unit = 1
	rec.Layouts = []nest.Layout{l}
	var findings []string
	for _, v := range verify.Check(&rec) {
		findings = append(findings, v.String())
	}
	if r := e.Remnant; r != nil && len(r.Outline) > 2 {
		if at, depth, bad := verify.Overlap(nest.Polygon{Outline: p.Outline, Holes: p.Holes}, remnant.Outside(*r)); bad {
			findings = append(findings, fmt.Sprintf("the ply leaves remnant %s by %.3f mm at (%.1f, %.1f)", r.ID, depth, at[0], at[1]))
		}
	}
	if len(findings) > 0 {
		return findings
	}
	books, err := account.Layer(&rec, &rec.Layouts[0], 0)
	if err != nil {
		return []string{err.Error()}
	}
	if off := books.Imbalance(); math.Abs(off) > 1 {
		findings = append(findings, fmt.Sprintf("the books are off by %.2f mm²", off))
	}
	return findings
}

func (e *Entry) accept() error {
	if findings := e.Check(); len(findings) > 0 {
		return &plan.Wrong{Findings: findings}
	}
	return nil
}
