package polish

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

const (
	// defaultWindow is how many pieces go into one program at most.
	defaultWindow = 200
	// windowSteps is how many steps a window is given before the next.
	windowSteps = 6
	// windowRetries is how many sweeps in a row may fail to lessen the deepest
	// overlap.
	windowRetries = 3
)

// sweep polishes a layout of too many pieces for one program: windows of pieces
// from the start of the strip to its end, each overlapping the next by half,
// are moved among their neighbours; what follows a window is then moved up to
// it as a whole. Sweeps are repeated until the length gains no more.
func (p *polisher) sweep(ctx context.Context, window int) Status {
	for stalled := 0; ; {
		length, overlap := p.l.length(), p.l.overlap()
		order := make([]int, p.l.pieces)
		for i := range order {
			order[i] = i
		}
		left := func(i int) float64 { return p.l.shape[i].bound.Min[0] + p.l.at[i][0] }
		slices.SortStableFunc(order, func(a, b int) int { return compareFloats(left(a), left(b)) })
		// Windows with other borders may free what these could not.
		for from := -stalled * window / 8; ; from += window / 2 {
			to := min(from+window, len(order))
			if to <= 0 {
				continue
			}
			if status := p.polishWindow(ctx, order[max(from, 0):to]); status != Converged {
				return status
			}
			if to == len(order) {
				break
			}
			if p.goal.shorten {
				p.l.moveUp(order[:to], order[to:])
			}
		}
		now := p.l.overlap()
		if now <= p.l.validity() {
			p.good = append(p.good[:0], p.l.at...)
		}
		if now > p.l.validity() {
			if stalled++; now < overlap*0.99 {
				stalled = 0
			}
			if stalled <= windowRetries {
				continue
			}
		}
		if !p.goal.shorten || length-p.l.length() <= float64(p.minGain*length) {
			return Converged
		}
	}
}

// polishWindow runs some steps on the given pieces alone.
func (p *polisher) polishWindow(ctx context.Context, pieces []int) Status {
	sub, from := p.l.window(pieces, 2*p.reach*windowSteps)
	w := &polisher{l: sub, goal: p.goal, reach: p.reach, limit: p.limit - p.steps, minGain: p.minGain}
	w.step.l = sub
	pull := func() float64 {
		sum := 0.0
		for k := range pieces {
			sum += sub.at[k][0]
		}
		return sum / float64(len(pieces))
	}
	status := Converged
	for range windowSteps {
		before := pull()
		if _, status = w.once(ctx); status != Converged {
			break
		}
		if w.last.before == 0 && before-pull() <= float64(p.minGain*p.l.scale) {
			break
		}
		if !p.goal.shorten && w.last.before == 0 {
			break
		}
	}
	p.steps += w.steps
	for k, i := range from[:len(pieces)] {
		p.l.at[i] = sub.at[k]
	}
	return status
}

// window returns a layout of the given pieces, in which the others that they
// could meet within a distance are fixed, and which piece each of its pieces is
// in l.
func (l *layout) window(pieces []int, distance float64) (sub *layout, from []int) {
	inside := make([]bool, l.pieces)
	box := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, i := range pieces {
		inside[i] = true
		box = box.Union(l.bound(i))
	}
	from = slices.Clone(pieces)
	box = box.Pad(distance + l.gap)
	for i := range l.pieces {
		if !inside[i] && box.Intersects(l.bound(i)) {
			from = append(from, i)
		}
	}
	bodies := slices.Clone(from)
	for b := l.pieces; b < len(l.shape); b++ {
		bodies = append(bodies, b)
	}
	sub = &layout{strip: l.strip, gap: l.gap, pieces: len(from), scale: l.scale, size: l.size, sums: l.sums, kinds: l.kinds}
	for k, b := range bodies {
		sub.shape = append(sub.shape, l.shape[b])
		sub.kind = append(sub.kind, l.kind[b])
		sub.at = append(sub.at, l.at[b])
		sub.fixed = append(sub.fixed, k >= len(pieces) || l.fixed[b])
	}
	return sub, from
}

// moveUp moves the pieces of rest towards the start of the strip, all by the
// same distance, until one of them meets one of those ahead. Where obstacles or
// fixed pieces are in the way of any, nothing moves.
func (l *layout) moveUp(ahead, rest []int) {
	if len(l.shape) > l.pieces {
		return
	}
	// No further than some pieces' length at once, so that few can meet.
	free := 20 * l.size
	front, back := math.Inf(1), 0.0
	for _, j := range rest {
		if l.fixed[j] {
			return
		}
		front = min(front, l.bound(j).Min[0])
	}
	free = min(free, front)
	var last, first []int // those that can meet
	for _, i := range ahead {
		if far := l.bound(i).Max[0]; far+free+l.gap > front {
			last = append(last, i)
			back = max(back, far)
		}
	}
	for _, j := range rest {
		if l.bound(j).Min[0] < back+free+l.gap {
			first = append(first, j)
		}
	}
	var near []nearSum
	for _, i := range last {
		bi := l.bound(i)
		for _, j := range first {
			bj := l.bound(j)
			if bj.Min[0]-bi.Max[0] >= free+l.gap || bj.Min[1] >= bi.Max[1]+l.gap || bi.Min[1] >= bj.Max[1]+l.gap {
				continue
			}
			r := minus(l.at[j], l.at[i])
			near = l.nearSums(near[:0], i, j, r, free+l.gap)
			for _, s := range near {
				free = min(free, s.clearance(r, l.gap, l.tolerance()))
			}
		}
	}
	// A hair's breadth is left, lest rounding make an overlap of it.
	if free -= l.tolerance(); free <= 0 {
		return
	}
	for _, j := range rest {
		l.at[j][0] -= free
	}
}

// clearance returns how far r can move towards smaller x before the parts are
// nearer than the gap.
func (s *sum) clearance(r orb.Point, gap, tol float64) float64 {
	enter, leave := 0.0, math.Inf(1)
	for k, n := range s.normal {
		// Inside as long as normal·r - t·normal.x < support + gap.
		out := dot(n, r) - s.support[k] - gap
		switch {
		case n[0] > 0:
			enter = max(enter, out/n[0])
		case n[0] < 0:
			leave = min(leave, out/n[0])
		case out >= 0:
			return math.Inf(1)
		}
	}
	if enter >= leave-tol {
		return math.Inf(1) // passes by, if by a hair's breadth
	}
	return enter
}
