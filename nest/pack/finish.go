package pack

import (
	"context"
	"math"

	"github.com/paulmach/orb"

	"plyroom/nest/polish"
	"plyroom/shapes/steady"
)

// A finisher turns a layout that is nearly as short as its arrangement allows
// into one that is exactly so, by package polish. It belongs to one goroutine.
type finisher struct {
	w      *world
	shapes []([]*polish.Shape) // per kind and variant
	strip  polish.Strip

	use   []*polish.Shape
	at    []orb.Point
	turns []polish.Turn
	steps int // linear programs not yet counted as work
}

func newFinisher(w *world) *finisher {
	f := &finisher{w: w, shapes: make([][]*polish.Shape, len(w.kinds))}
	for i := range w.kinds {
		f.shapes[i] = make([]*polish.Shape, len(w.kinds[i].variants))
	}
	f.strip = polish.Strip{Width: w.width, MaxLength: w.maxLength, Obstacles: w.problem.Obstacles}
	return f
}

// shape is the outline of a kind in a pose, about the centre of its box.
func (f *finisher) shape(k int32, p *pose) (*polish.Shape, error) {
	kd := &f.w.kinds[k]
	if p.variant >= 0 {
		if s := f.shapes[k][p.variant]; s != nil {
			return s, nil
		}
		v := kd.variants[p.variant]
		s, err := f.make(k, v.Mirrored, v.Degrees)
		f.shapes[k][p.variant] = s
		return s, err
	}
	return f.make(k, p.mirrored, p.degrees)
}

func (f *finisher) make(k int32, mirrored bool, degrees float64) (*polish.Shape, error) {
	piece, s := &f.w.problem.Pieces[k], f.w.kinds[k].shape
	sin, cos := steady.SincosDegrees(degrees)
	turn := func(r orb.Ring) orb.Ring {
		out := make(orb.Ring, len(r))
		for i, v := range r {
			x, y := v[0]-s.CenterX, v[1]-s.CenterY
			if mirrored {
				y = -y
			}
			out[i] = orb.Point{float64(cos*x) - float64(sin*y), float64(sin*x) + float64(cos*y)}
		}
		return out
	}
	var holes []orb.Ring
	for _, h := range piece.Holes {
		holes = append(holes, turn(h))
	}
	return polish.NewShape(turn(piece.Exterior), holes)
}

// prepare translates poses into the terms of package polish.
func (f *finisher) prepare(poses []pose) bool {
	f.use, f.at, f.turns = f.use[:0], f.at[:0], f.turns[:0]
	for i := range poses {
		p := &poses[i]
		k := f.w.items[i]
		s, err := f.shape(k, p)
		if err != nil {
			return false
		}
		f.use, f.at = append(f.use, s), append(f.at, orb.Point{p.x, p.y})
		f.turns = append(f.turns, f.w.kinds[k].freedom(p))
	}
	return true
}

// freedom is how far a pose may still turn either way.
func (k *kind) freedom(p *pose) polish.Turn {
	if p.variant >= 0 {
		return polish.Turn{}
	}
	o, ok := k.span(p.mirrored, p.degrees)
	switch {
	case !ok:
		return polish.Turn{}
	case o.To-o.From >= 360:
		return polish.Turn{From: -180, To: 180}
	}
	return polish.Turn{From: o.From - p.degrees, To: o.To - p.degrees}
}

// compact shortens a layout, in at most steps linear programs, and writes the
// poses to out. The plies may overlap a little; the result then is to be shorter
// than length. The result is no layout yet: the judge has to see it. It is false
// where polishing failed or gained nothing.
func (f *finisher) compact(ctx context.Context, out, poses []pose, length float64, steps int) bool {
	if !f.prepare(poses) {
		return false
	}
	opt := polish.Options{Gap: f.w.gap, MaxSteps: steps}
	if f.w.mixed {
		opt.Turn = f.turns
	}
	strip := f.strip
	if strip.MaxLength <= 0 || length < strip.MaxLength {
		strip.MaxLength = length
	}
	r, err := polish.Compact(ctx, strip, f.use, f.at, opt)
	f.steps += r.Steps + 1
	if err != nil || !r.Valid || !(r.Length < length) {
		return false
	}
	f.moved(out, poses, &r)
	return true
}

