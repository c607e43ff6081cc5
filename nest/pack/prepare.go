package pack

import (
	"errors"
	"math"
	"sync/atomic"

	"plyroom/nest/bound"
	"plyroom/nest/collide"
	"plyroom/shapes/steady"
)

// A kind is one Piece, prepared.
type kind struct {
	shape *collide.Shape
	count int
	// turns is set when some orientation is an interval: then poses are
	// continuous and variants hold the angles tried first. Otherwise variants
	// hold all poses there are.
	turns    bool
	spans    []Orientation
	variants []*collide.Body
	// least extents over the variants
	minHeight, minLength float64
}

// A world is a prepared problem; it is shared by all streams. Only the pair
// tables are filled while the search runs, each to the same contents whoever
// comes first.
type world struct {
	problem *Problem
	width   float64
	gap     float64
	tol     float64
	// maxLength limits layouts; 0: unlimited, also while a layout that is
	// longer than asked for is being shortened.
	maxLength float64
	kinds     []kind
	items     []int32 // kind of each copy to lay
	first     []int32 // first item of each kind
	area      float64 // of all plies
	bodies    []*collide.Body
	tables    pairTables
	scale     []float64 // PairScale per pair of kinds
	blocks    []block
	rooms     []room
	mixed     bool         // some kind turns
	followed  bool         // some obstacle follows the end of the strip
	stop      *atomic.Bool // set when the context ends
}

// A block is an obstacle.
type block struct {
	box    collide.Box
	body   *collide.Body
	x, y   float64
	tables []atomic.Pointer[collide.Table] // per body
	// ply marks a ply that holds still while others are packed: it keeps the
	// gap, and box holds it. One that follows the end of the strip, which was
	// at end, moves with it.
	ply, follows bool
	gap, end     float64
}

// A room is a stretch of strip between two walls: obstacles across the whole
// width.
type room struct{ from, to float64 }

func prepare(p *Problem, cache *Cache) (*world, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	w := &world{problem: p, width: p.Width, gap: p.Gap, maxLength: p.MaxLength, stop: new(atomic.Bool)}
	size := p.Width
	for i := range p.Pieces {
		c := &p.Pieces[i]
		s, err := cache.shape(c.Exterior, c.Holes)
		if err != nil {
			return nil, bad("piece %d: %w", i, err)
		}
		size = math.Max(size, s.Diameter)
		w.kinds = append(w.kinds, kind{shape: s, count: c.Count})
	}
	w.tol = size * collide.ContactTolerance
	for i := range w.kinds {
		w.first = append(w.first, int32(len(w.items)))
		if err := w.kinds[i].orient(p.Pieces[i].Orientations, w.width+w.tol); err != nil {
			var e *TooWideError
			if errors.As(err, &e) {
				e.Piece, e.Width = i, p.Width
				if w.kinds[i].count == 0 {
					continue
				}
			}
			return nil, err
		}
		k := &w.kinds[i]
		w.mixed = w.mixed || k.turns && k.count > 0
		for range k.count {
			w.items = append(w.items, int32(i))
		}
		w.area += float64(float64(k.count) * k.shape.Area)
	}
	w.numberBodies()
	w.addBlocks()
	return w, nil
}

// orient fills spans and variants from the allowed orientations, keeping only
// what fits across the strip.
func (k *kind) orient(allowed []Orientation, width float64) error {
	if len(allowed) == 0 {
		allowed = []Orientation{{From: 0, To: 360}}
	}
	k.spans = nil
	needs := math.Inf(1)
	k.minHeight, k.minLength = math.Inf(1), math.Inf(1)
	for _, o := range allowed {
		if o.To-o.From > 360 {
			o.To = o.From + 360
		}
		k.spans = append(k.spans, o)
		k.turns = k.turns || o.To > o.From
		for _, deg := range k.trialAngles(o, width) {
			b := collide.NewBody(k.shape, o.Mirrored, deg)
			needs = math.Min(needs, b.Box.Height())
			if b.Box.Height() <= width {
				k.variants = append(k.variants, b)
				k.minHeight = math.Min(k.minHeight, b.Box.Height())
				k.minLength = math.Min(k.minLength, b.Box.Width())
			}
		}
	}
	if len(k.variants) == 0 {
		return &TooWideError{Needs: needs}
	}
	if !k.turns {
		k.dropTwins()
	}
	return nil
}

// dropTwins removes fixed poses that cover the same points as an earlier one,
// as half a turn of a rectangle does.
func (k *kind) dropTwins() {
	var keep []*collide.Body
next:
	for _, b := range k.variants {
		for _, o := range keep {
			if samePoints(o, b) {
				continue next
			}
		}
		keep = append(keep, b)
	}
	k.variants = keep
}

