package offcut

import (
	"cmp"
	"context"
	"slices"

	"plyroom/nest/pack"
	"plyroom/shapes/geom"
)

const (
	// mostTrials bounds how often one more piece is tried on a full ground.
	mostTrials = 8
	// trialEffort is the work spent on one of these trials.
	trialEffort = 1
	// fit is how far a trial may reach past the end because of rounding, mm.
	fit = 1e-7
)

// more tries to lay more pieces than the packer's first filling did. Where not
// all pieces fit, the packer lays them once and does not search; a strip without
// end, though, it makes as short as it can. So one piece after the other, the
// largest first, is added to those that found room, and stays where all of them
// come to lie within the ground's length.
func more(ctx context.Context, p *pack.Problem, best pack.Result, s pack.Settings) (pack.Result, error) {
	counts := make([]int, len(p.Pieces))
	area := 0.0
	areas := make([]float64, len(p.Pieces))
	order := make([]int, len(p.Pieces))
	for i, pc := range p.Pieces {
		areas[i], order[i] = geom.PolygonArea(pc.Exterior, pc.Holes), i
	}
	for _, pl := range best.Placements {
		counts[pl.Piece]++
		area += areas[pl.Piece]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(areas[b], areas[a]) })
	s.Effort = max(s.Effort, trialEffort)
	trials := 0
	for _, i := range order {
		for counts[i] < p.Pieces[i].Count && trials < mostTrials && area+areas[i] <= p.Width*p.MaxLength && ctx.Err() == nil {
			trials++
			got, err := pack.Solve(ctx, trial(p, counts, i), s, nil)
			if err != nil {
				return best, err
			}
			if len(got.Unplaced) > 0 || got.Length > p.MaxLength+fit {
				break
			}
			counts[i]++
			area += areas[i]
			best = got
		}
	}
	return best, nil
}

// trial is a problem of so many copies of each piece and one more of piece i,
// on a strip without end.
func trial(p *pack.Problem, counts []int, i int) *pack.Problem {
	out := *p
	out.MaxLength = 0
	out.Pieces = slices.Clone(p.Pieces)
	for k := range out.Pieces {
		out.Pieces[k].Count = counts[k]
	}
	out.Pieces[i].Count++
	return &out
}