// separate takes pieces that overlap a little apart within length; otherwise
// as for compact.
func (f *finisher) separate(ctx context.Context, out, poses []pose, length float64, steps int) bool {
	if !f.prepare(poses) {
		return false
	}
	opt := polish.Options{Gap: f.w.gap, MaxSteps: steps}
	if f.w.mixed {
		opt.Turn = f.turns
	}
	r, err := polish.Separate(ctx, f.strip, length, f.use, f.at, opt)
	f.steps += r.Steps + 1
	if err != nil || !r.Valid {
		return false
	}
	f.moved(out, poses, &r)
	return true
}

func (f *finisher) moved(out, poses []pose, r *polish.Result) {
	for i := range poses {
		p := poses[i]
		p.x, p.y = r.At[i][0], r.At[i][1]
		if r.Turned != nil && r.Turned[i] != 0 {
			k := &f.w.kinds[f.w.items[i]]
			p.degrees = k.clampAngle(p.mirrored, p.degrees+r.Turned[i], p.degrees)
		}
		out[i] = p
	}
}

const (
	// polishSteps is the most linear programs for one polishing during the
	// search.
	polishSteps = 40
	// polishWork is what one linear program costs per ply, in candidate poses
	// costed: some microseconds for plies of a few convex parts.
	polishWork = 100
	// polishTurning is the same for preparing a ply that turns.
	polishTurning = 3000
	// polishShare is how many times the work of the last polishing has to pass
	// before the next.
	polishShare = 5
)

// polishCost is the work of one linear program on one ply.
func (w *world) polishCost() float64 {
	parts := 0.0
	for _, k := range w.items {
		parts += float64(w.kinds[k].shape.Parts())
	}
	parts /= float64(len(w.items))
	return polishWork * math.Max(1, parts*parts/10)
}

// due tells whether polishing now keeps it a small share of all work.
func (st *stream) due() bool {
	return !st.plain && st.s.evals-st.polished >= polishShare*st.polishCost
}

// charge counts the linear programs solved as work.
func (st *stream) charge() {
	n := float64(len(st.s.pose) + len(st.w.blocks))
	cost := float64(float64(st.finish.steps) * n * st.finishCost)
	if st.w.mixed {
		cost += float64(n * polishTurning)
	}
	st.polishCost = int64(cost)
	st.s.evals += st.polishCost
	st.polished = st.s.evals
	st.finish.steps = 0
}

// polish shortens the layout the state holds, which is free of overlap. Where
// that fails the state keeps the layout it had.
func (st *stream) polish(steps int) { st.shorten(st.s.reach(), steps) }

// harden turns the state, in which plies may overlap by the leeway, into a
// layout shorter than length. Where that fails the state is as it was.
func (st *stream) harden(length float64) bool {
	if !st.shorten(length, polishSteps) {
		return false
	}
	st.s.length = st.s.reach()
	return true
}

// shorten makes of what the state holds a layout shorter than length, in at most
// steps linear programs. Where that fails the state is as it was.
func (st *stream) shorten(length float64, steps int) bool {
	if !st.ready() {
		return false
	}
	defer st.charge()
	s := st.s
	copy(st.before, s.pose)
	if st.finish.compact(st.ctx, st.after, st.before, length, steps) && st.passes(st.after) && s.reach() < length {
		return true
	}
	s.load(st.before)
	return false
}

// rescue tries to take the poses, which overlap a little, apart within the
// state's length; on success the state holds them.
func (st *stream) rescue(poses []pose) bool {
	if !st.ready() {
		return false
	}
	defer st.charge()
	return st.finish.separate(st.ctx, st.after, poses, st.s.length, polishSteps) && st.passes(st.after) &&
		st.s.reach() <= st.s.length+st.w.tol
}

// passes loads poses and asks the judge.
func (st *stream) passes(poses []pose) bool {
	st.s.load(poses)
	return st.s.valid()
}

func (st *stream) ready() bool {
	if st.plain {
		return false
	}
	if st.finish == nil {
		st.finish = newFinisher(st.w)
		n := len(st.w.items)
		st.before, st.after = make([]pose, n), make([]pose, n)
		st.finishCost = st.w.polishCost()
	}
	return true
}

// inside tells whether all items lie on the strip.
func (s *state) inside() bool {
	for i := range s.box {
		b := &s.box[i]
		if b.MinX < -s.w.tol || b.MinY < -s.w.tol || b.MaxY > s.w.width+s.w.tol {
			return false
		}
	}
	return true
}
