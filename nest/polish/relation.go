package polish

import (
	"math"

	"github.com/paulmach/orb"
)

// A relation keeps two parts of different bodies apart: with r the second
// body's position less the first's, normal·r >= least, gap included.
type relation struct {
	normal orb.Point
	least  float64
	parts  partPair
	edge   int32 // of the parts' sum, or -1
	other  int32 // another edge that keeps them apart just as well, or -1
	side   side
}

// side says what a relation's normal turns with.
type side int8

const (
	ofFirst  side = iota // an edge of the first part
	ofSecond             // an edge of the second part
	ofNone               // the line between two corners
)

// partPair names two parts of two bodies.
type partPair struct{ first, second, p, q int32 }

// chooser finds the relations between two bodies.
type chooser struct {
	l *layout
	// instead names, for some pairs of parts, the edge to be passed over where
	// another keeps them apart as well. Looked up only.
	instead map[partPair]int32

	// all keeps relations that others imply; once the bodies turn, they may no
	// longer.
	all bool

	near   []nearSum
	best   []direction // by near sum
	escape escaper
	chosen []relation
	reduce reducer
}

// pairRelations is what chooser finds for two bodies.
type pairRelations struct {
	relations []relation // valid until the next choice
	// depth is the greatest amount by which a relation does not hold.
	depth float64
}

// choose returns relations that together keep bodies i and j apart, as far as
// it matters when each coordinate of their relative position changes by no more
// than reach. Where the bodies overlap, they are chosen at the nearest relative
// position at which they do not.
func (c *chooser) choose(i, j int, reach float64) pairRelations {
	l := c.l
	r := minus(l.at[j], l.at[i])
	gap := l.gapBetween(i, j)
	c.near = l.nearSums(c.near[:0], i, j, r, reach+gap)
	tol := l.tolerance()
	at := r
	c.best = c.best[:0]
	tooNear := false
	for _, s := range c.near {
		best := s.direction(r, gap)
		c.best = append(c.best, best)
		tooNear = tooNear || gap-best.apart > tol
	}
	if tooNear {
		if out, ok := c.escape.find(c.near, r, gap, tol, reach); ok {
			at = out
			for k, s := range c.near {
				c.best[k] = s.direction(at, gap)
			}
		}
	}
	c.chosen = c.chosen[:0]
	depth := 0.0
	for k, s := range c.near {
		normal, support, edge := c.best[k].normal, c.best[k].support, c.best[k].edge
		apart := c.best[k].apart
		parts := partPair{int32(i), int32(j), s.first, s.second}
		other := int32(-1)
		if edge >= 0 {
			other = s.rival(at, edge, apart, tol)
			if passed, ok := c.instead[parts]; ok && other >= 0 && int(passed) == edge {
				edge, other = int(other), int32(edge)
				normal, support = s.normal[edge], s.support[edge]
			}
		}
		least := support + gap
		lacking := least - dot(normal, r)
		// Nothing within reach can break a relation that holds by more.
		if -lacking > float64(reach*(math.Abs(normal[0])+math.Abs(normal[1]))) {
			continue
		}
		depth = max(depth, lacking)
		c.chosen = append(c.chosen, relation{normal, least, parts, int32(edge), other, s.sideOf(edge)})
	}
	if c.all {
		return pairRelations{c.chosen, depth}
	}
	if depth <= tol {
		return pairRelations{c.reduce.reduce(c.chosen, r, reach), 0}
	}
	return pairRelations{distinct(c.chosen), depth}
}

// rival returns the edge next to the given one that keeps the parts apart at r
// as well, or -1.
func (s *sum) rival(r orb.Point, edge int, apart, tol float64) int32 {
	n := len(s.normal)
	best, rival := math.Inf(-1), int32(-1)
	for _, step := range [...]int{1, n - 1} {
		// Skip edges that are parallel to this one but for rounding.
		for k, tries := (edge+step)%n, 0; tries < n-1; k, tries = (k+step)%n, tries+1 {
			if dot(s.normal[k], s.normal[edge]) > 1-1e-14 {
				continue
			}
			if d := dot(s.normal[k], r) - s.support[k]; d > apart-float64(100*tol) && d >= -tol && d > best {
				best, rival = d, int32(k)
			}
			break
		}
	}
	return rival
}

func (s *sum) sideOf(edge int) side {
	switch {
	case edge < 0:
		return ofNone
	case s.first[edge]:
		return ofFirst
	default:
		return ofSecond
	}
}
