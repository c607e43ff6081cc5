package account

import (
	"math"

	"plyroom/nest"
	"plyroom/shapes/steady"
)

// Minutes estimates the working time of a record at its rates.
//
// Cutting is the length of all cut lines over the knife's speed, and a lift
// for each outline and cut-out; a spread's lines are cut once for all its
// layers. Spreading is the length of each layer over the speed at which it is
// laid, with a set-up for each layer and each layout. A roll is changed
// wherever the roll of a fabric is not the one last on its stand; the first
// roll of each fabric counts. Kitting is a walk for each lift: what one cut
// makes is one lift where it belongs to one kit and lies in lay-up order, and
// as many as it has plies where not.
func Minutes(r *nest.Record) nest.Minutes {
	rates := r.Rules.WorkRates()
	var m nest.Minutes
	on := map[string]string{}
	for i := range r.Layouts {
		l := &r.Layouts[i]
		m.Spreading += rates.Layout
		for _, ly := range l.Layers {
			m.Spreading += rates.Layer + l.Length/1e3/rates.Spread
			if roll, ok := on[ly.Fabric]; !ok || roll != ly.Roll {
				m.RollChanges += rates.RollChange
				on[ly.Fabric] = ly.Roll
			}
		}
		for k := range l.Placed {
			p := &l.Placed[k]
			if p.Layer != 1 {
				continue
			}
			line := perimeter(p.Outline)
			for _, h := range p.Holes {
				line += perimeter(h)
			}
			m.Cutting += line/1e3/rates.Cut + float64(rates.Lift*float64(1+len(p.Holes)))
		}
		m.Kitting += float64(rates.Walk * float64(lifts(l)))
	}
	return m
}

func perimeter(r nest.Ring) float64 {
	sum := 0.0
	for i, p := range r {
		q := r[(i+1)%len(r)]
		sum += steady.Hypot(q[0]-p[0], q[1]-p[1])
	}
	return sum
}

// lifts counts in how many goes the plies of a layout leave the table. The
// plies of one cut lie one over the other: layers list them in one order, or
// else they have one bottom left corner.
func lifts(l *nest.Layout) int {
	if len(l.Layers) < 2 {
		return len(l.Placed)
	}
	stacks := map[nest.Point][]*nest.Placed{}
	for i := range l.Placed {
		p := &l.Placed[i]
		stacks[corner(p.Outline)] = append(stacks[corner(p.Outline)], p)
	}
	n := 0
	for _, s := range stacks {
		if liftable(s) {
			n++
		} else {
			n += len(s)
		}
	}
	return n
}

// liftable reports whether plies that lie one over the other go into one kit
// as they are: one part and unit, none turned over, orders rising from below.
func liftable(s []*nest.Placed) bool {
	for _, p := range s {
		if p.Part != s[0].Part || p.Unit != s[0].Unit || p.TurnedOver != s[0].TurnedOver || p.TurnedOver {
			return false
		}
		for _, q := range s {
			if p.Layer < q.Layer && p.Order > q.Order {
				return false
			}
		}
	}
	return true
}

// corner is a vertex that tells plies of one cut from those of others: the
// lowest of the leftmost, to the hundredth of a millimetre.
func corner(r nest.Ring) nest.Point {
	best := nest.Point{math.Inf(1), math.Inf(1)}
	for _, p := range r {
		q := nest.Point{math.Round(p[0] * 100), math.Round(p[1] * 100)}
		if q[0] < best[0] || q[0] == best[0] && q[1] < best[1] {
			best = q
		}
	}
	return best
}
