package plan

import (
	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/shapes/geom"
)

// searchTolerance is how far the outline that the packer sees may stand off the
// true one, outwards, mm: a tenth of the gap that shops keep, and well below
// what a knife holds. It halves the vertices of curved plies. Where a ply only
// fits without it, the packer sees the true outline.
const searchTolerance = 0.2

// coarse is a shape as the packer sees it: it holds the true one, with fewer
// vertices.
func (w *work) coarse(s *nest.Shape, turns []demand.Turn, longest float64) (exterior orb.Ring, holes []orb.Ring) {
	exterior = geom.SimplifyOuter(orbRing(s.Cut.Outline), searchTolerance)
	along := demand.LeastAlong(demand.Extents(exterior, turns), w.strip.width)
	if !(along <= longest+demand.FitSlack) {
		exterior = orbRing(s.Cut.Outline)
	}
	for _, h := range s.Cut.Holes {
		holes = append(holes, geom.SimplifyOuter(orbRing(h), searchTolerance))
	}
	return exterior, holes
}
