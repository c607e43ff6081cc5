package toolpath

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

const (
	// ascentNodes is up to how many cuts in a window the bound is raised by
	// ascent; beyond, the spanning tree alone is taken.
	ascentNodes = 1500
	// ascentSteps is how many times the prices are adjusted.
	ascentSteps = 120
)

// TravelBound is a length that the travel of no order could be below, mm, for
// the same windows and the same start points, whatever order rules are kept:
// a minimum spanning tree over the cuts with the distances between their
// nearest start points, raised by node prices (the one-tree ascent of Held and
// Karp, for a path from home with a free end); and, up to some two hundred
// cuts, a bound that also knows that a cut ends where it began (startBound).
// The greater counts. It takes time that grows with the square of the cuts and
// is meant for reports.
func (p *Path) TravelBound() float64 {
	sum := 0.0
	for _, t := range p.tours {
		sum += t.bound()
	}
	return sum
}

func (t *tour) bound() float64 {
	n := len(t.nodes)
	if n == 0 {
		return 0
	}
	starts := make([][]orb.Point, n+1)
	for i := range t.nodes {
		starts[i] = t.nodes[i].starts
	}
	starts[n] = []orb.Point{t.home}
	if n > ascentNodes {
		return plainTree(starts)
	}
	w := make([][]float32, n+1)
	for i := range w {
		w[i] = make([]float32, n+1)
		for j := range i {
			d := float32(apart(starts[i], starts[j]))
			w[i][j], w[j][i] = d, d
		}
	}
	v := ascent(w, t.travel())
	if b := startBoundOf(t); b != nil {
		v = math.Max(v, b.raise(t.travel()))
	}
	return v
}

// apart is the least distance between two sets of points.
func apart(a, b []orb.Point) float64 {
	best := math.Inf(1)
	for _, p := range a {
		for _, q := range b {
			x, y := p[0]-q[0], p[1]-q[1]
			best = math.Min(best, float64(x*x)+float64(y*y))
		}
	}
	return math.Sqrt(best)
}

// plainTree is the length of a minimum spanning tree (Prim). Boxes spare most
// of the distances.
func plainTree(starts [][]orb.Point) float64 {
	n := len(starts)
	boxes := make([]orb.Bound, n)
	for i, s := range starts {
		boxes[i] = orb.MultiPoint(s).Bound()
	}
	key := make([]float64, n)
	in := make([]bool, n)
	for i := range key {
		key[i] = math.Inf(1)
	}
	sum, cur := 0.0, n-1
	for range n - 1 {
		in[cur] = true
		next := -1
		for j := range n {
			if in[j] {
				continue
			}
			if boxGap(boxes[cur], boxes[j]) < key[j] {
				key[j] = math.Min(key[j], apart(starts[cur], starts[j]))
			}
			if next < 0 || key[j] < key[next] {
				next = j
			}
		}
		sum += key[next]
		cur = next
	}
	return sum
}

func boxGap(a, b orb.Bound) float64 {
	x := math.Max(0, math.Max(a.Min[0]-b.Max[0], b.Min[0]-a.Max[0]))
	y := math.Max(0, math.Max(a.Min[1]-b.Max[1], b.Min[1]-a.Max[1]))
	return steady.Hypot(x, y)
}

// ascent raises the bound of one-trees by prices on nodes. The last node of w
// is home; a further node without cost joins home to the free end.
func ascent(w [][]float32, upper float64) float64 {
	n := len(w)
	price := make([]float64, n)
	degree := make([]int, n)
	best, lambda := 0.0, 2.0
	for step := range ascentSteps {
		v := tree(w, price, degree)
		free := 0 // the cheapest end
		for i := range n - 1 {
			v -= 2 * price[i]
			if price[i] < price[free] {
				free = i
			}
		}
		v += price[free] - price[n-1]
		degree[free]++
		degree[n-1]++
		if v > best {
			best = v
		}
		sq := 0
		for _, d := range degree {
			sq += (d - 2) * (d - 2)
		}
		if sq == 0 || upper <= v {
			break
		}
		if step%12 == 11 {
			lambda *= 0.7
		}
		f := lambda * (upper - v) / float64(sq)
		for i, d := range degree {
			price[i] += float64(f * float64(d-2))
		}
	}
	return best
}

// tree is the length of the minimum spanning tree under prices, with the
// degree of every node.
func tree(w [][]float32, price []float64, degree []int) float64 {
	n := len(w)
	key := make([]float64, n)
	from := make([]int, n)
	in := make([]bool, n)
	for i := range key {
		key[i] = math.Inf(1)
		degree[i] = 0
	}
	sum, cur := 0.0, n-1
	for range n - 1 {
		in[cur] = true
		next := -1
		for j := range n {
			if in[j] {
				continue
			}
			if d := float64(w[cur][j]) + price[cur] + price[j]; d < key[j] {
				key[j], from[j] = d, cur
			}
			if next < 0 || key[j] < key[next] {
				next = j
			}
		}
		sum += key[next]
		degree[next]++
		degree[from[next]]++
		cur = next
	}
	return sum
}
