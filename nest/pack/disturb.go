package pack

import (
	"cmp"
	"math"
	"slices"

	"plyroom/shapes/steady"
)

// disturb gives the layout the state holds a kick.
func (st *stream) disturb(k kick) {
	switch k {
	case jump:
		i := st.byArea()
		p := st.s.pose[i]
		if st.s.anywhere(&p, st.s.body[i], &st.rng) {
			st.put(i, p)
		}
	case turnFew:
		for range 3 {
			i := st.byArea()
			p := st.s.pose[i]
			q := st.s.randomTurn(&st.w.kinds[st.w.items[i]], &st.rng)
			q.x, q.y = p.x, p.y
			st.put(i, q)
		}
	case rotate:
		st.rotate()
	case exchange:
		st.exchange()
	case swapAlike:
		st.swapAlike()
	case swapLarge:
		st.swapLarge()
	case reverse:
		st.reverse()
	case cycle:
		st.cycle()
	}
}

// put moves item i to a pose, or as near as the strip allows; it stays where it
// is if it does not fit on the strip that way.
func (st *stream) put(i int32, p pose) {
	if st.s.clamp(&p, st.s.bodyAt(i, &p)) {
		st.s.place(i, p)
	}
}

func (st *stream) area(i int32) float64 { return st.w.kinds[st.w.items[i]].shape.HullArea }

// byArea picks an item, large ones more often.
func (st *stream) byArea() int32 {
	sum := 0.0
	for i := range st.s.pose {
		sum += st.area(int32(i))
	}
	at := st.rng.float() * sum
	for i := range st.s.pose {
		if at -= st.area(int32(i)); at < 0 {
			return int32(i)
		}
	}
	return int32(len(st.s.pose) - 1)
}

// swap has two items change places.
func (st *stream) swap(a, b int32) {
	pa, pb := st.s.pose[a], st.s.pose[b]
	pa.x, pa.y, pb.x, pb.y = pb.x, pb.y, pa.x, pa.y
	st.put(a, pa)
	st.put(b, pb)
}

// rotate has three to five items that lie together move round by one.
func (st *stream) rotate() {
	s := st.s
	n := len(s.pose)
	if n < 2 {
		return
	}
	mid := s.pose[st.rng.intn(n)]
	near := make([]int32, n)
	away := make([]float64, n)
	for i := range near {
		near[i] = int32(i)
		dx, dy := s.pose[i].x-mid.x, s.pose[i].y-mid.y
		away[i] = float64(dx*dx) + float64(dy*dy)
	}
	slices.SortFunc(near, func(p, q int32) int { return cmp.Or(cmp.Compare(away[p], away[q]), cmp.Compare(p, q)) })
	near = near[:min(n, 3+st.rng.intn(3))]
	to := s.pose[near[0]]
	for k := len(near) - 1; k >= 0; k-- {
		p := s.pose[near[k]]
		at := p
		p.x, p.y = to.x, to.y
		to = at
		st.put(near[k], p)
	}
}

// stretch is a part of the strip, from a tenth to a third of it.
func (st *stream) stretch() (from, to float64) {
	l := st.s.length
	span := float64(st.rng.in(0.1, 0.35) * l)
	from = st.rng.in(0, l-span)
	return from, from + span
}

// exchange has the two parts of a stretch change places.
func (st *stream) exchange() {
	s := st.s
	from, to := st.stretch()
	span := to - from
	cut := st.rng.in(from+0.25*span, to-0.25*span)
	for i := range s.pose {
		p := s.pose[i]
		switch {
		case p.x < from || p.x > to:
			continue
		case p.x < cut:
			p.x += to - cut
		default:
			p.x -= cut - from
		}
		st.put(int32(i), p)
	}
}

// reverse turns a stretch half round; plies that may not lie so keep their
// orientation.
func (st *stream) reverse() {
	s := st.s
	from, to := st.stretch()
	for i := range s.pose {
		p := s.pose[i]
		if p.x < from || p.x > to {
			continue
		}
		p.x, p.y = from+to-p.x, s.w.width-p.y
		k := &s.w.kinds[s.w.items[i]]
		if p.variant >= 0 {
			p.variant = k.opposite(p.variant)
		} else {
			p.degrees = k.halfRound(p.mirrored, p.degrees)
		}
		st.put(int32(i), p)
	}
}

// opposite is the variant half a turn from v, or v itself where there is none.
func (k *kind) opposite(v int32) int32 {
	b := k.variants[v]
	for j, o := range k.variants {
		if d := fullTurn(o.Degrees - b.Degrees); o.Mirrored == b.Mirrored && math.Abs(d-180) < 1e-9 {
			return int32(j)
		}
	}
	return v
}

// halfRound is the angle half a turn from the one given, or that angle itself
// where the kind may not lie so.
func (k *kind) halfRound(mirrored bool, degrees float64) float64 {
	for _, by := range []float64{180, -180} {
		if _, ok := k.span(mirrored, degrees+by); ok {
			return k.clampAngle(mirrored, degrees+by, degrees+by)
		}
	}
	return degrees
}

// swapAlike swaps an item, large ones more often, with one of the sixth of all
// that are nearest to it in size, of another kind.
func (st *stream) swapAlike() {
	s := st.s
	a := st.byArea()
	var others []int32
	off := make([]float64, len(s.pose))
	for i := range s.pose {
		if s.w.items[i] != s.w.items[a] {
			others = append(others, int32(i))
			off[i] = math.Abs(steady.Log(st.area(int32(i)) / st.area(a)))
		}
	}
	if len(others) == 0 {
		return
	}
	slices.SortFunc(others, func(p, q int32) int { return cmp.Or(cmp.Compare(off[p], off[q]), cmp.Compare(p, q)) })
	st.swap(a, others[st.rng.intn(min(len(others), max(3, len(s.pose)/6)))])
}

// swapLarge swaps two of the larger items of different kinds.
func (st *stream) swapLarge() {
	s := st.s
	limit := 0.0
	for i := range s.pose {
		limit += st.area(int32(i))
	}
	limit *= 0.75 / float64(len(s.pose))
	var big []int32
	for i := range s.pose {
		if st.area(int32(i)) >= limit {
			big = append(big, int32(i))
		}
	}
	if len(big) < 2 {
		return
	}
	for range 20 {
		a, b := big[st.rng.intn(len(big))], big[st.rng.intn(len(big))]
		if s.w.items[a] != s.w.items[b] {
			st.swap(a, b)
			return
		}
	}
}

// cycle moves what lies at the start of the strip to its end, so that the ends
// meet and new ends arise.
func (st *stream) cycle() {
	s := st.s
	by := float64(st.rng.in(0.1, 0.9) * s.length)
	for i := range s.pose {
		p := s.pose[i]
		if p.x -= by; p.x < 0 {
			p.x += s.length
		}
		st.put(int32(i), p)
	}
}