func samePoints(a, b *collide.Body) bool {
	tol := 1e-12 * a.Shape.Diameter
	covers := func(a, b *collide.Body) bool {
	next:
		for i := range a.X {
			for j := range b.X {
				if math.Abs(a.X[i]-b.X[j]) <= tol && math.Abs(a.Y[i]-b.Y[j]) <= tol {
					continue next
				}
			}
			return false
		}
		return true
	}
	// Equal vertex sets are not enough for odd outlines: the parts must agree
	// as well, which equal part boxes tell well enough to drop a pose.
	if len(a.Boxes) != 1 || len(b.Boxes) != 1 {
		return a.Degrees == b.Degrees && a.Mirrored == b.Mirrored
	}
	return covers(a, b) && covers(b, a)
}

// trialAngles are the angles of an interval worth trying first: the ends, and
// those inside at which a long edge of the hull lies along the strip or across
// it (one of them has the least height of all). The narrowest come first.
func (k *kind) trialAngles(o Orientation, width float64) []float64 {
	if o.From == o.To {
		return []float64{o.From}
	}
	const most = 8
	type trial struct{ deg, height, rank float64 }
	var all []trial
	add := func(deg float64) {
		for _, t := range all {
			if math.Abs(t.deg-deg) < 1e-9 {
				return
			}
		}
		h, l := k.extents(o.Mirrored, deg)
		rank := h * l
		if h > width {
			rank = math.Inf(1)
		}
		all = append(all, trial{deg, h, rank})
	}
	if o.To-o.From < 359.999 {
		add(o.From)
		add(o.To)
		add(float64((o.From + o.To) / 2))
	} else {
		for d := 0.0; d < 360; d += 45 {
			add(o.From + d)
		}
	}
	n := len(k.shape.HullX)
	for i := range n {
		j := (i + 1) % n
		dx, dy := k.shape.HullX[j]-k.shape.HullX[i], k.shape.HullY[j]-k.shape.HullY[i]
		if o.Mirrored {
			dy = -dy
		}
		edge := float64(steady.Atan2(dy, dx) * 180 / math.Pi)
		for quarter := range 4 {
			d := math.Mod(float64(float64(quarter)*90)-edge-o.From, 360)
			if d < 0 {
				d += 360
			}
			if d <= o.To-o.From {
				add(o.From + d)
			}
		}
	}
	// The least height first, then the smallest boxes.
	best := 0
	for i := range all {
		if all[i].height < all[best].height {
			best = i
		}
	}
	out := []float64{all[best].deg}
	all[best].rank = math.Inf(1)
	for len(out) < most {
		pick := -1
		for i := range all {
			if !math.IsInf(all[i].rank, 1) && (pick < 0 || all[i].rank < all[pick].rank) {
				pick = i
			}
		}
		if pick < 0 {
			break
		}
		out = append(out, all[pick].deg)
		all[pick].rank = math.Inf(1)
	}
	return out
}

// extents are the height and length of the kind at an angle.
func (k *kind) extents(mirrored bool, deg float64) (height, length float64) {
	sin, cos := steady.SincosDegrees(deg)
	box := collide.Box{MinX: math.Inf(1), MinY: math.Inf(1), MaxX: math.Inf(-1), MaxY: math.Inf(-1)}
	for i, x := range k.shape.HullX {
		y := k.shape.HullY[i]
		if mirrored {
			y = -y
		}
		px, py := float64(cos*x)-float64(sin*y), float64(sin*x)+float64(cos*y)
		box.MinX, box.MaxX = min(box.MinX, px), max(box.MaxX, px)
		box.MinY, box.MaxY = min(box.MinY, py), max(box.MaxY, py)
	}
	return box.Height(), box.Width()
}

// bound is a length no layout can beat.
func (w *world) bound() float64 {
	s := bound.Strip{Width: w.width, Gap: w.gap}
	for i := range w.blocks {
		if b := &w.blocks[i].box; b.MinY <= 0 && b.MaxY >= w.width {
			s.Blocked = append(s.Blocked, [2]float64{b.MinX, b.MaxX})
		}
	}
	pieces := make([]bound.Piece, len(w.problem.Pieces))
	for i := range pieces {
		c := &w.problem.Pieces[i]
		pieces[i] = bound.Piece{Exterior: c.Exterior, Holes: c.Holes, Count: c.Count}
		for _, o := range c.Orientations {
			pieces[i].Turns = append(pieces[i].Turns, bound.Turn(o))
		}
	}
	least := bound.Length(s, pieces)
	if math.IsInf(least, 1) || math.IsNaN(least) {
		return 0 // a matter of tolerance: prepare found that all pieces fit
	}
	return least
}
