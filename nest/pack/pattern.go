package pack

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
	"plyroom/nest/lattice"
	"plyroom/shapes/geom"
)

// Many copies of one kind lie best in a repeating pattern, which a search that
// moves one ply at a time does not find. One stream looks for patterns of the
// kinds with many copies, lays them one after the other along the strip, has the
// builder lay what is left, and goes on from there if the strip is shorter.
const (
	// patternShare is the most of the search that goes into finding patterns.
	patternShare = 0.3
	// patternCount is the least number of copies worth a pattern, patternKinds
	// the most kinds that get one.
	patternCount = 8
	patternKinds = 8
	// patternArea is the least share of all plies' area that a kind must have:
	// what less could gain is lost again at the ends of its pattern.
	patternArea = 0.08
	// patternsKept is how many patterns of a kind are laid to compare.
	patternsKept = 3
	// patternWork is how many look-ups of an outline count as one pose costed.
	patternWork = 24
	// patternVertices is how many vertices the outline of a kind may have in
	// the search for patterns; others are simplified outwards, by no more than
	// patternLoose of their diameter.
	patternVertices = 24
	patternLoose    = 0.01
)

// A repeated is a kind and the best patterns of it.
type repeated struct {
	kind int
	// dx, dy is where the centre of the true ply lies seen from that of the
	// simplified one, before it is turned.
	dx, dy float64
	laid   []lattice.Laid
	// density is the share of the strip that the kind's plies cover.
	density float64
}

// patternable lists the kinds worth a pattern, those of most area first.
func (w *world) patternable() []int {
	var out []int
	for i := range w.kinds {
		k := &w.kinds[i]
		area := float64(k.count) * k.shape.Area
		if k.count >= patternCount && area >= 1.5*w.width*k.minLength && area >= patternArea*w.area {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Compare(float64(w.kinds[b].count)*w.kinds[b].shape.Area, float64(w.kinds[a].count)*w.kinds[a].shape.Area)
	})
	return out[:min(len(out), patternKinds)]
}

// patterns finds the best patterns of a kind; stop as for lattice.Best.
func (w *world) patterns(kind int, stop func(int) bool) repeated {
	k := &w.kinds[kind]
	out := repeated{kind: kind}
	shape := k.shape
	if len(shape.X) > patternVertices || shape.Parts() > 1 && len(w.problem.Pieces[kind].Exterior) > patternVertices {
		if s := simplified(w.problem.Pieces[kind].Exterior, shape.Diameter); s != nil {
			out.dx, out.dy = shape.CenterX-s.CenterX, shape.CenterY-s.CenterY
			shape = s
		}
	}
	out.laid = lattice.Best(lattice.Strip{Width: w.width, Gap: w.gap, Count: k.count},
		k.choices(shape, w.gap, w.width, stop), patternsKept, stop)
	if len(out.laid) > 0 {
		out.density = float64(k.count) * k.shape.Area / (w.width * out.laid[0].Length)
	}
	return out
}

// simplified is an outline of fewer vertices that holds the given one; nil if
// there is none that is not much larger.
func simplified(exterior orb.Ring, diameter float64) *collide.Shape {
	for tol := patternLoose / 16; tol <= patternLoose; tol *= 2 {
		r := geom.SimplifyOuter(exterior, tol*diameter)
		if len(r) <= patternVertices || tol*2 > patternLoose {
			s, err := collide.NewShape(r, nil)
			if err != nil {
				return nil
			}
			return s
		}
	}
	return nil
}

// layPatterns lays patterns of the kinds one after the other along the strip,
// pick saying which pattern of each, and has the builder lay the rest. Whole
// leaves out copies that do not fill up a repeat.
func (st *stream) layPatterns(of []repeated, pick []int, whole bool) (layout, bool) {
	b := newBuilder(st.w, st.s, &st.rng, 0)
	st.s.grid.clear()
	at := 0.0
	for n := range of {
		at = b.pattern(&of[n], &of[n].laid[pick[n]], at, whole)
	}
	b.fill(st.ctx)
	l := b.layout()
	return l, l.complete()
}

// pattern lays a pattern of a kind, moved back against what is laid before it
// and kept off obstacles. It returns the greatest x reached.
func (b *builder) pattern(r *repeated, l *lattice.Laid, at float64, whole bool) float64 {
	w := b.w
	k := &w.kinds[r.kind]
	n := len(l.Spots)
	if whole {
		n -= n % l.PerRepeat()
	}
	poses := make([]pose, n)
	bodies := make([]*collide.Body, n)
	for i := range n {
		poses[i] = k.poseOfSpot(r, l, &l.Spots[i])
		bodies[i] = b.s.bodyOf(k, &poses[i])
	}
	first := w.first[r.kind]
	from := b.behind(poses, bodies, at)
	next, reach, room := 0, at, 0
	for room < len(w.rooms) && w.rooms[room].to < from {
		room++
	}
	for i := 0; i < n && room < len(w.rooms); i++ {
		p := poses[i]
		if p.x += from; p.x+bodies[i].Box.MaxX > w.rooms[room].to {
			// On the far side of the wall the pattern starts again.
			if room++; room == len(w.rooms) {
				break
			}
			from = w.rooms[room].from
			poses, bodies = poses[:n-next], bodies[:n-next]
			n, next, i = len(poses), 0, -1
			first = b.unlaid(r.kind)
			continue
		}
		if w.maxLength > 0 && p.x+bodies[i].Box.MaxX > w.maxLength+w.tol || b.s.hitsBlock(bodies[i], p.x, p.y) {
			continue
		}
		b.put(first+int32(next), p)
		next++
		reach = max(reach, p.x+bodies[i].Box.MaxX)
	}
	return reach
}

