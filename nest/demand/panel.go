package demand

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// leastArea is the smallest piece that counts as a panel, mm²; clipping at a
// seam that runs along an edge leaves slivers below it.
const leastArea = 1

// A cell is one field between seams, in the frame of the seams: the field
// itself, and the field with the laps that reach over its seams.
type cell struct{ exact, lapped orb.Bound }

// cells lists the fields of a bounding box, warp-wise rows from below, each
// from the left.
func (s *seams) cells(box orb.Bound) []cell {
	// Outer fields reach past the ply, so that its own edge bounds them.
	const beyond = 1
	ys := slices.Concat([]float64{box.Min[1] - beyond}, s.across, []float64{box.Max[1] + beyond})
	xs := slices.Concat([]float64{box.Min[0] - beyond}, s.along, []float64{box.Max[0] + beyond})
	var out []cell
	for j := 0; j+1 < len(ys); j++ {
		for i := 0; i+1 < len(xs); i++ {
			c := cell{exact: orb.Bound{Min: orb.Point{xs[i], ys[j]}, Max: orb.Point{xs[i+1], ys[j+1]}}}
			c.lapped = c.exact
			if i > 0 {
				c.lapped.Min[0] -= s.lap / 2
			}
			if i+2 < len(xs) {
				c.lapped.Max[0] += s.lap / 2
			}
			if j > 0 {
				c.lapped.Min[1] -= s.lap / 2
			}
			if j+2 < len(ys) {
				c.lapped.Max[1] += s.lap / 2
			}
			out = append(out, c)
		}
	}
	return out
}

// panels cuts a shape along its seams. Each panel is a shape of its own in the
// frame of the whole; a field that a hollow outline crosses twice gives two.
func panels(whole nest.Shape, s *seams) ([]nest.Shape, error) {
	back := geom.Transform{Rotation: s.axis}
	box := geom.Bound(geom.Transform{Rotation: -s.axis}.Ring(toOrb(whole.Cut.Outline)))
	edges := [2][]level{levels(s.axis, 0, whole.Cut, whole.Net), levels(s.axis, 1, whole.Cut, whole.Net)}
	var out []nest.Shape
	for _, c := range s.cells(box) {
		lapped, exact := back.Ring(corners(offEdges(c.lapped, edges))), back.Ring(corners(c.exact))
		cuts, err := intersect(whole.Cut, lapped)
		if err != nil {
			return nil, err
		}
		for _, cut := range cuts {
			net := []nest.Polygon{cut}
			if whole.Trim != 0 {
				if net, err = netOf(whole, cut, lapped); err != nil {
					return nil, err
				}
				if len(net) == 0 {
					continue // nothing but trim
				}
				if len(net) > 1 {
					return nil, fmt.Errorf("a panel falls into %d pieces inside its trim; set the seams in the job", len(net))
				}
			}
			single, err := intersect(net[0], exact)
			if err != nil {
				return nil, err
			}
			lap := polygonArea(net[0])
			for _, p := range single {
				lap -= polygonArea(p)
			}
			out = append(out, nest.Shape{
				Name: whole.Name, Net: net[0], Cut: cut, Trim: whole.Trim, Source: whole.Source,
				LapArea: nest.Round(math.Max(0, lap)),
				Marks:   append(clipMarks(whole.Marks, s.axis, c.lapped), s.lines(net[0], c.lapped, edges)...),
			})
		}
	}
	if len(out) < 2 {
		return nil, fmt.Errorf("the seams leave %d panel", len(out))
	}
	return out, nil
}

// offEdges draws in the sides of a field that run along edges of the ply, given
// for sides at x and at y, by edgeStep.
func offEdges(field orb.Bound, edges [2][]level) orb.Bound {
	for k, ls := range edges {
		if slices.ContainsFunc(ls, func(l level) bool { return l.touched(field.Min[k]) }) {
			field.Min[k] += edgeStep
		}
		if slices.ContainsFunc(ls, func(l level) bool { return l.touched(field.Max[k]) }) {
			field.Max[k] -= edgeStep
		}
	}
	return field
}

// netOf is the net part of one panel.
func netOf(whole nest.Shape, cut nest.Polygon, window orb.Ring) ([]nest.Polygon, error) {
	all, err := intersect(whole.Net, window)
	if err != nil {
		return nil, err
	}
	outer := toOrb(cut.Outline)
	return slices.DeleteFunc(all, func(p nest.Polygon) bool {
		// A vertex may lie on the window's edge, where rounding decides; the
		// widest place never does.
		inside, _ := geom.Pole(toOrb(p.Outline), nil, 1)
		return geom.Contains(outer, inside) == geom.Outside
	}), nil
}

func corners(b orb.Bound) orb.Ring {
	return orb.Ring{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}}
}

func intersect(p nest.Polygon, window orb.Ring) ([]nest.Polygon, error) {
	var holes []orb.Ring
	for _, h := range p.Holes {
		holes = append(holes, toOrb(h))
	}
	found, err := geom.Intersect(toOrb(p.Outline), holes, window)
	if err != nil {
		return nil, err
	}
	var out []nest.Polygon
	for _, f := range found {
		if f.Area() >= leastArea {
			out = append(out, polygon(f.Exterior, f.Holes))
		}
	}
	return out, nil
}

