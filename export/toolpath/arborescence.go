package toolpath

import "math"

// arborescence finds the cheapest set of arcs by which every node but the root
// is entered once and reached from the root (Chu and Liu, Edmonds), on a full
// matrix w[from][to]. It returns, for every node, where it is entered from; -1
// for the root.
func arborescence(w [][]float64, root int) []int {
	n := len(w)
	in := make([]int, n)
	for v := range n {
		in[v] = -1
		if v == root {
			continue
		}
		for u := range n {
			if u != v && (in[v] < 0 || w[u][v] < w[in[v]][v]) {
				in[v] = u
			}
		}
	}
	comp, count, cyclic := components(in)
	if count == n {
		return in
	}
	// Contract every cycle and solve what is left.
	type arc struct{ u, v int }
	cost := make([][]float64, count)
	best := make([][]arc, count)
	for i := range count {
		cost[i] = make([]float64, count)
		best[i] = make([]arc, count)
		for j := range count {
			cost[i][j] = math.Inf(1)
		}
	}
	for v := range n {
		if v == root {
			continue
		}
		less := 0.0
		if cyclic[v] {
			less = w[in[v]][v]
		}
		for u := range n {
			a, b := comp[u], comp[v]
			if a != b && w[u][v]-less < cost[a][b] {
				cost[a][b], best[a][b] = w[u][v]-less, arc{u, v}
			}
		}
	}
	for b, a := range arborescence(cost, comp[root]) {
		if a >= 0 {
			in[best[a][b].v] = best[a][b].u
		}
	}
	return in
}

// components numbers the nodes of a graph of in-arcs so that those of one cycle
// share a number.
func components(in []int) (comp []int, count int, cyclic []bool) {
	n := len(in)
	comp, cyclic = make([]int, n), make([]bool, n)
	seen := make([]int, n) // by which walk, from 1
	for v := range n {
		comp[v] = -1
	}
	for s := range n {
		v := s
		for v >= 0 && seen[v] == 0 {
			seen[v] = s + 1
			v = in[v]
		}
		if v >= 0 && seen[v] == s+1 && comp[v] < 0 {
			for !cyclic[v] {
				cyclic[v], comp[v] = true, count
				v = in[v]
			}
			count++
		}
	}
	for v := range n {
		if comp[v] < 0 {
			comp[v] = count
			count++
		}
	}
	return comp, count, cyclic
}
