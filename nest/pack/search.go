package pack

import (
	"math"

	"plyroom/nest/collide"
)

// tuning holds the numbers of the search. They are constants of the program;
// a struct lets a bench compare others.
type tuning struct {
	wide, close int     // samples over the strip, and around the ply
	refine      int     // samples refined
	closeSpan   float64 // reach of close samples, as a share of the ply's size
	coarseFrom  float64 // first and last step of coarse descent,
	coarseTo    float64 // as shares of the ply's smaller side
	fineFrom    float64
	fineTo      float64
}

var defaultTuning = tuning{
	wide: 30, close: 15, refine: 3,
	closeSpan:  0.4,
	coarseFrom: 0.25, coarseTo: 0.02,
	fineFrom: 0.01, fineTo: 0.002,
}

// A candidate is a pose and its cost.
type candidate struct {
	pose pose
	cost float64
}

// bestPose looks for a place of lower cost for item i than the one it has,
// whose cost is now. It returns the best pose found and its cost.
func (s *state) bestPose(i int32, now float64, t *tuning, rng *random) (pose, float64) {
	kind := &s.w.kinds[s.w.items[i]]
	var best [4]candidate
	n, most := 0, min(t.refine, len(best))
	best[0] = candidate{s.pose[i], now}
	n = 1
	bound := math.Inf(1)
	if n == most {
		bound = now
	}
	keep := func(p pose, c float64) {
		// A near twin of a better candidate would be refined twice.
		reach := 0.05 * kind.shape.Diameter
		for k := range n {
			q := &best[k].pose
			if math.Abs(q.x-p.x) < reach && math.Abs(q.y-p.y) < reach && sameTurn(q, &p) {
				if c >= best[k].cost {
					return
				}
				copy(best[k:n-1], best[k+1:n])
				n--
				break
			}
		}
		if n == most {
			n--
		}
		k := n
		for k > 0 && best[k-1].cost > c {
			best[k] = best[k-1]
			k--
		}
		best[k] = candidate{p, c}
		n++
		if n == most {
			bound = best[n-1].cost
		}
	}
	cur := s.pose[i]
	for range t.close {
		p := cur
		s.nudgeTurn(&p, kind, rng)
		b := s.bodyAt(i, &p)
		r := t.closeSpan * kind.shape.Diameter
		p.x += float64(r * (float64(2*rng.float()) - 1))
		p.y += float64(r * (float64(2*rng.float()) - 1))
		if !s.clamp(&p, b) {
			continue
		}
		if c := s.cost(i, b, p.x, p.y, bound); c < bound {
			keep(p, c)
		}
	}
	for range t.wide {
		p := s.randomTurn(kind, rng)
		b := s.bodyAt(i, &p)
		if !s.anywhere(&p, b, rng) {
			continue
		}
		if c := s.cost(i, b, p.x, p.y, bound); c < bound {
			keep(p, c)
		}
	}
	small := math.Min(kind.minHeight, kind.minLength)
	for k := range n {
		if best[k].cost > 0 {
			s.slide(i, kind, &best[k], t.coarseFrom*small, t.coarseTo*small)
		}
	}
	win := 0
	for k := 1; k < n; k++ {
		if best[k].cost < best[win].cost {
			win = k
		}
	}
	if best[win].cost > 0 {
		s.slide(i, kind, &best[win], t.fineFrom*small, t.fineTo*small)
	}
	return best[win].pose, best[win].cost
}

func sameTurn(a, b *pose) bool {
	return a.variant == b.variant && a.mirrored == b.mirrored && math.Abs(a.degrees-b.degrees) < 3
}

// randomTurn is a pose of the kind with random orientation, anywhere.
func (s *state) randomTurn(k *kind, rng *random) pose {
	if !k.turns {
		return pose{variant: int32(rng.intn(len(k.variants)))}
	}
	o := k.spans[0]
	if len(k.spans) > 1 {
		o = k.spans[rng.intn(len(k.spans))]
	}
	p := pose{variant: -1, mirrored: o.Mirrored, degrees: rng.in(o.From, o.To)}
	if rng.intn(4) == 0 {
		// One of the angles at which the ply lies square to the strip.
		b := k.variants[rng.intn(len(k.variants))]
		p.mirrored, p.degrees = b.Mirrored, b.Degrees
	}
	return p
}

// nudgeTurn varies the orientation a little where it is free, and for fixed
// poses tries another one now and then.
func (s *state) nudgeTurn(p *pose, k *kind, rng *random) {
	if !k.turns {
		if len(k.variants) > 1 && rng.intn(3) == 0 {
			p.variant = int32(rng.intn(len(k.variants)))
		}
		return
	}
	if rng.intn(2) == 0 {
		p.degrees = k.clampAngle(p.mirrored, p.degrees+float64(10*rng.normal()), p.degrees)
	}
}

// clampAngle takes the wanted angle back into the span that holds the angle it
// came from.
func (k *kind) clampAngle(mirrored bool, want, from float64) float64 {
	o, ok := k.span(mirrored, from)
	switch {
	case !ok:
		return from
	case o.To-o.From >= 360:
		turn := math.Mod(want-o.From, 360)
		if turn < 0 {
			turn += 360
		}
		return o.From + turn
	}
	return math.Max(o.From, math.Min(o.To, want))
}

// span is the span of orientations that holds an angle; false if none does.
func (k *kind) span(mirrored bool, degrees float64) (Orientation, bool) {
	for _, o := range k.spans {
		if o.Mirrored == mirrored && degrees >= o.From && degrees <= o.To {
			return o, true
		}
	}
	return Orientation{}, false
}

// clamp moves the pose the least so that b lies on the strip; false where it
// does not fit at all.
func (s *state) clamp(p *pose, b *collide.Body) bool {
	if b.Box.Height() > s.w.width+s.w.tol || b.Box.Width() > s.length+s.w.tol {
		return false
	}
	p.x = max(min(p.x, s.length-b.Box.MaxX), -b.Box.MinX)
	p.y = max(min(p.y, s.w.width-b.Box.MaxY), -b.Box.MinY)
	return true
}

// anywhere puts the pose at a random place of the strip, between walls.
func (s *state) anywhere(p *pose, b *collide.Body, rng *random) bool {
	width := b.Box.Width()
	if b.Box.Height() > s.w.width+s.w.tol || width > s.length+s.w.tol {
		return false
	}
	p.y = rng.in(-b.Box.MinY, s.w.width-b.Box.MaxY)
	rooms := s.w.rooms
	if len(rooms) == 1 && rooms[0].from == 0 {
		p.x = rng.in(-b.Box.MinX, s.length-b.Box.MaxX)
		return true
	}
	// Rooms count by the play the ply has in them, and a little if it just
	// fits.
	least := float64(0.05 * width)
	sum := 0.0
	for _, r := range rooms {
		if play := min(r.to, s.length) - r.from - width; play >= -s.w.tol {
			sum += play + least
		}
	}
	if sum == 0 {
		return false
	}
	at := rng.float() * sum
	for _, r := range rooms {
		to := min(r.to, s.length)
		play := to - r.from - width
		if play < -s.w.tol {
			continue
		}
		if at -= play + least; at < 0 {
			p.x = max(rng.in(r.from-b.Box.MinX, to-b.Box.MaxX), -b.Box.MinX)
			return true
		}
	}
	return false
}
