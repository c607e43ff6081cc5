package plan

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/demand"
	"plyroom/shapes"
	"plyroom/shapes/jobfile"
)

// BenchmarkDemoSpreads lays the demo without spreads and in the ways to spread
// that promise most, each with a first layout only, and prints the table of
// metres, minutes and yield.
func BenchmarkDemoSpreads(b *testing.B) {
	job, problems := jobfile.Read("../../testdata/nacelle/job.yaml")
	require.NoError(b, problems.Err())
	for range b.N {
		p := newPlanner(job, Settings{Seed: 1, Time: time.Hour}, nil)
		pieces, table, _ := demand.Expand(job, func(f *shapes.Fabric) demand.Room { return p.fullRoom(f).room() })
		p.setDemand(pieces, table)
		ctx := context.Background()
		base, err := p.lay(ctx, scheme{rest: p.all()}, budget{trial: true})
		require.NoError(b, err)
		require.NoError(b, p.chooseRolls(ctx, base))
		options, chosen, err := p.options(ctx, p.all())
		require.NoError(b, err)
		fmt.Println(p.notes)
		for _, name := range append([]string{nest.OptionNone}, optionNames...) {
			o := options[p.best(name, options)]
			m := o.Minutes
			fmt.Printf("%-12s layouts %2d, spreads %2d, %6.2f m, %6.2f m2, yield %.1f %%, minutes %5.1f = cutting %.1f + spreading %.1f + rolls %.1f + kitting %.1f, fabric %.2f + labour %.2f = %.2f\n",
				name, o.Layouts, o.Spreads, o.Length/1e3, o.Drawn/1e6, 100*o.NetYield, m.Total(), m.Cutting, m.Spreading, m.RollChanges, m.Kitting,
				o.FabricCost, o.LabourCost, o.FabricCost+o.LabourCost)
			for _, f := range o.Fabrics {
				fmt.Printf("             %-9s %6.2f m\n", f.Fabric, f.Length/1e3)
			}
			for _, s := range o.scheme.stacks {
				fmt.Printf("             spread %v: %d plies\n", s.Layers, s.Pieces())
			}
		}
		_ = chosen
	}
}
