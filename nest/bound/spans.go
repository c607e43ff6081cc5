package bound

import (
	"cmp"
	"slices"
)

// merged sorts spans and joins those that meet; empty ones are left out.
func merged(spans [][2]float64) [][2]float64 {
	var in [][2]float64
	for _, s := range spans {
		if s[1] > s[0] {
			in = append(in, s)
		}
	}
	slices.SortFunc(in, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out [][2]float64
	for _, s := range in {
		if n := len(out); n > 0 && s[0] <= out[n-1][1] {
			out[n-1][1] = max(out[n-1][1], s[1])
			continue
		}
		out = append(out, s)
	}
	return out
}
