package remnant

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// AsRoll is a remnant as a roll of its fabric, named by the remnant's ID, so
// that a job can be laid on it: a rectangular one as it is, any other by the
// largest rectangle found in it. It reports false where nothing as large as
// the limits remains.
//
// A roll has the fabric's selvedge on both edges, and a plan leaves it free.
// The piece of a roll has it; from a piece cut out of the inside of a layout
// as much is lost again at each edge.
func AsRoll(r Remnant, lim Limits) (shapes.Roll, bool) {
	length, width := r.Size()
	if !r.Rectangular() {
		lim.Most = 1
		found := Rectangles(Field{Area: orb.Bound{Max: orb.Point{length, width}}, Blocked: []nest.Polygon{Outside(r)}}, lim)
		if len(found) == 0 {
			return shapes.Roll{}, false
		}
		length, width = found[0].Max[0]-found[0].Min[0], found[0].Max[1]-found[0].Min[1]
	}
	if length < lim.MinLength || width < lim.MinWidth {
		return shapes.Roll{}, false
	}
	return shapes.Roll{Name: r.ID, Lot: r.Lot, Length: nest.Round(length), Width: nest.Round(width), FaceDown: r.Face == FaceDown}, true
}

// Outside is everything near a remnant that is not part of it: its bounding
// box with a margin, less its outline. No ply may enter it.
func Outside(r Remnant) nest.Polygon {
	length, width := r.Size()
	margin := math.Max(length, width)
	hole := make(nest.Ring, len(r.Outline))
	for i, p := range r.Outline {
		hole[len(hole)-1-i] = p
	}
	return nest.Polygon{
		Outline: nest.Ring{{-margin, -margin}, {length + margin, -margin}, {length + margin, width + margin}, {-margin, width + margin}},
		Holes:   []nest.Ring{hole},
	}
}

// Walls covers everything in the bounding box of a remnant that is not part of
// it, and a little more, with rectangles, for a packer that knows no other
// obstacles. Between neighbouring columns of rectangles lies at most step, mm.
func Walls(r Remnant, step float64) []orb.Bound {
	length, width := r.Size()
	if r.Rectangular() {
		return nil
	}
	step = math.Max(math.Max(step, length/400), 1)
	across := Outside(r)
	// Columns are rows of the grid with x and y exchanged.
	turned := nest.Polygon{Outline: swapped(across.Outline), Holes: []nest.Ring{swapped(across.Holes[0])}}
	columns := math.Ceil(length / step)
	g := newGrid(orb.Bound{Max: orb.Point{math.Ceil(width/step) * step, columns * step}}, step)
	g.block(turned)
	var out []orb.Bound
	open := map[[2]int]int{} // a run of cells in the column before -> its rectangle
	for col := range g.ny {
		next := map[[2]int]int{}
		for y := 0; y < g.nx; y++ {
			if !g.blocked[col*g.nx+y] {
				continue
			}
			run := [2]int{y, y + 1}
			for run[1] < g.nx && g.blocked[col*g.nx+run[1]] {
				run[1]++
			}
			y = run[1]
			at, ok := open[run]
			if !ok {
				at = len(out)
				out = append(out, orb.Bound{
					Min: orb.Point{float64(col) * step, float64(run[0]) * step},
					Max: orb.Point{0, float64(run[1]) * step}})
			}
			out[at].Max[0] = float64(col+1) * step
			next[run] = at
		}
		open = next
	}
	return out
}

func swapped(r nest.Ring) nest.Ring {
	out := make(nest.Ring, len(r))
	for i, p := range r {
		out[i] = nest.Point{p[1], p[0]}
	}
	return out
}
