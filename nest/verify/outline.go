package verify

import (
	"fmt"
	"math"

	"plyroom/nest"
)

// outlines checks rule 3: each placed outline, cut-outs included, is the cut
// shape of its demand, mirrored for the opposite hand, mirrored again where it
// is cut turned over, rotated, and moved to x, y.
func (c *checker) outlines() {
	for l := range c.record.Layouts {
		lay := &c.record.Layouts[l]
		for i := range lay.Placed {
			p := &lay.Placed[i]
			d := c.demands[p.Key()]
			if d == nil || c.polys[l][i] == nil {
				continue // rules 2 and 1 say so
			}
			s := c.shapes[d.Shape]
			if s == nil || !polygonInRange(s.Cut) || !inRange(p.X) || !inRange(p.Y) || !inRange(p.RotationDeg) {
				continue // rule 1 says so
			}
			want := place(s.Cut, p)
			if off, at, ok := want.matches(nest.Polygon{Outline: p.Outline, Holes: p.Holes}); !ok {
				c.addPly(lay, i, Violation{Rule: RuleOutline, At: &at, Measured: off, Limit: want.tolerance(), Unit: "mm",
					Message: outlineMessage(off, s.ID)})
			}
		}
	}
}

func outlineMessage(off float64, shape string) string {
	if math.IsInf(off, 1) {
		return fmt.Sprintf("the placed outline does not have the vertices and cut-outs of shape %s", shape)
	}
	return fmt.Sprintf("the placed outline is %.6g mm off shape %s in the stated hand, face, rotation and position", off, shape)
}

// A pose is a shape put where a placed piece says it lies.
type pose struct {
	outline nest.Ring
	holes   []nest.Ring
	// radius is the greatest distance of a vertex from the shape's origin.
	radius float64
}

// tolerance is how far a vertex may lie from its pose.
func (w *pose) tolerance() float64 { return VertexTolerance + float64(w.radius*TurnTolerance) }

// place computes where the vertices of a shape belong. A mirrored ring is
// reversed, so that it runs in the same sense as before.
func place(s nest.Polygon, p *nest.Placed) *pose {
	w := &pose{}
	sin, cos := sinCosDeg(p.RotationDeg)
	flip := p.OppositeHand != p.TurnedOver
	move := func(r nest.Ring) nest.Ring {
		out := make(nest.Ring, len(r))
		for i, v := range r {
			x, y := v[0], v[1]
			w.radius = max(w.radius, math.Hypot(x, y))
			j := i
			if flip {
				y = -y
				j = len(r) - 1 - i
			}
			out[j] = nest.Point{float64(cos*x) - float64(sin*y) + p.X, float64(sin*x) + float64(cos*y) + p.Y}
		}
		return out
	}
	w.outline = move(s.Outline)
	for _, h := range s.Holes {
		w.holes = append(w.holes, move(h))
	}
	return w
}

// sinCosDeg is exact at multiples of 90°.
func sinCosDeg(deg float64) (sin, cos float64) {
	switch math.Mod(deg, 360) {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	}
	return math.Sincos(deg * math.Pi / 180)
}

// matches compares a listed polygon with the pose: the same rings, each with
// the same vertices in the same sense, begun anywhere, holes in any order. Where
// they differ it returns how far the worst vertex is off in the best match of
// the ring (infinite where the counts differ) and a place.
func (w *pose) matches(p nest.Polygon) (off float64, at nest.Point, ok bool) {
	tol := w.tolerance()
	if off, at := ringOffset(w.outline, p.Outline, tol); off > tol {
		return off, at, false
	}
	if len(p.Holes) != len(w.holes) {
		return math.Inf(1), w.outline[0], false
	}
	taken := make([]bool, len(p.Holes))
	for i, h := range w.holes {
		if len(h) == 0 {
			continue
		}
		best, where, found := math.Inf(1), h[0], false
		for k := range p.Holes {
			// Holes are nearly always listed in the shape's order.
			j := (i + k) % len(p.Holes)
			if taken[j] {
				continue
			}
			off, at := ringOffset(h, p.Holes[j], tol)
			if off <= tol {
				taken[j], found = true, true
				break
			}
			if off < best {
				best, where = off, at
			}
		}
		if !found {
			return best, where, false
		}
	}
	return 0, nest.Point{}, true
}

// ringOffset is the greatest distance between vertices of two rings, with got
// begun at the vertex that makes it least, or any that makes it at most enough.
// It is infinite where the rings have different numbers of vertices.
func ringOffset(want, got nest.Ring, enough float64) (float64, nest.Point) {
	n := len(want)
	if n == 0 || len(got) != n {
		at := nest.Point{}
		if n > 0 {
			at = want[0]
		}
		return math.Inf(1), at
	}
	best, at := math.Inf(1), got[0]
	for k := range got {
		worst, where := 0.0, got[k]
		for i := range want {
			g := got[(k+i)%n]
			if d := math.Hypot(g[0]-want[i][0], g[1]-want[i][1]); d > worst {
				worst, where = d, g
				if worst >= best {
					break
				}
			}
		}
		if worst < best {
			best, at = worst, where
		}
		if best <= enough {
			break
		}
	}
	return best, at
}
