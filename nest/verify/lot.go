package verify

import (
	"fmt"

	"plyroom/nest"
)

// lots checks rule 11 where the job asks for it: the plies of one fabric in
// one unit of a part come from one lot.
func (c *checker) lots() {
	if !c.record.Rules.OneLotPerUnit {
		return
	}
	type kit struct {
		part   string
		unit   int
		fabric string
	}
	type from struct {
		lot, layout string
		ply         nest.Key
	}
	first := map[kit]from{}
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for i := range lay.Placed {
			p := &lay.Placed[i]
			layer := findLayer(lay, p.Layer)
			if layer == nil {
				continue // rule 2 says so
			}
			k := kit{p.Part, p.Unit, p.Fabric}
			f, known := first[k]
			switch {
			case !known:
				first[k] = from{layer.Lot, lay.ID, p.Key()}
			case f.lot != layer.Lot:
				c.add(Violation{Rule: RuleLot, Layout: lay.ID, Items: []int{i}, Plies: []nest.Key{p.Key(), f.ply},
					Message: fmt.Sprintf("one unit takes %s from lot %q here and from lot %q in %s", p.Fabric, layer.Lot, f.lot, f.layout)})
			}
		}
	}
}
