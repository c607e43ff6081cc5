package polish

import (
	"context"
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest/polish/internal/simplex"
)

const (
	// swingShare is how far the far end of a piece may swing in one turning
	// step, relative to the pieces' mean diameter, to begin with and at most.
	swingShare = 0.02
	// swingLeast is the share at which turning is given up.
	swingLeast = swingShare * 1e-3
	// reluctance is the cost of turning, for each unit that a piece's far end
	// swings, summed over all pieces: no piece turns for nothing.
	reluctance = 1e-4
)

// turn lets pieces turn as well as move. A turn is not linear in the angle: the
// programs take it as if it were, within a small swing; then the pieces are
// turned exactly and steps that only move them take apart what has come to
// overlap. What is longer in the end than it was is undone and tried with a
// smaller swing. It reports whether anything was gained.
func (p *polisher) turn(ctx context.Context) (gained bool, status Status) {
	swing := float64(swingShare * p.l.size)
	least := float64(swingLeast * p.l.size)
	for swing >= least {
		if p.steps >= p.limit {
			return gained, Limited
		}
		start, good := p.l.posture(), p.good
		length, overlap := p.l.length(), p.l.overlap()
		p.steps++
		solved, promised := p.step.runTurning(ctx, p.reach/4, swing, p.goal)
		if solved == simplex.Cancelled {
			return gained, Cancelled
		}
		if solved != simplex.Optimal || promised <= float64(p.minGain*length) {
			p.l.restore(start)
			break
		}
		p.good = nil // it has the shapes as they were
		ended := p.descend(ctx)
		now := p.l.overlap()
		clear(p.l.sums) // the shapes will not come back
		better := now <= p.l.validity() && (overlap > p.l.validity() ||
			p.goal.shorten && p.l.length() < length-float64(p.minGain*length))
		if better {
			gained = true
			swing = min(swing*1.5, float64(swingShare*p.l.size))
		} else {
			p.l.restore(start)
			p.good = good
			swing /= 3
		}
		if ended != Converged {
			return gained, ended
		}
		if !p.goal.shorten && better {
			break
		}
	}
	return gained, Converged
}

// runTurning solves one program in which pieces may turn, and turns and moves
// them. It returns by how much the program thinks the layout is better.
func (s *step) runTurning(ctx context.Context, reach, swing float64, g goal) (status simplex.Status, promised float64) {
	s.choose.all = true
	s.collect(reach + swing)
	s.choose.all = false
	before := 0.0
	for _, d := range s.depths {
		before += d
	}
	b := turnBuilder{s: s, l: s.l, lp: &s.lp, reach: reach, swing: swing}
	b.build(g)
	s.solver.Tolerance = s.l.tolerance()
	solution := s.solver.Solve(ctx, &s.lp, nil)
	if solution.Status != simplex.Optimal {
		return solution.Status, 0
	}
	z := solution.Z
	after := 0.0
	for k := range s.depths {
		after += z[b.length+1+k]
	}
	promised = float64(penalty * (before - after))
	if g.shorten {
		promised -= z[b.length]
	}
	for i, v := range s.variable {
		if v < 0 {
			continue
		}
		s.l.at[i] = plus(s.l.at[i], orb.Point{z[v], z[v+1]})
		if s.l.mayTurn(i) {
			s.l.turnTo(i, s.l.turned[i]+(z[v+2]-z[v+3])*180/math.Pi)
		}
	}
	s.bounds = s.bounds[:0] // another program's
	clear(s.bound)
	return simplex.Optimal, promised
}

// turnBuilder writes a program with turns. A piece has variables for x, y, and,
// where it may turn, its turn about the middle of its box in radians, as two:
// counter-clockwise and clockwise.
type turnBuilder struct {
	s            *step
	l            *layout
	lp           *simplex.Program
	reach, swing float64
	length       int
}

func (b *turnBuilder) build(g goal) {
	s, l := b.s, b.l
	s.variable = s.variable[:0]
	n := 0
	for i := range l.shape {
		switch {
		case l.fixed[i]:
			s.variable = append(s.variable, -1)
		case l.mayTurn(i):
			s.variable = append(s.variable, int32(n))
			n += 4
		default:
			s.variable = append(s.variable, int32(n))
			n += 2
		}
	}
	b.length = n
	lp := b.lp
	lp.Reset(n + 1 + len(s.depths))
	end := l.length()
	lp.Lo[n], lp.Hi[n] = -b.reach-b.swing, min(max(g.end-end, 0), b.reach)
	if g.shorten {
		lp.Cost[n] = 1
		if len(s.depths) == 0 {
			lp.Hi[n] = 0
		}
	}
	for i, v := range s.variable {
		if v < 0 {
			if i < l.pieces {
				lp.Lo[n] = max(lp.Lo[n], l.bound(i).Max[0]-end)
			}
			continue
		}
		b.piece(i, int(v), end)
	}
	for k, d := range s.depths {
		lp.Hi[n+1+k] = d
		lp.Cost[n+1+k] = penalty
	}
	for k := range s.relations {
		b.relation(k)
	}
}

