package collide

import (
	"math"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// cleanRing drops the closing point, repeated vertices, and vertices that lie
// on the line through their neighbours (spikes folded onto themselves
// included), within flatTolerance of the ring's extent.
func cleanRing(r orb.Ring) []orb.Point {
	b := r.Bound()
	size := math.Max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
	tiny := size * flatTolerance
	pts := make([]orb.Point, 0, len(r))
	for _, p := range r {
		if n := len(pts); n > 0 && near(pts[n-1], p, tiny) {
			continue
		}
		pts = append(pts, p)
	}
	for len(pts) > 1 && near(pts[0], pts[len(pts)-1], tiny) {
		pts = pts[:len(pts)-1]
	}
	for changed := true; changed && len(pts) > 2; {
		changed = false
		for i := 0; i < len(pts) && len(pts) > 2; i++ {
			a, b, c := pts[(i+len(pts)-1)%len(pts)], pts[i], pts[(i+1)%len(pts)]
			base := steady.Hypot(c[0]-a[0], c[1]-a[1])
			if near(a, c, tiny) || math.Abs(cross(a, b, c)) <= tiny*base {
				pts = append(pts[:i], pts[i+1:]...)
				changed = true
				i--
			}
		}
	}
	return pts
}

func near(a, b orb.Point, d float64) bool {
	return math.Abs(a[0]-b[0]) <= d && math.Abs(a[1]-b[1]) <= d
}

// cross is twice the signed area of the triangle a, b, c: positive when c lies
// to the left of the line from a to b.
func cross(a, b, c orb.Point) float64 {
	return float64((b[0]-a[0])*(c[1]-a[1])) - float64((b[1]-a[1])*(c[0]-a[0]))
}

// ringArea is the signed area: positive for a counter-clockwise ring.
func ringArea(pts []orb.Point) float64 {
	if len(pts) < 3 {
		return 0
	}
	o, sum := pts[0], 0.0
	for i := 1; i+1 < len(pts); i++ {
		sum += cross(o, pts[i], pts[i+1])
	}
	return sum / 2
}

func reversed(pts []orb.Point) []orb.Point {
	out := make([]orb.Point, len(pts))
	for i, p := range pts {
		out[len(pts)-1-i] = p
	}
	return out
}

// convexHull returns the hull counter-clockwise (Andrew's monotone chain).
func convexHull(pts []orb.Point) []orb.Point {
	p := append([]orb.Point(nil), pts...)
	sortPoints(p)
	if len(p) < 3 {
		return p
	}
	h := make([]orb.Point, 0, 2*len(p))
	for _, q := range p {
		for len(h) >= 2 && cross(h[len(h)-2], h[len(h)-1], q) <= 0 {
			h = h[:len(h)-1]
		}
		h = append(h, q)
	}
	lower := len(h) + 1
	for i := len(p) - 2; i >= 0; i-- {
		for len(h) >= lower && cross(h[len(h)-2], h[len(h)-1], p[i]) <= 0 {
			h = h[:len(h)-1]
		}
		h = append(h, p[i])
	}
	return h[:len(h)-1]
}
