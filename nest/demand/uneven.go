package demand

import (
	"math"
	"slices"
)

// unevenStep is how far apart, mm, the places are at which seams of uneven
// panels are looked for.
const unevenStep = 5

// uneven finds n panels of unequal width where equal ones cannot keep the
// stagger or clear edges and corners: of all sets of seams on a raster of
// unevenStep that are usable it is one of those with the least sum of squares
// of panel widths, so the most even. nil where there is none. It is a shortest
// path over the places, seam by seam.
func (d *division) uneven(n int) []float64 {
	if float64(float64(n)*d.room)-float64(float64(n-1)*d.lap) < d.hi-d.lo-FitSlack {
		return nil
	}
	var at []float64
	for x := d.lo + unevenStep; x < d.hi; x += unevenStep {
		one := []float64{x}
		if x > d.lo+d.lap/2 && x < d.hi-d.lap/2 && nearest(one, d.keepFrom) >= d.stagger && d.clear(one, false) == nil {
			at = append(at, x)
		}
	}
	// fits is the width of a panel squared, +Inf where it may not be so wide.
	fits := func(from, to float64) float64 {
		if w := to - from; w <= d.room+FitSlack && w >= d.least {
			return w * w
		}
		return math.Inf(1)
	}
	cost := make([]float64, len(at)) // of the panels up to each place
	for i, x := range at {
		cost[i] = fits(d.lo, x+d.lap/2)
	}
	var came [][]int
	for range n - 2 {
		next, from := make([]float64, len(at)), make([]int, len(at))
		for i, x := range at {
			next[i] = math.Inf(1)
			for k := i - 1; k >= 0 && x-at[k]+d.lap <= d.room+FitSlack; k-- {
				if x-at[k] < LeastWeb {
					continue
				}
				if c := cost[k] + fits(at[k]-d.lap/2, x+d.lap/2); c < next[i] {
					next[i], from[i] = c, k
				}
			}
		}
		cost, came = next, append(came, from)
	}
	best, last := math.Inf(1), -1
	for i, x := range at {
		if c := cost[i] + fits(x-d.lap/2, d.hi); c < best {
			best, last = c, i
		}
	}
	if last < 0 {
		return nil
	}
	seams := []float64{at[last]}
	for k := len(came) - 1; k >= 0; k-- {
		last = came[k][last]
		seams = append(seams, at[last])
	}
	slices.Reverse(seams)
	if d.usable(seams) != nil {
		return nil
	}
	return seams
}
