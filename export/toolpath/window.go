package toolpath

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// A piece is a loop, or the part of one, that is cut in one window.
type piece struct {
	loop   int
	part   int // from 0
	closed bool
	pts    orb.LineString
	window int
}

// pending is a loop or a remainder of one that no window has cut yet.
type pending struct {
	loop int
	pts  orb.LineString
	// closed is true while the loop is whole.
	closed bool
	lo, hi float64
}

// fitEps forgives rounding where a ply just fits a window, mm.
const fitEps = 1e-6

// divide spreads the loops over windows of the given reach; a reach of 0 means
// one window without end. Each window begins where the rear-most uncut loop
// does, so that only what is longer than a window is divided. Parts of a
// divided loop overlap by join along the cut.
func divide(loops []loop, reach, join, length float64) ([]Window, []piece, error) {
	if reach <= 0 || reach >= length-fitEps {
		all := make([]piece, len(loops))
		for i := range loops {
			all[i] = piece{loop: i, closed: loops[i].closed, pts: loops[i].pts}
		}
		return []Window{{0, length}}, all, nil
	}
	if reach < 10*join || reach < 1 {
		return nil, nil, fmt.Errorf("a window of %g mm is too short to cut in", reach)
	}
	order, err := topological(loops)
	if err != nil {
		return nil, nil, err
	}
	// What must come before a loop may not end behind it.
	hi := make([]float64, len(loops))
	for _, i := range order {
		hi[i] = loops[i].bound.Max[0]
		for _, k := range loops[i].must {
			hi[i] = math.Max(hi[i], hi[k])
		}
	}
	todo := make([]pending, len(loops))
	for i := range loops {
		todo[i] = pending{i, loops[i].pts, loops[i].closed, loops[i].bound.Min[0], hi[i]}
	}
	parts := make([]int, len(loops))
	var windows []Window
	var pieces []piece
	take := func(t pending, pts orb.LineString, closed bool) {
		pieces = append(pieces, piece{t.loop, parts[t.loop], closed, pts, len(windows)})
		parts[t.loop]++
	}
	for len(todo) > 0 {
		from := minLo(todo)
		if len(windows) == 0 && fromZero(todo, from, reach) {
			from = 0
		}
		end := from + reach
		var next []pending
		moved := false
		for _, t := range todo {
			switch {
			case t.hi <= end+fitEps:
				take(t, t.pts, t.closed)
				moved = true
			case t.hi-t.lo > reach && t.lo < end-join-fitEps:
				left, right := cutAt(t.pts, t.closed, end, join)
				for _, c := range left {
					take(t, c, false)
				}
				for _, c := range right {
					b := c.Bound()
					rest := pending{t.loop, c, false, b.Min[0], b.Max[0]}
					if rest.hi >= t.hi-fitEps {
						rest.hi = t.hi
					}
					next = append(next, rest)
				}
				moved = moved || len(left) > 0
			default:
				next = append(next, t)
			}
		}
		windows = append(windows, Window{from, end})
		todo = next
		if !moved {
			return nil, nil, fmt.Errorf("no cut can be made in a window of %g mm", reach)
		}
	}
	return windows, pieces, nil
}

func minLo(todo []pending) float64 {
	lo := math.Inf(1)
	for _, t := range todo {
		lo = math.Min(lo, t.lo)
	}
	return lo
}

// fromZero reports whether the first window may begin at the end of the
// fabric without leaving out a loop that begins at lo.
func fromZero(todo []pending, lo, reach float64) bool {
	for _, t := range todo {
		if t.lo <= lo+fitEps && t.hi > reach && t.hi-t.lo <= reach {
			return false
		}
	}
	return lo < reach/2
}

// cutAt divides a line at x into the parts up to it and the parts beyond. A
// part beyond begins and ends join mm back along the line, where there is as
// much, so that the two meet in a cut that is surely through.
func cutAt(pts orb.LineString, closed bool, x, join float64) (left, right []orb.LineString) {
	line := pts
	if closed {
		// Begin where the loop passes x, so that no part is divided by the
		// accident of its first vertex.
		k := 0
		for i := range pts {
			a, b := pts[i], pts[(i+1)%len(pts)]
			if a[0] <= x && b[0] > x {
				k = i
				break
			}
		}
		line = append(append(orb.LineString{}, pts[k+1:]...), pts[:k+1]...)
		at := crossing(pts[k], pts[(k+1)%len(pts)], x)
		line = append(append(orb.LineString{at}, line...), at)
	}
	cur := orb.LineString{line[0]}
	beyond := line[0][0] > x || line[0][0] == x && len(line) > 1 && line[1][0] > x
	flush := func() {
		if length(cur) > fitEps {
			if beyond {
				right = append(right, cur)
			} else {
				left = append(left, cur)
			}
		}
	}
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		if (b[0] > x) != beyond && a[0] != b[0] && b[0] != x {
			at := crossing(a, b, x)
			if dist(at, cur[len(cur)-1]) > 0 {
				cur = append(cur, at)
			}
			flush()
			cur, beyond = orb.LineString{at}, !beyond
		}
		if dist(b, cur[len(cur)-1]) > 0 {
			cur = append(cur, b)
		}
	}
	flush()
	if join > 0 {
		for i := range right {
			right[i] = lengthen(right[i], left, x, join)
		}
	}
	return left, right
}

func crossing(a, b orb.Point, x float64) orb.Point {
	if a[0] == b[0] {
		return a
	}
	t := (x - a[0]) / (b[0] - a[0])
	return orb.Point{x, a[1] + float64(t*(b[1]-a[1]))}
}

// lengthen adds join mm of the neighbouring left parts to both ends of a part.
func lengthen(r orb.LineString, left []orb.LineString, x, join float64) orb.LineString {
	for _, l := range left {
		if l[len(l)-1] == r[0] && r[0][0] == x {
			a, b := l[len(l)-2], l[len(l)-1]
			if d := dist(a, b); d > 0 {
				t := math.Min(1, join/d)
				r = append(orb.LineString{{b[0] + float64(t*(a[0]-b[0])), b[1] + float64(t*(a[1]-b[1]))}}, r...)
			}
			break
		}
	}
	for _, l := range left {
		if l[0] == r[len(r)-1] && r[len(r)-1][0] == x {
			a, b := l[1], l[0]
			if d := dist(a, b); d > 0 {
				t := math.Min(1, join/d)
				r = append(r, orb.Point{b[0] + float64(t*(a[0]-b[0])), b[1] + float64(t*(a[1]-b[1]))})
			}
			break
		}
	}
	return r
}

func length(l orb.LineString) float64 {
	var s float64
	for i := 1; i < len(l); i++ {
		s += dist(l[i-1], l[i])
	}
	return s
}
