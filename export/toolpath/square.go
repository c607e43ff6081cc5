package toolpath

import (
	"fmt"

	"github.com/paulmach/orb"

	"plyroom/shapes/geom"
)

const (
	// squareStep is the grid on which a place for the check square is looked
	// for, squareReach how far along the roll, mm.
	squareStep  = 5
	squareReach = 2000
	// squareClear is kept free between the check square and any ply, mm.
	squareClear = 3
)

// checkSquare puts the check square and the legs inside it before all other
// cuts, in the first free place along the roll; where there is none, that is a
// warning.
func (p *Path) checkSquare() {
	side := p.Machine.CheckSquare
	if side == 0 {
		return
	}
	at, ok := p.freeSquare(side)
	if !ok {
		p.notes = append(p.notes, fmt.Sprintf("no room for a check square of %g mm near the start; measure the first ply instead", side))
		return
	}
	leg := float64(0.35 * side)
	c := orb.Point{at[0] + side/2, at[1] + side/2}
	const cos45 = 0.7071067811865476
	label := fmt.Sprintf("%g mm each way; legs along the roll and at +45 degrees", side)
	p.Cuts = append(p.Cuts,
		Cut{Number: 1, Kind: CheckCut, Label: label, Loop: -1, Part: 1, Parts: 1, Points: orb.LineString{{c[0] + float64(leg*cos45), c[1] + float64(leg*cos45)}, c, {c[0] + leg, c[1]}}},
		Cut{Number: 2, Kind: CheckCut, Label: label, Loop: -2, Part: 1, Parts: 1, Closed: true,
			Points: orb.LineString{at, {at[0] + side, at[1]}, {at[0] + side, at[1] + side}, {at[0], at[1] + side}}},
	)
}

// freeSquare finds the lower left corner of a free square, least x first.
func (p *Path) freeSquare(side float64) (orb.Point, bool) {
	end := min(p.Windows[0].To, squareReach, p.Head.Usable.Max[0])
	u := p.Head.Usable
	for x := max(u.Min[0], p.Windows[0].From); x+side <= end; x += squareStep {
		for y := u.Min[1]; y+side <= u.Max[1]; y += squareStep {
			b := orb.Bound{Min: orb.Point{x, y}, Max: orb.Point{x + side, y + side}}.Pad(squareClear)
			if p.guard.clear(b) {
				return orb.Point{x, y}, true
			}
		}
	}
	return orb.Point{}, false
}

// clear reports whether no ply has material in a box.
func (g *guard) clear(b orb.Bound) bool {
	free := true
	g.boxes.Search(b.Min, b.Max, func(_, _ [2]float64, i int) bool {
		free = !materialIn(&g.items[i], b)
		return free
	})
	return free
}

// materialIn reports whether an item has material in a box: its boundary
// passes through, or the box lies wholly inside.
func materialIn(it *item, b orb.Bound) bool {
	for _, r := range append([]orb.Ring{it.outline}, it.holes...) {
		for i, p := range r {
			if passes(p, r[(i+1)%len(r)], b) {
				return true
			}
		}
	}
	return geom.PointInPolygon(it.outline, it.holes, b.Center()) != geom.Outside
}

// passes reports whether a segment has a point in a box: the part of it within
// the box's x and y ranges is not empty.
func passes(p, q orb.Point, b orb.Bound) bool {
	lo, hi := 0.0, 1.0
	for k := range 2 {
		d := q[k] - p[k]
		if d == 0 {
			if p[k] < b.Min[k] || p[k] > b.Max[k] {
				return false
			}
			continue
		}
		t0, t1 := (b.Min[k]-p[k])/d, (b.Max[k]-p[k])/d
		lo, hi = max(lo, min(t0, t1)), min(hi, max(t0, t1))
	}
	return lo <= hi
}