// piece sets a piece's bounds and costs, and keeps it within the strip.
func (b *turnBuilder) piece(i, v int, end float64) {
	l, lp := b.l, b.lp
	n := float64(l.pieces)
	for k := v; k < v+2; k++ {
		lp.Lo[k], lp.Hi[k] = -b.reach, b.reach
	}
	lp.Cost[v] = pull / n * (1 + noise(uint64(v)))
	lp.Cost[v+1] = drop / n * (1 + noise(uint64(v+1)))
	box := l.shape[i].bound
	middle := box.Center()
	radius := norm(minus(box.Max, middle))
	if l.mayTurn(i) {
		most := b.swing / radius
		lp.Hi[v+2] = min(most, (l.turn[i].To-l.turned[i])*math.Pi/180)
		lp.Hi[v+3] = min(most, (l.turned[i]-l.turn[i].From)*math.Pi/180)
		for k := v + 2; k < v+4; k++ {
			lp.Hi[k] = max(lp.Hi[k], 0)
			lp.Cost[k] = reluctance / n * radius * (1 + noise(uint64(k)))
		}
	}
	near := b.reach + 2*b.swing
	for _, p := range l.shape[i].parts {
		for _, c := range p.pts {
			at := plus(c, l.at[i])
			goes := perpendicular(minus(c, middle))
			// Only corners that may come to be the outermost matter.
			if at[0] < near && c[0]-box.Min[0] < 2*b.swing {
				b.along(i, v, orb.Point{1, 0}, goes, 1)
				lp.Close(-at[0])
			}
			if at[1] < near && c[1]-box.Min[1] < 2*b.swing {
				b.along(i, v, orb.Point{0, 1}, goes, 1)
				lp.Close(-at[1])
			}
			if free := l.strip.Width - at[1]; free < near && box.Max[1]-c[1] < 2*b.swing {
				b.along(i, v, orb.Point{0, 1}, goes, -1)
				lp.Close(-free)
			}
			if behind := end - at[0]; behind < 2*near && box.Max[0]-c[0] < 2*b.swing {
				b.along(i, v, orb.Point{1, 0}, goes, -1)
				lp.Add(b.length, 1)
				lp.Close(-behind)
			}
		}
	}
}

// along adds, with a sign, how far a point of piece i, that a turn of one radian
// takes by goes, moves along a direction.
func (b *turnBuilder) along(i, v int, direction, goes orb.Point, sign float64) {
	b.lp.Add(v, sign*direction[0])
	b.lp.Add(v+1, sign*direction[1])
	b.turns(i, v, sign*dot(direction, goes))
}

func (b *turnBuilder) turns(i, v int, change float64) {
	if b.l.mayTurn(i) {
		b.lp.Add(v+2, change)
		b.lp.Add(v+3, -change)
	}
}

// relation adds the rows of a relation: one for each corner of the part across
// from the edge that may come to be the nearest to it.
func (b *turnBuilder) relation(k int) {
	l := b.l
	rel := b.s.relations[k]
	i, j := int(rel.parts.first), int(rel.parts.second)
	n := rel.normal
	gap := l.gapBetween(i, j)
	r := minus(l.at[j], l.at[i])
	mi, mj := l.shape[i].bound.Center(), l.shape[j].bound.Center()
	p, q := l.shape[i].parts[rel.parts.p].pts, l.shape[j].parts[rel.parts.q].pts
	up, uq := math.Inf(-1), math.Inf(1)
	var cp, cq orb.Point
	for _, c := range p {
		if d := dot(n, c); d > up {
			up, cp = d, c
		}
	}
	for _, c := range q {
		if d := dot(n, c); d < uq {
			uq, cq = d, c
		}
	}
	row := func(u, v orb.Point) {
		apart := dot(n, minus(plus(r, v), u)) - gap
		// How the distance along the normal changes as either body turns; the
		// normal turns with the body whose edge it is square to.
		turnI, turnJ := -dot(n, perpendicular(minus(u, mi))), dot(n, perpendicular(minus(v, mj)))
		switch rel.side {
		case ofFirst:
			turnI = dot(perpendicular(n), minus(plus(r, v), mi))
		case ofSecond:
			turnJ = dot(perpendicular(n), minus(plus(r, mj), u))
		}
		if x := int(b.s.variable[j]); x >= 0 {
			b.lp.Add(x, n[0])
			b.lp.Add(x+1, n[1])
			b.turns(j, x, turnJ)
		}
		if x := int(b.s.variable[i]); x >= 0 {
			b.lp.Add(x, -n[0])
			b.lp.Add(x+1, -n[1])
			b.turns(i, x, turnI)
		}
		if o := b.s.slack[k]; o >= 0 {
			b.lp.Add(b.length+1+int(o), 1)
			b.lp.Close(-apart)
		} else {
			b.lp.Close(min(-apart, 0))
		}
	}
	switch rel.side {
	case ofFirst:
		for _, c := range q {
			if dot(n, c)-uq <= 4*b.swing {
				row(cp, c)
			}
		}
	case ofSecond:
		for _, c := range p {
			if up-dot(n, c) <= 4*b.swing {
				row(c, cq)
			}
		}
	default:
		row(cp, cq)
	}
}
