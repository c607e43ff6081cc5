package remnant

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// AsRoll is a remnant as a roll of its fabric, named by the remnant's ID, so
// that a job can be laid on it: its bounding box, with the outline where it is
// no rectangle and the selvedge that it has left. It reports false where
// nothing as large as the limits remains.
func AsRoll(r Remnant, lim Limits) (shapes.Roll, bool) {
	length, width := r.Size()
	if length < lim.MinLength || width < lim.MinWidth {
		return shapes.Roll{}, false
	}
	out := shapes.Roll{Name: r.ID, Lot: r.Lot, Length: nest.Round(length), Width: nest.Round(width), FaceDown: r.Face == FaceDown,
		Piece: &shapes.Piece{Selvedge: r.Selvedge}}
	if !r.Rectangular() {
		out.Piece.Outline = r.Outline
	}
	return out, true
}

// OfRoll is the outline and selvedge of a roll that is a remnant.
func OfRoll(r *shapes.Roll) Remnant {
	out := Remnant{ID: r.Name, Lot: r.Lot, Face: FaceUp, Selvedge: r.Piece.Selvedge, Outline: r.Piece.Outline}
	if r.FaceDown {
		out.Face = FaceDown
	}
	if len(out.Outline) == 0 {
		out.Outline = Rectangle(r.Length, r.Width)
	}
	return out
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