func polygonArea(p nest.Polygon) float64 {
	a := geom.Area(toOrb(p.Outline))
	for _, h := range p.Holes {
		a -= geom.Area(toOrb(h))
	}
	return a
}

// lines draws the seams that a panel reaches: the middle of a lap, or the edge
// where panels are butted, less what runs along an edge of the whole ply.
func (s *seams) lines(net nest.Polygon, lapped orb.Bound, edges [2][]level) []shapes.Mark {
	turn, back := geom.Transform{Rotation: -s.axis}, geom.Transform{Rotation: s.axis}
	box := geom.Bound(turn.Ring(toOrb(net.Outline)))
	var out []shapes.Mark
	add := func(a, b orb.Point) {
		line := back.Line(orb.LineString{a, b})
		for i := range line {
			line[i] = orb.Point{nest.Round(line[i][0]), nest.Round(line[i][1])}
		}
		out = append(out, shapes.Mark{Kind: shapes.MarkSeam, Line: line, Text: s.words()})
	}
	for _, y := range s.across {
		if y >= lapped.Min[1]-1e-9 && y <= lapped.Max[1]+1e-9 {
			for _, span := range chords(net, s.axis, y, false) {
				for _, p := range span.without(free(edges[1], y)) {
					add(orb.Point{p[0], y}, orb.Point{p[1], y})
				}
			}
		}
	}
	for _, x := range s.along {
		if x >= box.Min[0]-1e-9 && x <= box.Max[0]+1e-9 && x >= lapped.Min[0]-1e-9 && x <= lapped.Max[0]+1e-9 {
			for _, span := range chords(net, s.axis, x, true) {
				for _, p := range span.without(free(edges[0], x)) {
					add(orb.Point{x, p[0]}, orb.Point{x, p[1]})
				}
			}
		}
	}
	return out
}

func (s *seams) words() string {
	if s.joint == shapes.JointLap {
		return fmt.Sprintf("seam, lap %g", s.lap)
	}
	return "seam, butt"
}

// chords lists where the line y = at (x = at where vertical is set), in the
// frame turned by -axis, runs inside a polygon. A line along an edge is taken
// a hair inside.
func chords(p nest.Polygon, axis, at float64, vertical bool) []stretch {
	turn := geom.Transform{Rotation: -axis}
	for _, nudge := range []float64{0, 1e-3, -1e-3} {
		var hits []float64
		for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
			ring := turn.Ring(toOrb(r))
			for i, a := range ring {
				b := ring[(i+1)%len(ring)]
				u, v := 1, 0
				if vertical {
					u, v = 0, 1
				}
				da, db := a[u]-at-nudge, b[u]-at-nudge
				if (da > 0) != (db > 0) {
					hits = append(hits, a[v]+(b[v]-a[v])*da/(da-db))
				}
			}
		}
		slices.Sort(hits)
		var out []stretch
		for i := 0; i+1 < len(hits); i += 2 {
			if hits[i+1]-hits[i] > geom.Grid {
				out = append(out, stretch{hits[i], hits[i+1]})
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

// clipMarks keeps of each mark what lies inside a field.
func clipMarks(marks []shapes.Mark, axis float64, field orb.Bound) []shapes.Mark {
	turn, back := geom.Transform{Rotation: -axis}, geom.Transform{Rotation: axis}
	var out []shapes.Mark
	for _, m := range marks {
		line := turn.Line(m.Line)
		if len(line) == 1 {
			if field.Contains(line[0]) {
				out = append(out, m)
			}
			continue
		}
		for _, piece := range clipLine(line, field) {
			piece = back.Line(piece)
			for i := range piece {
				piece[i] = orb.Point{nest.Round(piece[i][0]), nest.Round(piece[i][1])}
			}
			out = append(out, shapes.Mark{Kind: m.Kind, Line: piece, Text: m.Text})
		}
	}
	return out
}

// clipLine cuts a line at a box and returns the pieces inside, by the
// parametric clipping of Liang and Barsky (A New Concept and Method for Line
// Clipping, 1984), segment by segment.
func clipLine(line orb.LineString, box orb.Bound) []orb.LineString {
	var out []orb.LineString
	var run orb.LineString
	flush := func() {
		if len(run) > 1 {
			out = append(out, run)
		}
		run = nil
	}
	for i := 0; i+1 < len(line); i++ {
		a, b := line[i], line[i+1]
		t0, t1 := 0.0, 1.0
		inside := true
		for k := 0; k < 2; k++ {
			d := b[k] - a[k]
			for _, edge := range [][2]float64{{-d, a[k] - box.Min[k]}, {d, box.Max[k] - a[k]}} {
				p, q := edge[0], edge[1]
				switch {
				case p == 0:
					inside = inside && q >= 0
				case p < 0:
					t0 = math.Max(t0, q/p)
				default:
					t1 = math.Min(t1, q/p)
				}
			}
		}
		if !inside || t0 >= t1 {
			flush()
			continue
		}
		at := func(t float64) orb.Point {
			return orb.Point{a[0] + float64((b[0]-a[0])*t), a[1] + float64((b[1]-a[1])*t)}
		}
		if t0 > 0 {
			flush()
		}
		if len(run) == 0 {
			run = orb.LineString{at(t0)}
		}
		run = append(run, at(t1))
		if t1 < 1 {
			flush()
		}
	}
	flush()
	return out
}
