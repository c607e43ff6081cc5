package cutcase

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes/drawing"
)

// curves are plies drawn with arcs of circles, and two with other curves.
const curves = `<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">
<path id="PANEL" d="M40 0H360A40 40 0 0 1 400 40V260A40 40 0 0 1 360 300H40A40 40 0 0 1 0 260V40A40 40 0 0 1 40 0ZM120 150A60 60 0 1 0 240 150A60 60 0 1 0 120 150Z"/>
<circle id="DISC" cx="620" cy="150" r="150"/>
<path id="SLOT" d="M900 0H1100A90 90 0 0 1 1100 180H900A90 90 0 0 1 900 0Z"/>
<path id="COLLAR" d="M1300 200A200 200 0 0 1 1700 200H1620A120 120 0 0 0 1380 200Z"/>
<path id="SICKLE" d="M0 400A150 150 0 0 0 300 400A400 400 0 0 1 0 400Z" transform="translate(0 200)"/>
<ellipse id="OVAL" cx="600" cy="800" rx="160" ry="90"/>
<path id="WAVE" d="M900 700C1000 600 1100 800 1200 700V850H900Z"/>
<path id="SHALLOW" d="M1300 700A2500 2500 0 0 1 1700 700V820H1300Z"/>
</svg>`

// Curved is a record of plies with curves, flattened to the given chord
// tolerance, mm, as jobs flatten them.
func Curved(chord float64) *nest.Record {
	d, err := drawing.ReadFrom(strings.NewReader(curves), "curves.svg", drawing.Options{Chord: chord})
	if err != nil {
		panic(err)
	}
	b := newBuilder("Curves", 1900, 1270)
	for i, o := range d.Outlines {
		poly := nest.Polygon{Outline: fromOrigin(o.Exterior, o.Exterior[0])}
		for _, h := range o.Holes {
			poly.Holes = append(poly.Holes, fromOrigin(h, o.Exterior[0]))
		}
		b.shape(o.Name, poly)
		rot := float64(i) * 37
		p := b.place("Cowl", fmt.Sprintf("U%02d", i+1), o.Name, 1, rot, i%2 == 1, i%3 == 2, 0, 0)
		// Into its cell of a grid.
		low := orb.Point{math.Inf(1), math.Inf(1)}
		for _, v := range p.Outline {
			low = orb.Point{math.Min(low[0], v[0]), math.Min(low[1], v[1])}
		}
		dx, dy := 20+float64(float64(i%4)*460)-low[0], 20+float64(float64(i/4)*600)-low[1]
		p.X, p.Y = dx, dy
		for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
			for k := range r {
				r[k] = nest.Point{nest.Round(r[k][0] + dx), nest.Round(r[k][1] + dy)}
			}
		}
	}
	return b.rec
}

func fromOrigin(r orb.Ring, o orb.Point) nest.Ring {
	out := make(nest.Ring, len(r))
	for i, p := range r {
		out[i] = nest.Point{p[0] - o[0], p[1] - o[1]}
	}
	return out
}

// Arc is an arc of a circle from a about c as a fine polyline, a left out and
// its end included; sweep is in radians, counter-clockwise positive.
func Arc(a, c orb.Point, sweep float64) orb.LineString {
	r, from := math.Hypot(a[0]-c[0], a[1]-c[1]), math.Atan2(a[1]-c[1], a[0]-c[0])
	n := 1 + int(math.Abs(sweep)*math.Sqrt(math.Max(r, 1))*40)
	out := make(orb.LineString, n)
	for i := range out {
		s, k := math.Sincos(from + sweep*float64(i+1)/float64(n))
		out[i] = orb.Point{c[0] + float64(r*k), c[1] + float64(r*s)}
	}
	return out
}
