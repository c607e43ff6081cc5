package verify

import (
	"fmt"

	"plyroom/nest"
)

// shortKits lists the pieces that the record says are missing. Each must be
// demanded, from the fabric named, and be listed once.
func (c *checker) shortKits() map[nest.Key]bool {
	out := map[nest.Key]bool{}
	for _, s := range c.record.Short {
		for _, m := range s.Missing {
			k := nest.Key{Part: s.Part, Unit: s.Unit, Ply: m.Ply, Copy: m.Copy}
			say := func(format string, args ...any) {
				c.add(Violation{Rule: RuleDemand, Plies: []nest.Key{k}, Message: fmt.Sprintf(format, args...)})
			}
			d := c.demands[k]
			switch {
			case d == nil:
				say("the piece is listed as missing and not demanded")
			case d.Fabric != m.Fabric:
				say("the missing piece is listed as %s; %s is demanded", m.Fabric, d.Fabric)
			case out[k]:
				say("the piece is listed as missing twice")
			}
			out[k] = true
		}
	}
	return out
}
