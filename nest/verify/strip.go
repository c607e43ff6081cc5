package verify

import (
	"fmt"

	"plyroom/nest"
)

// Strip checks polygons laid on a bare strip, x from 0 to length and y from 0
// to width, with no record about them: rules 1 (sane polygons), 4, 5 and 6 of
// Check. Violations name polygons by their place in the list.
func Strip(width, length, gap float64, placed ...nest.Polygon) []Violation {
	var out []Violation
	for _, f := range []struct {
		name  string
		value float64
	}{{"width", width}, {"length", length}, {"gap", gap}} {
		if !inRange(f.value) || f.value < 0 {
			out = append(out, Violation{Rule: RuleRecord,
				Message: fmt.Sprintf("the strip's %s is %g mm", f.name, f.value)})
		}
	}
	if len(out) > 0 {
		return out
	}
	polys := make([]*polygon, len(placed))
	for i, p := range placed {
		for _, f := range saneFaults(p) {
			v := Violation{Rule: RuleRecord, Items: []int{i}, At: f.at, Message: "the polygon " + f.message}
			out = append(out, v)
		}
		polys[i] = snapPolygon(p)
	}
	area := usable{box{0, 0, snapLength(length), snapLength(width)}}
	for i, p := range polys {
		if p == nil {
			continue
		}
		for _, v := range area.outside(p) {
			v.Items = []int{i}
			out = append(out, v)
		}
	}
	return append(out, separate(polys, gap)...)
}
