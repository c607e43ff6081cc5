package pack

import (
	"plyroom/nest/collide"
)

// A pose is where one copy lies: the centre of its body, and how it is turned.
// variant is -1 where the angle is free.
type pose struct {
	x, y     float64
	degrees  float64
	variant  int32
	mirrored bool
}

// A state is a layout that may overlap, on a strip of given length. Pieces
// never leave the strip; they may sink into each other and into obstacles.
// It belongs to one goroutine.
type state struct {
	w      *world
	length float64
	pose   []pose
	body   []*collide.Body // of each item, in its pose
	own    []*collide.Body // bodies of items that turn
	box    []collide.Box   // of each item, where it lies
	gap    float64
	grid   grid
	stamp  []uint32 // per item: last query that saw it
	query  uint32
	weight weights
	// asked counts, per table, the look-ups there would have been: tables that
	// are hardly asked for are not made.
	asked []uint16
	// lenient says that plies may sink into each other by a leeway.
	lenient bool
	evals   int64 // candidate poses costed; the unit of work
	budget  int64 // evals at which the stream stops for good; 0: never

	trial    collide.Body // scratch for poses of items that turn
	vicinity vicinity     // scratch for descents
	met      []int32      // scratch of meeting
}

func newState(w *world) *state {
	n := len(w.items)
	s := &state{w: w, gap: w.gap}
	s.pose = make([]pose, n)
	s.body = make([]*collide.Body, n)
	s.own = make([]*collide.Body, n)
	s.box = make([]collide.Box, n)
	s.stamp = make([]uint32, n)
	s.weight.init(n, len(w.blocks))
	s.trial.Variant = -1
	s.grid.init(w, n)
	s.asked = make([]uint16, len(w.tables.made))
	return s
}

// load puts all items at the given poses.
func (s *state) load(p []pose) {
	s.grid.clear()
	for i := range p {
		s.pose[i] = p[i]
		s.turn(int32(i))
		s.box[i] = shifted(&s.body[i].Box, p[i].x, p[i].y)
		s.grid.add(int32(i), &s.box[i])
	}
}

// turn sets the item's body from its pose.
func (s *state) turn(i int32) {
	p := &s.pose[i]
	k := &s.w.kinds[s.w.items[i]]
	if p.variant >= 0 {
		s.body[i] = k.variants[p.variant]
		return
	}
	if s.own[i] == nil {
		s.own[i] = &collide.Body{Variant: -1}
	}
	s.own[i].Set(k.shape, p.mirrored, p.degrees)
	s.body[i] = s.own[i]
}

// place moves item i to a pose.
func (s *state) place(i int32, p pose) {
	s.grid.remove(i, &s.box[i])
	s.pose[i] = p
	s.turn(i)
	s.box[i] = shifted(&s.body[i].Box, p.x, p.y)
	s.grid.add(i, &s.box[i])
}

// bodyAt is the body item i would have in a pose; valid until the next call.
func (s *state) bodyAt(i int32, p *pose) *collide.Body {
	k := &s.w.kinds[s.w.items[i]]
	if p.variant >= 0 {
		return k.variants[p.variant]
	}
	if s.trial.Shape != k.shape || s.trial.Degrees != p.degrees || s.trial.Mirrored != p.mirrored {
		s.trial.Set(k.shape, p.mirrored, p.degrees)
	}
	return &s.trial
}

func shifted(b *collide.Box, x, y float64) collide.Box {
	return collide.Box{MinX: b.MinX + x, MinY: b.MinY + y, MaxX: b.MaxX + x, MaxY: b.MaxY + y}
}

// pairScale is collide.PairScale of two kinds.
func (w *world) pairScale(a, b int32) float64 { return w.scale[int(a)*len(w.kinds)+int(b)] }

// pair is the graded overlap of a body at (x, y) with item j where it lies; some
// value not below enough will do for what is not below it.
func (s *state) pair(b *collide.Body, kindB int32, x, y float64, j int32, enough float64) float64 {
	o := s.body[j]
	dx, dy := s.pose[j].x-x, s.pose[j].y-y
	w := s.w
	if b.Variant >= 0 && o.Variant >= 0 {
		if tab, turns := s.table(b.Variant, o.Variant, 1); tab != nil {
			dx, dy = turned(dx, dy, turns)
			return tab.Measure(dx, dy, s.lenient)
		}
	}
	scale := w.pairScale(kindB, w.items[j])
	return scale * collide.Measure(b, o, dx, dy, s.gap, w.tol, enough/scale)
}

