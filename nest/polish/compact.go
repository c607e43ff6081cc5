package polish

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest/polish/internal/simplex"
)

const (
	defaultMaxSteps = 1000
	defaultMinGain  = 1e-7
	// patience is how many steps in a row may go by without a gain in length.
	patience = 2
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
	window  int
	steps   int
	last    outcome
	// good is the latest layout whose overlap was but rounding when relations
	// were chosen for it; nil if none was.
	good   []orb.Point
	before []orb.Point // scratch
}

func newPolisher(l *layout, opt Options, g goal) *polisher {
	p := &polisher{l: l, goal: g, reach: opt.Reach, limit: opt.MaxSteps, minGain: opt.MinGain, window: opt.Window}
	p.step.l = l
	if p.reach <= 0 {
		p.reach = l.size / 5
	}
	if p.limit <= 0 {
		p.limit = max(defaultMaxSteps, 10*l.pieces)
	}
	if p.window <= 1 {
		p.window = defaultWindow
	}
	if p.minGain <= 0 {
		p.minGain = defaultMinGain
	}
	return p
}

func (p *polisher) run(ctx context.Context) Result {
	if p.l.pieces > p.window {
		return p.result(p.sweep(ctx, p.window))
	}
	status := p.descend(ctx)
	for better := true; better && status == Converged; {
		better = false
		if p.goal.shorten {
			better, status = p.switchRivals(ctx)
		}
		if !better && status == Converged && p.l.turn != nil {
			better, status = p.turn(ctx)
		}
		if better && status == Converged {
			status = p.descend(ctx)
		}
	}
	return p.result(status)
}

// result finishes the layout and measures it. Should rounding have led a step
// astray, the last layout known to be without overlap is returned instead.
func (p *polisher) result(status Status) Result {
	overlap := p.l.overlap()
	if overlap > p.l.validity() && p.good != nil {
		copy(p.l.at, p.good)
	}
	p.l.snap()
	overlap = p.l.overlap()
	return Result{
		At:      p.l.at[:p.l.pieces:p.l.pieces],
		Turned:  p.l.turned,
		Length:  p.l.length(),
		Overlap: overlap,
		Valid:   overlap <= p.l.validity(),
		Status:  status,
		Steps:   p.steps,
	}
}

// descend repeats steps until several in a row bring no gain.
func (p *polisher) descend(ctx context.Context) Status {
	for idle := 0; idle < patience; {
		gain, status := p.once(ctx)
		if status != Converged {
			return status
		}
		if !p.goal.shorten && p.last.before <= p.l.tolerance() {
			break
		}
		if idle++; gain {
			idle = 0
		}
	}
	return Converged
}

// once runs one step. Its status is Converged unless the step was not taken.
func (p *polisher) once(ctx context.Context) (gain bool, status Status) {
	if p.steps >= p.limit {
		return false, Limited
	}
	length := p.l.length()
	start := append(p.before[:0], p.l.at...)
	p.last = p.step.run(ctx, p.reach, p.goal)
	p.before = start
	if p.last.before == 0 {
		p.before, p.good = p.good, start
	}
	if p.last.status == simplex.Cancelled {
		return false, Cancelled
	}
	p.steps++
	if p.last.status != simplex.Optimal {
		return false, Converged
	}
	gained := float64(penalty * (p.last.before - p.last.after))
	if p.goal.shorten {
		gained += length - p.l.length()
	}
	return gained > float64(p.minGain*length), Converged
}
