package pack

import "math"

// A clash is an overlap of two items, or of an item with an obstacle (then j is
// the obstacle and wall is set).
type clash struct {
	i, j int32
	wall bool
	m    float64 // unweighted
}

// findClashes lists all overlaps and returns their unweighted sum.
func (s *state) findClashes(out []clash) ([]clash, float64) {
	out = out[:0]
	sum := 0.0
	for i := range s.pose {
		if i&63 == 63 && s.halted() {
			break // the caller asks halted as well before it believes the sum
		}
		out, sum = s.clashesOf(int32(i), nil, out, sum)
	}
	return out, sum
}

// clashesOf appends the overlaps of item i with obstacles and with other items:
// those after it, or where moved is given, those not moved as well.
func (s *state) clashesOf(i int32, moved []bool, out []clash, sum float64) ([]clash, float64) {
	p, b, box := &s.pose[i], s.body[i], s.box[i]
	for k := range s.w.blocks {
		bl := &s.w.blocks[k]
		if box.MinX >= bl.box.MaxX || box.MaxX <= bl.box.MinX || box.MinY >= bl.box.MaxY || box.MaxY <= bl.box.MinY {
			continue
		}
		if m := s.w.blockMeasure(bl, b, p.x, p.y); m > 0 {
			out = append(out, clash{i, int32(k), true, m})
			sum += m
		}
	}
	box.MinX -= s.gap
	box.MinY -= s.gap
	box.MaxX += s.gap
	box.MaxY += s.gap
	for _, j := range s.meeting(i, &box) {
		if j < i && (moved == nil || moved[j]) {
			continue
		}
		if m := s.pair(b, s.w.items[i], p.x, p.y, j, math.Inf(1)); m > 0 {
			out = append(out, clash{i, j, false, m})
			sum += m
		}
	}
	return out, sum
}

// Weight growth per sweep for the worst overlap and for the least, and decay of
// pairs that have parted.
const (
	growMost  = 2.0
	growLeast = 1.2
	weightEbb = 0.95
)

// reweigh raises the weights of what overlaps, in proportion, and lets all
// others ebb.
func (s *state) reweigh(clashes []clash) {
	worst := 0.0
	for k := range clashes {
		worst = math.Max(worst, clashes[k].m)
	}
	s.weight.decay(weightEbb)
	for k := range clashes {
		c := &clashes[k]
		f := float32((growLeast + float64((growMost-growLeast)*(c.m/worst))) / weightEbb)
		if c.wall {
			s.weight.scaleBlock(c.i, int(c.j), f)
		} else {
			s.weight.scalePair(c.i, c.j, f)
		}
	}
}

// patience says when removing overlap is given up.
type patience struct {
	sweeps  int // without improvement, per strike
	strikes int
}

// A separator removes overlap from a state; it keeps its buffers.
type separator struct {
	s       *state
	t       tuning
	rng     *random
	clashes []clash
	hot     []int32
	isHot   []bool
	moved   []int32 // in the last sweep
	isMoved []bool
	best    []pose // of least overlap since begin
	loss    float64

	// How far an attempt has come.
	pat     patience
	strikes int
	idle    int     // sweeps without improvement in this strike
	atStart float64 // loss when this strike began
}

// outcome is how a run of a separator ended.
type outcome int

const (
	// parted: the state is free of overlap.
	parted outcome = iota
	// gaveUp: best and loss hold the least overlap met.
	gaveUp
	// paused: run may be called again and goes on as if it had not stopped.
	paused
	// dropped: the search is over.
	dropped
)

func newSeparator(s *state, rng *random) *separator {
	n := len(s.pose)
	return &separator{s: s, t: defaultTuning, rng: rng,
		hot: make([]int32, 0, n), isHot: make([]bool, n), isMoved: make([]bool, n), best: make([]pose, n)}
}

// begin starts an attempt to remove all overlap at the state's length.
func (p *separator) begin(pat patience) {
	s := p.s
	p.pat, p.strikes, p.idle = pat, 0, 0
	s.weight.reset()
	p.clashes, p.loss = s.findClashes(p.clashes)
	p.atStart = p.loss
	copy(p.best, s.pose)
}

// run works on the attempt begun until it ends or pause says so, which is asked
// once a sweep.
func (p *separator) run(pause func() bool) outcome {
	s := p.s
	if s.halted() {
		return dropped
	}
	for p.loss > 0 {
		if p.idle >= p.pat.sweeps && p.strike() {
			return gaveUp
		}
		if pause() {
			return paused
		}
		p.sweep()
		loss := p.update()
		if loss == 0 { // worth having even if the search is over
			p.loss = 0
			break
		}
		if s.halted() {
			return dropped
		}
		s.reweigh(p.clashes)
		if loss < p.loss {
			if loss < 0.98*p.loss {
				p.idle = 0
			}
			p.loss = loss
			copy(p.best, s.pose)
		} else {
			p.idle++
		}
	}
	return parted
}

// strike ends a row of sweeps without improvement: the search goes on from the
// best, or it is time to give up.
func (p *separator) strike() (over bool) {
	if p.loss < 0.98*p.atStart {
		p.strikes = 0
	} else {
		p.strikes++
	}
	if p.strikes >= p.pat.strikes {
		return true
	}
	p.atStart, p.idle = p.loss, 0
	p.s.load(p.best)
	p.clashes, _ = p.s.findClashes(p.clashes)
	return false
}

// sweep moves every overlapping item once, in random order.
func (p *separator) sweep() {
	s := p.s
	p.hot = p.hot[:0]
	add := func(i int32) {
		if !p.isHot[i] {
			p.isHot[i] = true
			p.hot = append(p.hot, i)
		}
	}
	for k := range p.clashes {
		add(p.clashes[k].i)
		if !p.clashes[k].wall {
			add(p.clashes[k].j)
		}
	}
	p.rng.shuffle(p.hot)
	for _, i := range p.hot {
		p.isHot[i] = false
	}
	p.moved = p.moved[:0]
	for _, i := range p.hot {
		q := &s.pose[i]
		now := s.cost(i, s.body[i], q.x, q.y, math.Inf(1))
		if now == 0 {
			continue
		}
		if s.halted() {
			return
		}
		if best, c := s.bestPose(i, now, &p.t, p.rng); c < now {
			s.place(i, best)
			p.moved = append(p.moved, i)
		}
	}
}

// update brings the list of overlaps up to date after a sweep and returns their
// sum: only what moved is looked at anew.
func (p *separator) update() float64 {
	s := p.s
	for _, i := range p.moved {
		p.isMoved[i] = true
	}
	kept, sum := p.clashes[:0], 0.0
	for _, c := range p.clashes {
		if !p.isMoved[c.i] && (c.wall || !p.isMoved[c.j]) {
			kept = append(kept, c)
			sum += c.m
		}
	}
	for _, i := range p.moved {
		kept, sum = s.clashesOf(i, p.isMoved, kept, sum)
	}
	for _, i := range p.moved {
		p.isMoved[i] = false
	}
	p.clashes = kept
	return sum
}
