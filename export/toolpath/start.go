package toolpath

import (
	"math"
	"sort"

	"github.com/paulmach/orb"

	"plyroom/shapes/steady"
)

// maxStarts bounds how many start points of a loop the order weighs.
const maxStarts = 12

// A start is a place where a cut may begin.
type start struct {
	// edge is the vertex the cut begins at, or the vertex before the point
	// where between is set.
	edge    int
	between bool
	at      orb.Point
}

// startsOf lists where a closed loop may begin. A knife that lifts at corners
// begins at one, sharpest first; a drag knife begins in the middle of a long
// straight edge, where its blade can line up. A loop without corners may begin
// at any vertex.
func startsOf(m Machine, pts orb.LineString) []start {
	var out []start
	if m.Kind == Drag {
		out = middles(pts, 4*m.BladeOffset)
	} else {
		out = corners(pts, m.CornerAngle)
	}
	if len(out) == 0 {
		out = spread(pts, m.CornerAngle)
	}
	return out
}

// spread are vertices spread evenly over a loop, corners left out where there
// is anything else.
func spread(pts orb.LineString, angle float64) []start {
	var smooth []start
	n := len(pts)
	for i := range pts {
		if math.Abs(turnAt(pts[(i+n-1)%n], pts[i], pts[(i+1)%n])) <= angle {
			smooth = append(smooth, start{edge: i, at: pts[i]})
		}
	}
	if len(smooth) == 0 {
		for i := range pts {
			smooth = append(smooth, start{edge: i, at: pts[i]})
		}
	}
	var out []start
	k := min(len(smooth), maxStarts)
	for i := range k {
		out = append(out, smooth[i*len(smooth)/k])
	}
	return out
}

// corners are the lift corners of a loop, at most maxStarts of the sharpest.
func corners(pts orb.LineString, angle float64) []start {
	type corner struct {
		start
		turn float64
	}
	var all []corner
	n := len(pts)
	for i := range pts {
		if a := math.Abs(turnAt(pts[(i+n-1)%n], pts[i], pts[(i+1)%n])); a > angle {
			all = append(all, corner{start{edge: i, at: pts[i]}, a})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].turn > all[j].turn+1e-9 })
	var out []start
	for i := 0; i < len(all) && i < maxStarts; i++ {
		out = append(out, all[i].start)
	}
	return out
}

// middles are the middles of the longest edges of a loop, at most maxStarts.
func middles(pts orb.LineString, least float64) []start {
	type edge struct {
		start
		long float64
	}
	var all []edge
	for i, a := range pts {
		b := pts[(i+1)%len(pts)]
		if d := dist(a, b); d >= least {
			all = append(all, edge{start{edge: i, between: true, at: orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}}, d})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].long > all[j].long+1e-9 })
	var out []start
	for i := 0; i < len(all) && i < maxStarts; i++ {
		out = append(out, all[i].start)
	}
	return out
}

// from returns the loop beginning at a start.
func from(pts orb.LineString, s start) orb.LineString {
	out := make(orb.LineString, 0, len(pts)+1)
	if s.between {
		out = append(out, s.at)
		out = append(out, pts[s.edge+1:]...)
		return append(out, pts[:s.edge+1]...)
	}
	out = append(out, pts[s.edge:]...)
	return append(out, pts[:s.edge]...)
}

// turnAt is the change of direction at b, degrees in (-180, 180], positive to
// the left.
func turnAt(a, b, c orb.Point) float64 {
	ux, uy, vx, vy := b[0]-a[0], b[1]-a[1], c[0]-b[0], c[1]-b[1]
	return steady.Atan2(float64(ux*vy)-float64(uy*vx), float64(ux*vx)+float64(uy*vy)) * 180 / math.Pi
}
