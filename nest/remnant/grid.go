package remnant

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
)

// A grid divides a rectangle into square cells and knows which are free.
type grid struct {
	area    orb.Bound
	side    float64
	nx, ny  int
	blocked []bool // row by row, y upwards
}

func newGrid(area orb.Bound, side float64) *grid {
	const slack = 1e-9
	g := &grid{area: area, side: side,
		nx: int((area.Max[0]-area.Min[0])/side + slack), ny: int((area.Max[1]-area.Min[1])/side + slack)}
	g.blocked = make([]bool, g.nx*g.ny)
	return g
}

// touch is how far an obstacle may reach into a cell because of rounding, as a
// share of the cell.
const touch = 1e-9

// block marks every cell that a polygon enters: in each row those that an edge
// passes, and those between edges on the middle line of the row, which are
// inside where no edge passes.
func (g *grid) block(p nest.Polygon) {
	edges := edgesOf(p)
	if len(edges) == 0 {
		return
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, e := range edges {
		low, high = math.Min(low, e.low()), math.Max(high, e.high())
	}
	first := max(0, int(math.Floor((low-g.area.Min[1])/g.side)))
	last := min(g.ny-1, int(math.Floor((high-g.area.Min[1])/g.side)))
	for row := first; row <= last; row++ {
		y0 := g.area.Min[1] + float64(float64(row)*g.side)
		y1 := y0 + g.side
		middle := float64((y0 + y1) / 2)
		var crossings []float64
		for _, e := range edges {
			if from, to, ok := e.within(y0, y1, g.side*touch); ok {
				g.mark(row, from, to)
			}
			if (e.a[1] <= middle) != (e.b[1] <= middle) {
				crossings = append(crossings, e.at(middle))
			}
		}
		slices.Sort(crossings)
		for i := 0; i+1 < len(crossings); i += 2 {
			g.mark(row, crossings[i], crossings[i+1])
		}
	}
}

// mark blocks the cells of a row that share more than a point with an interval.
func (g *grid) mark(row int, from, to float64) {
	first := max(0, int(math.Floor((from-g.area.Min[0])/g.side+touch)))
	last := min(g.nx-1, int(math.Ceil((to-g.area.Min[0])/g.side-touch))-1)
	for x := first; x <= last; x++ {
		g.blocked[row*g.nx+x] = true
	}
}

// largest finds the largest rectangle of free cells of at least a length and a
// width; where there is none, among those that may reach them when they are
// widened by less than a cell on each side.
func (g *grid) largest(minLength, minWidth float64) (orb.Bound, bool) {
	least := func(v float64, less int) int { return max(1, int(math.Ceil(v/g.side-touch))-less) }
	if b, ok := g.largestOf(least(minLength, 0), least(minWidth, 0)); ok {
		return b, true
	}
	return g.largestOf(least(minLength, 2), least(minWidth, 2))
}

// largestOf finds the largest rectangle of free cells with at least so many
// cells each way.
//
// Row by row, with for each column the number of free cells downwards from it,
// the rectangles that can be enlarged neither to the left nor to the right nor
// downwards are those between the nearest lower columns on both sides; a stack
// of rising columns finds all of them in one pass.
func (g *grid) largestOf(minX, minY int) (orb.Bound, bool) {
	free := make([]int, g.nx+1) // the last column stays 0 and ends every stretch
	var stack []int
	best, x0, x1, y0, y1 := 0, 0, 0, 0, 0
	for row := range g.ny {
		for x := range g.nx {
			free[x]++
			if g.blocked[row*g.nx+x] {
				free[x] = 0
			}
		}
		stack = stack[:0]
		for x := 0; x <= g.nx; x++ {
			for len(stack) > 0 && free[stack[len(stack)-1]] >= free[x] {
				h := free[stack[len(stack)-1]]
				stack = stack[:len(stack)-1]
				left := 0
				if len(stack) > 0 {
					left = stack[len(stack)-1] + 1
				}
				if area := h * (x - left); area > best && h >= minY && x-left >= minX {
					best, x0, x1, y0, y1 = area, left, x, row+1-h, row+1
				}
			}
			stack = append(stack, x)
		}
	}
	if best == 0 {
		return orb.Bound{}, false
	}
	at := func(x, y int) orb.Point {
		return orb.Point{g.area.Min[0] + float64(float64(x)*g.side), g.area.Min[1] + float64(float64(y)*g.side)}
	}
	return orb.Bound{Min: at(x0, y0), Max: at(x1, y1)}, true
}
