package polish

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// layout holds the pieces and obstacles while they are being moved. Bodies 0 to
// pieces-1 are the pieces, the others the obstacles.
type layout struct {
	strip  Strip
	gap    float64
	pieces int

	shape []*Shape
	kind  []int32 // bodies with the same shape have the same kind
	at    []orb.Point
	fixed []bool

	// Pieces that may turn: how far, by how many degrees they have been, and
	// the shapes they had before. All are nil where none may.
	turn   []Turn
	turned []float64
	base   []*Shape
	kinds  int32 // how many kinds there have been

	// scale is the size of the coordinates, which rounding goes by.
	scale float64
	// size is the pieces' mean diameter.
	size float64

	sums  map[sumKey][]*sum // looked up only, never ranged over
	order []int32           // scratch of eachNear
}

type sumKey struct{ first, second int32 }

func newLayout(strip Strip, shapes []*Shape, at []orb.Point, opt Options) (*layout, error) {
	if err := strip.check(); err != nil {
		return nil, err
	}
	if !(opt.Gap >= 0 && opt.Gap <= largestCoordinate) {
		return nil, fmt.Errorf("%w: gap %v", ErrInput, opt.Gap)
	}
	if len(at) != len(shapes) {
		return nil, fmt.Errorf("%w: %d shapes at %d positions", ErrInput, len(shapes), len(at))
	}
	if opt.Fixed != nil && len(opt.Fixed) != len(shapes) {
		return nil, fmt.Errorf("%w: %d shapes, %d of them fixed or not", ErrInput, len(shapes), len(opt.Fixed))
	}
	l := &layout{
		strip:  strip,
		gap:    opt.Gap,
		pieces: len(shapes),
		shape:  slices.Clone(shapes),
		at:     slices.Clone(at),
		fixed:  make([]bool, len(shapes), len(shapes)+len(strip.Obstacles)),
		scale:  strip.Width,
		sums:   make(map[sumKey][]*sum),
	}
	copy(l.fixed, opt.Fixed)
	if err := l.setTurns(opt.Turn); err != nil {
		return nil, err
	}
	for i, s := range shapes {
		if s == nil || !finite(at[i]) {
			return nil, fmt.Errorf("%w: piece %d has no shape or lies at %v", ErrInput, i, at[i])
		}
		l.scale = max(l.scale, s.reach, math.Abs(at[i][0]), math.Abs(at[i][1]))
		l.size += norm(minus(s.bound.Max, s.bound.Min)) / float64(len(shapes))
	}
	for _, o := range strip.Obstacles {
		if o.Min[0] >= o.Max[0] || o.Min[1] >= o.Max[1] {
			continue
		}
		l.shape = append(l.shape, boxShape(o))
		l.at = append(l.at, orb.Point{})
		l.fixed = append(l.fixed, true)
	}
	l.kind = make([]int32, len(l.shape))
	kinds := make(map[*Shape]int32)
	for b, s := range l.shape {
		if _, ok := kinds[s]; !ok {
			kinds[s] = int32(len(kinds))
		}
		l.kind[b] = kinds[s]
	}
	l.kinds = int32(len(kinds))
	for i, s := range shapes {
		if height := s.bound.Max[1] - s.bound.Min[1]; height > strip.Width+l.tolerance() {
			return nil, fmt.Errorf("%w: piece %d is %v wide, the strip %v", ErrInput, i, height, strip.Width)
		}
	}
	return l, nil
}

// tolerance is what counts as rounding: some thousand units in the last place
// of the coordinates.
func (l *layout) tolerance() float64 { return float64(1e-12 * l.scale) }

// validity is how deep an overlap may be and still pass as rounding.
func (l *layout) validity() float64 { return float64(1e-10 * l.scale) }

// bound returns where a body lies.
func (l *layout) bound(b int) orb.Bound {
	s := l.shape[b].bound
	return orb.Bound{Min: plus(s.Min, l.at[b]), Max: plus(s.Max, l.at[b])}
}

// length returns the greatest x of any piece.
func (l *layout) length() float64 {
	far := 0.0
	for i := range l.pieces {
		far = max(far, l.shape[i].bound.Max[0]+l.at[i][0])
	}
	return far
}

