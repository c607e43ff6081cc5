package plan

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Small random kits and lots, dealt in every way: the search finds the least.
// Each lot is a roll cut in steps, so that what a kit draws hangs on what lies
// there already; what a lot cannot hold is missing.
func TestDealAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots := rapid.IntRange(1, 3).Draw(t, "lots")
		parts := rapid.IntRange(1, 3).Draw(t, "parts")
		holds := make([]int, lots)
		for l := range holds {
			holds[l] = rapid.IntRange(0, 30).Draw(t, "holds")
		}
		d := &dealer{lots: lots, bound: make([][]int, lots)}
		var size []int
		for range parts {
			s, units := rapid.IntRange(1, 9).Draw(t, "size"), rapid.IntRange(1, 3).Draw(t, "units")
			for u := range units {
				n := len(size)
				size = append(size, s)
				if rapid.IntRange(0, 5).Draw(t, "bound") == 0 {
					l := rapid.IntRange(0, lots-1).Draw(t, "to")
					d.bound[l] = append(d.bound[l], n)
					continue
				}
				d.kits, d.twin = append(d.kits, n), append(d.twin, -1)
				if k := len(d.kits); u > 0 && k > 1 && size[d.kits[k-2]] == s {
					d.twin[k-1] = k - 2
				}
			}
		}
		if len(d.kits) == 0 {
			t.Skip()
		}
		step := rapid.IntRange(1, 7).Draw(t, "step")
		d.lay = func(lot int, kits []int) (lotResult, error) {
			need := 0
			for _, k := range kits {
				need += size[k]
			}
			over := max(0, need-holds[lot])
			used := (need - over + step - 1) / step * step
			return lotResult{missing: over, drawn: float64(1000 * used * (lot + 1))}, nil
		}
		require.NoError(t, d.deal())
		at := make([]int, len(d.kits))
		best := lotResult{missing: math.MaxInt}
		total := func(at []int) lotResult {
			var sum lotResult
			for l := range lots {
				kits := slices.Clone(d.bound[l])
				for i, k := range d.kits {
					if at[i] == l {
						kits = append(kits, k)
					}
				}
				r, _ := d.lay(l, kits)
				sum.missing, sum.drawn = sum.missing+r.missing, sum.drawn+r.drawn
			}
			return sum
		}
		for more := true; more; {
			if r := total(at); r.less(best) {
				best = r
			}
			more = false
			for i := range at {
				if at[i]++; at[i] < lots {
					more = true
					break
				}
				at[i] = 0
			}
		}
		require.Equal(t, d.least, total(d.best))
		require.False(t, best.less(d.least) && !d.skipped, "%v is better than %v", best, d.least)
	})
}
