package recut

import (
	"plyroom/nest"
	"plyroom/nest/trace"
)

// Follow sets in a run's trail, for each ply that was cut again, where it was
// cut last: the spoiled one is in no kit. The end allowance is that of the run,
// mm.
func Follow(t *trace.Trail, entries []Entry, endAllowance float64) {
	for _, e := range entries {
		for i := range t.Pieces {
			p := &t.Pieces[i]
			if p.Part != e.Part || p.Unit != e.Unit || p.Ply != e.Ply || p.Copy != e.Copy {
				continue
			}
			p.Roll, p.Lot, p.Layout, p.Layer, p.LaidDeg = e.Cut.Roll, e.Cut.Lot, e.Cut.Layout, 1, e.LaidDeg
			p.RollFrom = nest.Round(e.Cut.RollFrom + endAllowance)
			p.RollTo = nest.Round(e.Cut.RollFrom + e.Cut.Length - endAllowance)
		}
	}
}
