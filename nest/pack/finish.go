package pack

import (
	"context"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
	"plyroom/nest/polish"
)

// A finisher turns a layout that is nearly as short as its arrangement allows
// into one that is exactly so, by package polish. It belongs to one goroutine.
type finisher struct {
	w      *world
	shapes []([]*polish.Shape) // per kind and variant
	strip  polish.Strip

	use           []*polish.Shape
	at            []orb.Point
	before, after []pose
	steps         int // linear programs not yet counted as work
}

func newFinisher(w *world) *finisher {
	n := len(w.items)
	f := &finisher{w: w, shapes: make([][]*polish.Shape, len(w.kinds)), before: make([]pose, n), after: make([]pose, n)}
	for i := range w.kinds {
		f.shapes[i] = make([]*polish.Shape, len(w.kinds[i].variants))
	}
	f.strip = polish.Strip{Width: w.width, MaxLength: w.problem.MaxLength, Obstacles: w.problem.Obstacles}
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
	sin, cos := collide.SinCos(degrees)
	turn := func(r orb.Ring) orb.Ring {
		out := make(orb.Ring, len(r))
		for i, v := range r {
			x, y := v[0]-s.CenterX, v[1]-s.CenterY
			if mirrored {
				y = -y
			}
			out[i] = orb.Point{cos*x - sin*y, sin*x + cos*y}
		}
		return out
	}
	var holes []orb.Ring
	for _, h := range piece.Holes {
		holes = append(holes, turn(h))
	}
	return polish.NewShape(turn(piece.Exterior), holes)
}

// prepared returns shapes and positions of poses, for package polish.
func (f *finisher) prepared(poses []pose) bool {
	f.use, f.at = f.use[:0], f.at[:0]
	for i := range poses {
		p := &poses[i]
		s, err := f.shape(f.w.items[i], p)
		if err != nil {
			return false
		}
		f.use, f.at = append(f.use, s), append(f.at, orb.Point{p.x, p.y})
	}
	return true
}

// compact shortens a layout, in at most steps linear programs, and writes the
// poses to out. The result is no layout yet: the judge has to see it. It is
// false where polishing failed or gained nothing.
func (f *finisher) compact(ctx context.Context, out, poses []pose, length float64, steps int) bool {
	if !f.prepared(poses) {
		return false
	}
	r, err := polish.Compact(ctx, f.strip, f.use, f.at, polish.Options{Gap: f.w.gap, MaxSteps: steps})
	f.steps += r.Steps + 1
	if err != nil || !r.Valid || !(r.Length < length) {
		return false
	}
	moved(out, poses, r.At)
	return true
}

// separate takes pieces that overlap a little apart within length; otherwise
// as for compact.
func (f *finisher) separate(ctx context.Context, out, poses []pose, length float64, steps int) bool {
	if !f.prepared(poses) {
		return false
	}
	r, err := polish.Separate(ctx, f.strip, length, f.use, f.at, polish.Options{Gap: f.w.gap, MaxSteps: steps})
	f.steps += r.Steps + 1
	if err != nil || !r.Valid {
		return false
	}
	moved(out, poses, r.At)
	return true
}

func moved(out, poses []pose, at []orb.Point) {
	for i := range poses {
		out[i] = poses[i]
		out[i].x, out[i].y = at[i][0], at[i][1]
	}
}

// polishSteps is the most linear programs for one polishing during the search.
const polishSteps = 40

// polish shortens the layout the state holds, which is free of overlap. Where
// that fails the state keeps the layout it had.
func (st *stream) polish() {
	s, f := st.s, st.finisher()
	copy(f.before, s.pose)
	length := s.reach()
	defer st.charge()
	if f.compact(st.ctx, f.after, f.before, length, polishSteps) && st.passes(f.after) && s.reach() < length {
		return
	}
	s.load(f.before)
}

// rescue tries to take the poses, which overlap a little, apart within the
// state's length; on success the state holds them.
func (st *stream) rescue(poses []pose) bool {
	f := st.finisher()
	defer st.charge()
	return f.separate(st.ctx, f.after, poses, st.s.length, polishSteps) && st.passes(f.after) &&
		st.s.reach() <= st.s.length+st.w.tol
}

// polishWork is what one linear program costs per ply, in candidate poses
// costed: some microseconds.
const polishWork = 100

// charge counts the linear programs solved as work.
func (st *stream) charge() {
	st.s.evals += int64(st.finish.steps) * polishWork * int64(len(st.s.pose)+len(st.w.blocks))
	st.finish.steps = 0
}

// passes loads poses and asks the judge.
func (st *stream) passes(poses []pose) bool {
	s := st.s
	s.load(poses)
	if !s.inside() {
		return false
	}
	st.sep.clashes, _ = s.findClashes(st.sep.clashes)
	return len(st.sep.clashes) == 0
}

func (st *stream) finisher() *finisher {
	if st.finish == nil {
		st.finish = newFinisher(st.w)
	}
	return st.finish
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
