package geom

import (
	"errors"
	"fmt"

	clipper "github.com/ctessum/go.clipper"
	"github.com/paulmach/orb"
)

// ErrIntersect is wrapped by every error of Intersect.
var ErrIntersect = errors.New("intersection")

// Intersect is the part of an area that lies inside a window ring: none, one
// or several polygons, in the order the clipping library finds them. Vertices
// lie on the integer grid (Grid) about the exterior's middle. Rings may run in
// either direction. It fails on coordinates that are not finite or beyond
// CoordinateLimit.
func Intersect(exterior orb.Ring, holes []orb.Ring, window orb.Ring) (out []Polygon, err error) {
	defer func() {
		if r := recover(); r != nil {
			out, err = nil, fmt.Errorf("%w: the clipping library gave up: %v", ErrIntersect, r)
		}
	}()
	for _, r := range append([]orb.Ring{exterior, window}, holes...) {
		for _, p := range r {
			if !InRange(p) {
				return nil, fmt.Errorf("%w: coordinate (%g, %g) out of range", ErrIntersect, p[0], p[1])
			}
		}
	}
	g := newGrid(Bound(exterior).Center())
	c := clipper.NewClipper(clipper.IoNone)
	outer, win := g.path(exterior, true), g.path(window, true)
	if outer == nil || win == nil {
		return nil, nil
	}
	c.AddPath(outer, clipper.PtSubject, true)
	for _, h := range holes {
		if p := g.path(h, false); p != nil {
			c.AddPath(p, clipper.PtSubject, true)
		}
	}
	c.AddPath(win, clipper.PtClip, true)
	tree, ok := c.Execute2(clipper.CtIntersection, clipper.PftNonZero, clipper.PftNonZero)
	if !ok {
		return nil, fmt.Errorf("%w: the clipping library found no result", ErrIntersect)
	}
	for _, n := range tree.Childs() {
		g.collect(n, &out)
	}
	return out, nil
}
