package polish

import (
	"context"
	"fmt"
	"math"

	"plyroom/nest/polish/internal/simplex"

	"github.com/paulmach/orb"
)

const (
	defaultMaxSteps = 200
	defaultMinGain  = 1e-7
	// patience is how many steps in a row may go by without a gain in length.
	patience = 3
)

// Compact moves the pieces of a layout so that it becomes as short as it can
// without passing one piece over another. Pieces may overlap a little to begin
// with, by a hundredth of their size or so; they are taken apart first, for
// which the layout may become longer within the strip's MaxLength. shapes[i]
// lies at at[i]; identical pieces should share one Shape.
//
// When the context ends, the best layout so far is returned without error.
// An error wraps ErrInput and means that nothing was tried.
func Compact(ctx context.Context, strip Strip, shapes []*Shape, at []orb.Point, opt Options) (Result, error) {
	l, err := newLayout(strip, shapes, at, opt)
	if err != nil {
		return Result{}, err
	}
	end := math.Inf(1)
	if strip.MaxLength > 0 {
		end = strip.MaxLength
	}
	p := newPolisher(l, opt, goal{end: end, shorten: true})
	p.l.pullIn(math.Inf(1))
	result := p.run(ctx)
	result.Valid = result.Valid && result.Length <= end+l.tolerance()
	return result, nil
}

// Separate moves the pieces of a layout as little as needed so that they no
// longer overlap and none reaches beyond the given length. Where that does not
// succeed, the overlap is as small as it could be made. Everything else is as
// for Compact.
func Separate(ctx context.Context, strip Strip, length float64, shapes []*Shape, at []orb.Point, opt Options) (Result, error) {
	l, err := newLayout(strip, shapes, at, opt)
	if err != nil {
		return Result{}, err
	}
	if !(length > 0 && length <= largestCoordinate) {
		return Result{}, fmt.Errorf("%w: length %v", ErrInput, length)
	}
	p := newPolisher(l, opt, goal{end: length})
	p.l.pullIn(length)
	result := p.run(ctx)
	result.Valid = result.Valid && result.Length <= length+l.tolerance()
	return result, nil
}

// polisher repeats steps until there is no gain.
type polisher struct {
	l       *layout
	step    step
	goal    goal
	reach   float64
	limit   int
	minGain float64
	steps   int
}

func newPolisher(l *layout, opt Options, g goal) *polisher {
	p := &polisher{l: l, goal: g, reach: opt.Reach, limit: opt.MaxSteps, minGain: opt.MinGain}
	p.step.l = l
	if p.reach <= 0 {
		p.reach = l.size / 20
	}
	if p.limit <= 0 {
		p.limit = defaultMaxSteps
	}
	if p.minGain <= 0 {
		p.minGain = defaultMinGain
	}
	return p
}

func (p *polisher) run(ctx context.Context) Result {
	status := Converged
	idle := 0
	for idle < patience {
		if p.steps >= p.limit {
			status = Limited
			break
		}
		length := p.l.length()
		out := p.step.run(ctx, p.reach, p.goal)
		if out.status == simplex.Cancelled {
			status = Cancelled
			break
		}
		p.steps++
		if out.status != simplex.Optimal {
			break
		}
		tol := p.l.tolerance()
		if !p.goal.shorten && out.before <= tol {
			break
		}
		gain := float64(penalty * (out.before - out.after))
		if p.goal.shorten {
			gain += length - p.l.length()
		}
		if gain > float64(p.minGain*length) {
			idle = 0
			continue
		}
		idle++
	}
	overlap := p.l.overlap()
	return Result{
		At:      p.l.at[:p.l.pieces:p.l.pieces],
		Length:  p.l.length(),
		Overlap: overlap,
		Valid:   overlap <= 100*p.l.tolerance(),
		Status:  status,
		Steps:   p.steps,
	}
}
