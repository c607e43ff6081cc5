package buy

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// By hand: sets nested together take no more of any fabric than the smaller
// nest repeated, so nothing is ever saved by less than nothing.
func TestGroupIsNoWorseThanASmallerOneRepeated(t *testing.T) {
	j := nestJob(4)
	need := func(wr, csm float64) *Needs {
		return &Needs{Fabrics: []Need{{Fabric: "WR 600", Length: wr, Area: wr * 1000}, {Fabric: "CSM 450", Length: csm, Area: csm * 1270}}}
	}
	var one, two Group
	one.add(j, need(1000, 2000), 4)
	two.add(j, need(2200, 3000), 2)
	require.InDelta(t, 12, one.Metres, 1e-9)
	require.InDelta(t, 10.4, two.Metres, 1e-9)
	two.noWorse(&one)
	require.InDelta(t, 4+6, two.Metres, 1e-9, "of each fabric the better")
	require.InDelta(t, 4*1+6*1.27, two.Area, 1e-9)
	require.InDelta(t, 4*3+6*1.27*2, two.Cost, 1e-9)
	require.True(t, two.Priced)
}
