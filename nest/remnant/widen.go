package remnant

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest"
)

// An edge is one side of an obstacle.
type edge struct{ a, b nest.Point }

func edgesOf(p nest.Polygon) []edge {
	var out []edge
	for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
		for i := range r {
			out = append(out, edge{r[i], r[(i+1)%len(r)]})
		}
	}
	return out
}

func (e edge) low() float64  { return math.Min(e.a[1], e.b[1]) }
func (e edge) high() float64 { return math.Max(e.a[1], e.b[1]) }

// at is the edge's x at a height between its ends.
func (e edge) at(y float64) float64 {
	if e.a[1] == e.b[1] {
		return e.a[0]
	}
	t := (y - e.a[1]) / (e.b[1] - e.a[1])
	return e.a[0] + float64(t*(e.b[0]-e.a[0]))
}

// within is the stretch of x that the edge passes strictly between two
// heights; false where it does not, slack let pass.
func (e edge) within(y0, y1, slack float64) (from, to float64, ok bool) {
	if e.high() <= y0+slack || e.low() >= y1-slack {
		return 0, 0, false
	}
	if e.a[1] == e.b[1] {
		return math.Min(e.a[0], e.b[0]), math.Max(e.a[0], e.b[0]), true
	}
	p, q := e.at(math.Max(y0, e.low())), e.at(math.Min(y1, e.high()))
	return math.Min(p, q), math.Max(p, q), true
}

// turned exchanges x and y.
func (e edge) turned() edge {
	return edge{nest.Point{e.a[1], e.a[0]}, nest.Point{e.b[1], e.b[0]}}
}

// widened moves the sides of a free rectangle out to the first obstacle or the
// end of the area: left, right, lower, upper.
func widened(b, area orb.Bound, edges []edge) orb.Bound {
	b.Min[0], b.Max[0] = reach(b.Min[0], b.Max[0], b.Min[1], b.Max[1], area.Min[0], area.Max[0], edges)
	turned := make([]edge, len(edges))
	for i, e := range edges {
		turned[i] = e.turned()
	}
	b.Min[1], b.Max[1] = reach(b.Min[1], b.Max[1], b.Min[0], b.Max[0], area.Min[1], area.Max[1], turned)
	return b
}

// reach is how far the stretch [x0, x1] can be widened between two heights. No
// edge passes through the rectangle, so each lies to one side of it.
func reach(x0, x1, y0, y1, least, most float64, edges []edge) (float64, float64) {
	middle := (x0 + x1) / 2
	for _, e := range edges {
		from, to, ok := e.within(y0, y1, 1e-9)
		switch {
		case !ok:
		case (from+to)/2 < middle:
			least = math.Max(least, to)
		default:
			most = math.Min(most, from)
		}
	}
	return math.Min(x0, least), math.Max(x1, most)
}
