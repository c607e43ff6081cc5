package toolpath

import (
	"math"

	"github.com/paulmach/orb"
)

const (
	// startWork bounds the pairs of start points for which the sharper bound
	// is computed.
	startWork = 4e6
	// startSteps is how many times its prices are adjusted.
	startSteps = 400
)

// A startBound is a bound on travel that knows that a cut which is entered at a
// start is left from it. The path is taken apart into ways between cuts, each
// free to choose its start points; prices on starts, paid on entering and got
// back on leaving, pull the choices together (Lagrangian relaxation). For given
// prices the cheapest such ways form an arborescence.
type startBound struct {
	in, out [][]orb.Point // where a choice enters and leaves, per node; the last node is home
	price   [][]float64
	d       [][][]float32 // way from choice a of i to choice b of j, at [i][j][a*len(in[j])+b]
	w       [][]float64
}

// startBoundOf returns nil where there are too many pairs.
func startBoundOf(t *tour) *startBound {
	n := len(t.nodes)
	b := &startBound{}
	total := 1
	for i := range t.nodes {
		nd := &t.nodes[i]
		var in, out []orb.Point
		for c := range nd.starts {
			p, q := ends(nd, c)
			in, out = append(in, p), append(out, q)
		}
		b.in, b.out = append(b.in, in), append(b.out, out)
		total += len(in)
	}
	if float64(total)*float64(total) > startWork {
		return nil
	}
	home := []orb.Point{t.home}
	b.in, b.out = append(b.in, home), append(b.out, home)
	for i := range n + 1 {
		b.price = append(b.price, make([]float64, len(b.in[i])))
		b.w = append(b.w, make([]float64, n+1))
		row := make([][]float32, n+1)
		for j := range n {
			if i == j {
				continue
			}
			for _, p := range b.out[i] {
				for _, q := range b.in[j] {
					row[j] = append(row[j], float32(dist(p, q)))
				}
			}
		}
		b.d = append(b.d, row)
	}
	return b
}

// way is the cheapest way from i to j under the prices, and its choices.
func (b *startBound) way(i, j int) (cost float64, from, to int) {
	cost = math.Inf(1)
	k := 0
	for a, pa := range b.price[i] {
		for c, pc := range b.price[j] {
			if v := float64(b.d[i][j][k]) - pa + pc; v < cost {
				cost, from, to = v, a, c
			}
			k++
		}
	}
	return cost, from, to
}

// raise adjusts the prices and returns the best bound found; upper is the
// travel of a known order.
func (b *startBound) raise(upper float64) float64 {
	n := len(b.in) - 1
	best, lambda, idle := 0.0, 1.5, 0
	slack := make([][]float64, n+1)
	for i := range slack {
		slack[i] = make([]float64, len(b.in[i]))
	}
	for range startSteps {
		for i := range n + 1 {
			clear(slack[i])
			for j := range n {
				if i != j {
					b.w[i][j], _, _ = b.way(i, j)
				}
			}
			b.w[i][n] = math.Inf(1)
		}
		v := b.price[n][0]
		slack[n][0] = 1 // home is "entered" once
		for j, i := range arborescence(b.w, n) {
			if i < 0 {
				continue
			}
			c, a, to := b.way(i, j)
			v += c
			slack[j][to]++
			slack[i][a]--
		}
		// The path ends somewhere, and gets that start's price back.
		ei, ea := 0, 0
		for i := range n {
			for a, p := range b.price[i] {
				if p > b.price[ei][ea] {
					ei, ea = i, a
				}
			}
		}
		v -= b.price[ei][ea]
		slack[ei][ea]--
		if v > best+float64(1e-6*upper) {
			best, idle = v, 0
		} else if idle++; idle == 15 {
			lambda, idle = lambda/2, 0
		}
		sq := 0.0
		for i := range slack {
			for _, s := range slack[i] {
				sq += float64(s * s)
			}
		}
		if sq == 0 || v >= upper || lambda < 1e-3 {
			break
		}
		f := lambda * (upper - v) / sq
		for i := range slack {
			for a, s := range slack[i] {
				b.price[i][a] += float64(f * s)
			}
		}
	}
	return math.Min(best, upper)
}
