package offcut

import (
	"context"
	"slices"

	"plyroom/nest"
	"plyroom/nest/pack"
)

// Fill lays pieces of a record on one ground after the other, as many as fit,
// the larger pieces before the smaller where they do not all fit. It returns a
// layout for each ground that took any, and the pieces left over.
func Fill(ctx context.Context, rec *nest.Record, of []int, grounds []Ground, s pack.Settings) ([]nest.Layout, []int, error) {
	left := slices.Clone(of)
	var out []nest.Layout
	for _, g := range grounds {
		if len(left) == 0 {
			break
		}
		l, laid, err := Lay(ctx, rec, left, g, s)
		if err != nil {
			return nil, nil, err
		}
		if l == nil {
			continue
		}
		out = append(out, *l)
		left = slices.DeleteFunc(left, func(i int) bool { return slices.Contains(laid, i) })
	}
	return out, left, nil
}