// room returns the positions that keep a piece within the strip's sides and
// start. Rounding may make the piece a trifle wider than the strip; the
// interval is then one point.
func (l *layout) room(i int) (lowX, lowY, highY float64) {
	b := l.shape[i].bound
	lowY, highY = 0-b.Min[1], l.strip.Width-b.Max[1]
	if lowY > highY {
		lowY = (lowY + highY) / 2
		highY = lowY
	}
	return 0 - b.Min[0], lowY, highY
}

// pullIn moves pieces that stick out of the strip's sides and start, and of its
// end where one is given, back in.
func (l *layout) pullIn(end float64) {
	for i := range l.pieces {
		if l.fixed[i] {
			continue
		}
		lowX, lowY, highY := l.room(i)
		highX := max(lowX, end-l.shape[i].bound.Max[0])
		l.at[i][0] = max(min(l.at[i][0], highX), lowX)
		l.at[i][1] = max(min(l.at[i][1], highY), lowY)
	}
}

// gapBetween returns the distance that two bodies must keep.
func (l *layout) gapBetween(i, j int) float64 {
	if i >= l.pieces || j >= l.pieces {
		return 0
	}
	return l.gap
}

// eachNear calls f for all pairs i < j of bodies, not both fixed, whose boxes
// are closer than the given distance in x and in y.
func (l *layout) eachNear(distance float64, f func(i, j int)) {
	l.order = l.order[:0]
	for b := range l.shape {
		l.order = append(l.order, int32(b))
	}
	left := func(b int32) float64 { return l.shape[b].bound.Min[0] + l.at[b][0] }
	slices.SortFunc(l.order, func(a, b int32) int {
		if x, y := left(a), left(b); x < y {
			return -1
		} else if x > y {
			return 1
		}
		return int(a - b)
	})
	for k, i := range l.order {
		bi := l.bound(int(i))
		for _, j := range l.order[k+1:] {
			bj := l.bound(int(j))
			if bj.Min[0]-bi.Max[0] > distance {
				break
			}
			if l.fixed[i] && l.fixed[j] ||
				bj.Min[1]-bi.Max[1] > distance || bi.Min[1]-bj.Max[1] > distance {
				continue
			}
			f(int(min(i, j)), int(max(i, j)))
		}
	}
}

// nearSum is a pair of parts that are near each other.
type nearSum struct {
	*sum
	first, second int32 // the parts
}

// nearSums appends the sums of all pairs of parts of bodies i and j whose boxes
// are closer than the given distance in x and in y, with j moved by r from i.
func (l *layout) nearSums(dst []nearSum, i, j int, r orb.Point, distance float64) []nearSum {
	a, b := l.shape[i], l.shape[j]
	key := sumKey{l.kind[i], l.kind[j]}
	table := l.sums[key]
	if table == nil {
		table = make([]*sum, len(a.parts)*len(b.parts))
		l.sums[key] = table
	}
	apart := func(p, q orb.Bound) bool {
		return p.Min[0]-q.Max[0]-r[0] > distance || q.Min[0]-p.Max[0]+r[0] > distance ||
			p.Min[1]-q.Max[1]-r[1] > distance || q.Min[1]-p.Max[1]+r[1] > distance
	}
	for p := range a.parts {
		if apart(a.parts[p].bound, b.bound) {
			continue
		}
		for q := range b.parts {
			if apart(a.parts[p].bound, b.parts[q].bound) {
				continue
			}
			entry := &table[p*len(b.parts)+q]
			if *entry == nil {
				*entry = newSum(&a.parts[p], &b.parts[q])
			}
			dst = append(dst, nearSum{*entry, int32(p), int32(q)})
		}
	}
	return dst
}

// overlap returns the deepest that any two parts of different bodies overlap or
// come nearer than their gap, and the furthest that any piece lies outside the
// strip's sides and start.
func (l *layout) overlap() float64 {
	worst := 0.0
	var near []nearSum
	l.eachNear(l.gap, func(i, j int) {
		r := minus(l.at[j], l.at[i])
		gap := l.gapBetween(i, j)
		near = l.nearSums(near[:0], i, j, r, gap)
		for _, s := range near {
			worst = max(worst, gap-s.distance(r, gap))
		}
	})
	for i := range l.pieces {
		if l.fixed[i] {
			continue
		}
		b := l.bound(i)
		worst = max(worst, 0-b.Min[0], 0-b.Min[1], b.Max[1]-l.strip.Width)
	}
	return worst
}
