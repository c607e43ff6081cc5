package hpgl

import (
	"math"

	"plyroom/export/toolpath"
	"plyroom/shapes/steady"
)

const (
	// leastChord is the smallest chord angle that plotters take, degrees.
	leastChord = 0.5
	// chordStray is how far a plotter's own chords may stand off an arc, mm.
	chordStray = 0.003
)

// fine is how far chords may stand off an arc, mm, where they are written
// instead of it: a fifth of a plotter unit, and no more than a plotter's own.
func (o *output) fine() float64 { return math.Min(chordStray, 0.2/o.p.Machine.PlotterUnits) }

// arc writes an arc as AA: centre, sweep and chord angle. It reports false, and
// writes nothing, where rounding to plotter units would move the arc further
// than it may move a point, or where the plotter's own chords would be coarse.
func (o *output) arc(mv toolpath.Move) bool {
	k := o.p.Machine.PlotterUnits
	c, to := o.frame.Point(mv.Centre), o.frame.Point(mv.To)
	cx, cy, r := float64(c[0]*k), float64(c[1]*k), float64(steady.Hypot(to[0]-c[0], to[1]-c[1])*k)
	chord := 2 * steady.Acos(1-math.Min(1, chordStray*k/r)) * 180 / math.Pi
	if chord < leastChord {
		return false
	}
	end := o.units(mv.To)
	best, sweep, stray := point{}, 0.0, math.Inf(1)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			m := point{int(math.Round(cx)) + dx, int(math.Round(cy)) + dy}
			ax, ay := float64(o.at.x-m.x), float64(o.at.y-m.y)
			bx, by := float64(end.x-m.x), float64(end.y-m.y)
			// How far the arc drawn about m through the pen may lie off the true one.
			d := math.Abs(steady.Hypot(ax, ay)-r) + steady.Hypot(float64(m.x)-cx, float64(m.y)-cy)
			if turn := steady.Atan2(float64(ax*by)-float64(ay*bx), float64(ax*bx)+float64(ay*by)); d < stray && turn*o.frame.Sweep(mv.Sweep) > 0 {
				best, sweep, stray = m, turn*180/math.Pi, d
			}
		}
	}
	if stray > math.Sqrt2/2 {
		return false
	}
	o.flush()
	o.line("PD;AA%d,%d,%s,%s;", best.x, best.y, toolpath.Decimal(sweep, 4), toolpath.Decimal(math.Min(5, math.Floor(chord*100)/100), 2))
	// The pen stands where its own arithmetic left it; the end is told to it.
	o.at = end
	o.line("PD%d,%d;", end.x, end.y)
	return true
}