// cost is the weighted overlap item i would have as body b at (x, y). It stops
// early, with some value not below bound, once bound is reached.
func (s *state) cost(i int32, b *collide.Body, x, y, bound float64) float64 {
	s.evals++
	box := shifted(&b.Box, x, y)
	kindB := s.w.items[i]
	g := s.gap
	sum := 0.0
	if len(s.w.blocks) > 0 {
		for k := range s.w.blocks {
			bl := &s.w.blocks[k]
			if box.MinX >= bl.box.MaxX || box.MaxX <= bl.box.MinX || box.MinY >= bl.box.MaxY || box.MaxY <= bl.box.MinY {
				continue
			}
			if m := s.w.blockMeasure(bl, b, x, y); m > 0 {
				if sum += float64(m * s.weight.block(i, k)); sum >= bound {
					return sum
				}
			}
		}
	}
	box.MinX -= g
	box.MinY -= g
	box.MaxX += g
	box.MaxY += g
	s.query++
	q := s.query
	s.stamp[i] = q
	c0, c1, r0, r1 := s.grid.span(&box)
	// What lies in the middle is likely to overlap most, so it comes first.
	c, r := s.grid.clamp(x, s.grid.cols), s.grid.clamp(y, s.grid.rows)
	for middle := true; ; {
		for _, j := range s.grid.cell[c*s.grid.rows+r] {
			if s.stamp[j] == q {
				continue
			}
			s.stamp[j] = q
			if !meets(&box, &s.box[j]) {
				continue
			}
			weight := s.weight.pair(i, j)
			if m := s.pair(b, kindB, x, y, j, (bound-sum)/weight); m > 0 {
				if sum += float64(m * weight); sum >= bound {
					return sum
				}
			}
		}
		if middle {
			middle = false
			c, r = c0, r0
			continue
		}
		if r++; r > r1 {
			r = r0
			if c++; c > c1 {
				return sum
			}
		}
	}
}

// free tells whether body b at (x, y) meets nothing but, perhaps, item i (none
// if negative). It asks the judge itself, not the tables.
func (s *state) free(i int32, b *collide.Body, x, y float64) bool {
	box := shifted(&b.Box, x, y)
	for k := range s.w.blocks {
		bl := &s.w.blocks[k]
		if collide.Overlap(bl.body, b, x-bl.x, y-bl.y, bl.gap, s.w.tol) {
			return false
		}
	}
	box.MinX -= s.gap
	box.MinY -= s.gap
	box.MaxX += s.gap
	box.MaxY += s.gap
	s.query++
	q := s.query
	if i >= 0 {
		s.stamp[i] = q
	}
	c0, c1, r0, r1 := s.grid.span(&box)
	for c := c0; c <= c1; c++ {
		for r := r0; r <= r1; r++ {
			for _, j := range s.grid.cell[c*s.grid.rows+r] {
				if s.stamp[j] == q {
					continue
				}
				s.stamp[j] = q
				o := &s.box[j]
				if box.MinX >= o.MaxX || box.MaxX <= o.MinX || box.MinY >= o.MaxY || box.MaxY <= o.MinY {
					continue
				}
				if collide.Overlap(b, s.body[j], s.pose[j].x-x, s.pose[j].y-y, s.gap, s.w.tol) {
					return false
				}
			}
		}
	}
	return true
}

// valid is the judge's word on the whole layout.
func (s *state) valid() bool {
	if !s.inside() {
		return false
	}
	for i := range s.pose {
		if !s.free(int32(i), s.body[i], s.pose[i].x, s.pose[i].y) {
			return false
		}
	}
	return true
}

// halted tells whether to drop everything: the context has ended or the
// stream's work is done.
func (s *state) halted() bool {
	return s.w.stop.Load() || s.budget > 0 && s.evals >= s.budget
}
