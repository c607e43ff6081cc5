package jobfile

import (
	"fmt"
	"sort"

	"plyroom/shapes"
)

// readStops reads the planned pauses of a part's lay-up, each the order before
// it or a mapping.
func (r *reader) readStops(part *fields, p *shapes.Part) {
	orders := map[int]bool{}
	for _, ply := range p.Plies {
		orders[ply.Order] = true
	}
	first := map[int]*node{}
	of := part.key("stops").of
	for _, n := range part.list("stops") {
		at, s := n, shapes.Stop{}
		if n.kind == mapNode {
			m := r.fields(n, stopForm, "")
			s.After, _ = m.whole("after")
			s.Reason, _ = m.text("reason")
			at = m.at("after")
		} else if v, ok := r.number(n, of.short, "stops", ""); ok {
			s.After = int(v)
		}
		switch other := first[s.After]; {
		case s.After == 0: // told already
		case other != nil:
			r.fault(at, "", fmt.Sprintf("the stop after order %d stands twice, first on line %d", s.After, other.line), "")
		case !orders[s.After] && len(orders) > 0:
			r.fault(at, "", fmt.Sprintf("stops: the part has no order %d", s.After), "a stop follows an order of the lay-up")
		default:
			first[s.After] = at
			p.Stops = append(p.Stops, s)
		}
	}
	sort.Slice(p.Stops, func(i, j int) bool { return p.Stops[i].After < p.Stops[j].After })
}