// unlaid is the first item of a kind that is not laid.
func (b *builder) unlaid(kind int) int32 {
	i := b.w.first[kind]
	for b.laid[i] {
		i++
	}
	return i
}

// behind is the least shift, found by moving up from behind, at which poses
// keep clear of all that is laid.
func (b *builder) behind(poses []pose, bodies []*collide.Body, at float64) float64 {
	if at == 0 {
		return 0
	}
	w := b.w
	d := at + w.gap
	clear := func(d float64) bool {
		for i := range poses {
			if poses[i].x+bodies[i].Box.MinX+d > at+w.gap {
				continue
			}
			if !b.s.free(-1, bodies[i], poses[i].x+d, poses[i].y) {
				return false
			}
		}
		return true
	}
	for step := w.width / 8; step > w.width/1e7; {
		if d >= step && clear(d-step) {
			d -= step
		} else {
			step /= 2
		}
	}
	return d
}

// hitsBlock tells whether a body at (x, y) enters an obstacle.
func (s *state) hitsBlock(b *collide.Body, x, y float64) bool {
	for k := range s.w.blocks {
		bl := &s.w.blocks[k]
		if collide.Overlap(bl.body, b, x-bl.x, y-bl.y, bl.gap, s.w.tol) {
			return true
		}
	}
	return false
}

// bodyOf is the kind's body in a pose, for keeping.
func (s *state) bodyOf(k *kind, p *pose) *collide.Body {
	if p.variant >= 0 {
		return k.variants[p.variant]
	}
	return collide.NewBody(k.shape, p.mirrored, p.degrees)
}

// poseOfSpot is the pose of the true ply at a spot of a pattern.
func (k *kind) poseOfSpot(r *repeated, l *lattice.Laid, s *lattice.Spot) pose {
	b := l.Pattern.Bodies[s.Body]
	dx, dy := r.dx, r.dy
	if b.Mirrored {
		dy = -dy
	}
	p := pose{x: s.At[0] + float64(b.Cos*dx) - float64(b.Sin*dy), y: s.At[1] + float64(b.Sin*dx) + float64(b.Cos*dy),
		variant: -1, mirrored: b.Mirrored, degrees: b.Degrees}
	if !k.turns {
		for v, o := range k.variants {
			if o.Mirrored == b.Mirrored && o.Degrees == b.Degrees {
				p = pose{x: p.x, y: p.y, variant: int32(v)}
			}
		}
	}
	return p
}

// tryPatterns has the stream go on from patterns where those are shorter than
// what it has.
func (st *stream) tryPatterns() {
	kinds := st.w.patternable()
	if len(kinds) == 0 {
		return
	}
	done := 0
	limit := float64(patternShare * (1 - st.clock.spent()))
	begun := st.clock.spent()
	var of []repeated
	for _, i := range kinds {
		spent := 0
		r := st.w.patterns(i, func(work int) bool {
			if work < spent {
				spent = 0 // the next search counts from the start
			}
			st.s.evals += int64((work - spent) / patternWork)
			spent += (work - spent) / patternWork * patternWork
			return st.s.halted() || st.clock.spent() > begun+limit
		})
		done++
		if len(r.laid) > 0 {
			of = append(of, r)
		}
		if st.s.halted() || st.clock.spent() > begun+limit {
			break
		}
	}
	if len(of) > 0 {
		st.choosePatterns(of)
	}
}

// choosePatterns lays several choices of kinds and patterns and adopts the
// shortest layout.
func (st *stream) choosePatterns(of []repeated) {
	slices.SortStableFunc(of, func(a, b repeated) int { return cmp.Compare(b.density, a.density) })
	now := st.w.area / (st.w.width * st.best.length)
	best := layout{length: math.Inf(1)}
	try := func(of []repeated, pick []int, whole bool) {
		if st.s.halted() {
			return
		}
		st.countAttempt()
		if l, ok := st.layPatterns(of, pick, whole); ok && l.length < best.length && st.passes(l.poses) {
			best = l
		}
	}
	// The densest kinds first, as many as are denser than the layout so far;
	// and one fewer and one more.
	n := 0
	for n < len(of) && of[n].density > now {
		n++
	}
	for m := max(1, n-1); m <= min(len(of), n+1); m++ {
		pick := make([]int, m)
		for _, whole := range [2]bool{false, true} {
			try(of[:m], pick, whole)
		}
	}
	if m := max(1, min(n, len(of))); m == 1 {
		for p := 1; p < len(of[0].laid); p++ {
			for _, whole := range [2]bool{false, true} {
				try(of[:1], []int{p}, whole)
			}
		}
	}
	if best.length < st.best.length {
		st.report(&best, "explore")
		st.adopt(&best)
		st.step = repeatStep
	}
}
