package remnant

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
)

// A Field is a rectangle of fabric and what lies on it.
type Field struct {
	Area orb.Bound
	// Blocked may not be entered: plies, flaws. What lies in the cut-outs of
	// a polygon is free. Polygons may overlap.
	Blocked []nest.Polygon
}

// Limits say which rectangles are worth having.
type Limits struct {
	// MinLength is the least length along x and MinWidth across it, mm. Values
	// below 1 count as 1.
	MinLength, MinWidth float64
	// Most is how many rectangles are looked for; 0 means 50.
	Most int
}

const (
	// mostCells bounds the grid: a layout of 50 m² is looked at in cells of
	// 7 mm.
	mostCells = 1_000_000
	// cellsAcross is how many cells, at least, the smallest rectangle has
	// each way.
	cellsAcross = 8
	// grain is what the sides of a rectangle are rounded to, inwards, mm.
	grain = 1e-3
)

// Rectangles finds rectangles along the axes that are free of obstacles, the
// largest first, each clear of those before it.
//
// The field is divided into square cells, and a cell that an obstacle enters at
// all is not free. The largest rectangle of free cells is found exactly. Its
// sides are then moved out, one after the other, to the obstacles themselves. So
// no rectangle ever meets an obstacle, and none can be made larger on any one
// side; but one that is larger by about a cell each way may be missed, and one
// that is narrower than a cell more than the limits may be too. Where the
// obstacles' corners lie on the grid of cells, the first rectangle is the
// largest there is.
func Rectangles(f Field, lim Limits) []orb.Bound {
	minLength, minWidth := math.Max(lim.MinLength, 1), math.Max(lim.MinWidth, 1)
	most := lim.Most
	if most <= 0 {
		most = 50
	}
	length, width := f.Area.Max[0]-f.Area.Min[0], f.Area.Max[1]-f.Area.Min[1]
	if !(length >= minLength-grain) || !(width >= minWidth-grain) {
		return nil
	}
	side := math.Sqrt(length * width / mostCells)
	side = math.Max(side, math.Min(math.Max(1, math.Min(minLength, minWidth)/cellsAcross), 5))
	g := newGrid(f.Area, side)
	var edges []edge
	for _, p := range f.Blocked {
		g.block(p)
		edges = append(edges, edgesOf(p)...)
	}
	var out []orb.Bound
	for len(out) < most {
		b, ok := g.largest(minLength, minWidth)
		if !ok {
			break
		}
		found := inwards(widened(b, f.Area, edges))
		poly := nest.Polygon{Outline: corners(b)}
		if found.Max[0]-found.Min[0] >= minLength-grain && found.Max[1]-found.Min[1] >= minWidth-grain {
			out = append(out, found)
			poly.Outline = corners(found)
			edges = append(edges, edgesOf(poly)...)
		}
		g.block(poly)
	}
	return out
}

// inwards rounds a rectangle to the grain, never outwards.
func inwards(b orb.Bound) orb.Bound {
	const slack = 1e-6 // of the grain: a figure that is round stays so
	for k := range 2 {
		b.Min[k] = nest.Round(math.Ceil(b.Min[k]/grain-slack) * grain)
		b.Max[k] = nest.Round(math.Floor(b.Max[k]/grain+slack) * grain)
	}
	return b
}

func corners(b orb.Bound) nest.Ring {
	return nest.Ring{{b.Min[0], b.Min[1]}, {b.Max[0], b.Min[1]}, {b.Max[0], b.Max[1]}, {b.Min[0], b.Max[1]}}
}
