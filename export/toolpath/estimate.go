package toolpath

import "math"

// Stats sums up a path. Lengths are mm, times minutes.
type Stats struct {
	// Plies counts the plies that the cuts set free.
	Plies, Cuts int
	// CutLength is the way with the knife down, Travel the way with it up
	// between cuts and, at overcut corners, within them.
	CutLength, Travel float64
	// OrderTravel is the way from home to the first cut and between the cuts,
	// which the order makes short; Travel differs from it only by overcuts,
	// blade offset and lead-in, and by the way to and between marks in ink.
	OrderTravel float64
	// PlainTravel is the same way of a plain nearest-neighbour order under the
	// same rules, each cut begun where the record lists its first vertex.
	PlainTravel float64
	// Lifts counts how often the knife is raised, Turns how often it is turned
	// raised; Swings how often a drag knife swings round a corner.
	Lifts, Turns, Swings int
	// Ink is the way with the pen down.
	Ink float64
	// Advances counts how often the fabric is drawn on.
	Advances int
	// Minutes is the estimate of the whole, from the machine's feeds, its
	// acceleration, lifts, turns and pauses.
	Minutes float64
}

// measure fills in the sums of the moves.
func (p *Path) measure() {
	s := Stats{PlainTravel: p.Stats.PlainTravel, OrderTravel: p.Stats.OrderTravel, Cuts: len(p.Cuts)}
	s.Plies = p.freed()
	m := p.Machine
	seconds, run := 0.0, 0.0
	stop := func(feed float64) {
		seconds += trapezoid(run, feed/60, m.Acceleration)
		run = 0
	}
	at, heading := p.startAt(), 0.0
	down := false
	for i, mv := range p.Moves {
		turn := math.Abs(normal(mv.Heading - heading))
		switch mv.Op {
		case Travel:
			d := dist(at, mv.To)
			s.Travel += d
			t := trapezoid(d, m.Rapid/60, m.Acceleration)
			if m.Kind != Drag && mv.Cut >= 0 {
				if turn > 0.01 {
					s.Turns++
				}
				t = math.Max(t, turn/m.TurnSpeed)
			}
			seconds += t
		case Turn:
			s.Turns++
			seconds += turn / m.TurnSpeed
		case Lower:
			down = true
			seconds += m.LiftTime
		case Lift:
			stop(m.Feed)
			down = false
			s.Lifts++
			seconds += m.LiftTime
		case Draw:
			d := swept(at, mv.To, mv.Centre, mv.Sweep)
			run += d
			if mv.Cut < 0 {
				s.Ink += d
			} else {
				s.CutLength += d
			}
			if m.Kind == Drag && down && sharp(p.Moves, i, m) {
				s.Swings++
				stop(m.Feed)
			}
		case Write:
			l := p.Labels[mv.Label]
			// A letter is about four heights of line and two lifts.
			n := float64(len([]rune(l.Text)))
			s.Ink += float64(4 * l.Height * n)
			seconds += float64(n * (trapezoid(4*l.Height, m.Feed/60, m.Acceleration) + 2*m.LiftTime))
		case Advance:
			s.Advances++
			seconds += m.PauseTime
		}
		at, heading = mv.To, mv.Heading
	}
	s.Minutes = seconds / 60
	p.Stats = s
}

// freed counts the plies that come free by the cuts of this path.
func (p *Path) freed() int {
	n, i := 0, 0
	for _, y := range p.Plies {
		for i < len(p.Cuts) && p.Cuts[i].Number < y.Free {
			i++
		}
		if i < len(p.Cuts) && p.Cuts[i].Number == y.Free {
			n++
		}
	}
	return n
}

// sharp reports whether the straight move i ends at a corner that a drag knife
// swings round.
func sharp(moves []Move, i int, m Machine) bool {
	if i+1 >= len(moves) || moves[i+1].Op != Draw {
		return false
	}
	if m.ArcTolerance > 0 {
		return !swings(&moves[i], m) && swingArcs(moves[i+1:], m) > m.CornerAngle
	}
	step := math.Abs(normal(moves[i+1].Heading - moves[i].Heading))
	before := 0.0
	if i > 0 {
		before = math.Abs(normal(moves[i].Heading - moves[i-1].Heading))
	}
	// The swing's own steps follow one another; only its first counts.
	return step > swingLeast && before <= swingLeast && swingTotal(moves, i+1, moves[i].Heading) > m.CornerAngle
}

// swingTotal is the angle of the swing that begins with move i.
func swingTotal(moves []Move, i int, from float64) float64 {
	sum, h := 0.0, from
	for ; i < len(moves) && moves[i].Op == Draw; i++ {
		step := normal(moves[i].Heading - h)
		if math.Abs(step) <= swingLeast {
			break
		}
		sum += step
		h = moves[i].Heading
	}
	return math.Abs(sum)
}

// swings reports whether a move is an arc of the holder round the tip.
func swings(mv *Move, m Machine) bool {
	return mv.Op == Draw && mv.Sweep != 0 && math.Abs(dist(mv.Centre, mv.To)-m.BladeOffset) < 1e-6
}

// swingArcs is the angle of the swing that moves begin with.
func swingArcs(moves []Move, m Machine) float64 {
	sum := 0.0
	for i := range moves {
		if !swings(&moves[i], m) {
			break
		}
		sum += moves[i].Sweep
	}
	return math.Abs(sum)
}

// trapezoid is the time for a way from rest to rest, s, with a top speed in
// mm/s and an acceleration in mm/s².
func trapezoid(d, v, a float64) float64 {
	if d <= 0 {
		return 0
	}
	if d < v*v/a {
		return 2 * math.Sqrt(d/a)
	}
	return d/v + v/a
}
